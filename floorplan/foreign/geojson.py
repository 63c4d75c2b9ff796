"""GeoJSON: polygons and lines in projected metres, or in a unit that is stated; degrees are refused.

The standard (RFC 7946) means longitude and latitude, but half of the files in use are metres of a
projection. A `crs` member is honoured, our own files carry `"units": "m"`, an extent of a few hundredths
is degrees, and where nothing says the unit it is asked.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from typing import Any, Final

from ..errors import DrawingFileError, Fault
from .collector import Collector
from .crs import degrees, looks_like_degrees, unit_of
from .drawing import bounds_of
from .drawing_units import UNITS
from .model import Source

_NAMES: Final = ("name", "label", "title")
_LAYERS: Final = ("layer", "kind", "class")
_LINES: Final = {"LineString": 1, "MultiLineString": 2, "Polygon": 2, "MultiPolygon": 3}
_MOST_OBJECTS: Final = 200_000


def read_geojson(text: str, name: str) -> Source:
    """The polygons and lines of a GeoJSON text.

    Raises:
        DrawingFileError: no JSON, no GeoJSON, degrees, or a web map.
    """
    try:
        document = json.loads(text, parse_constant=float)
    except (ValueError, RecursionError) as error:
        where = f" at line {error.lineno}" if isinstance(error, json.JSONDecodeError) else ""
        words = f"{name}: this is no JSON{where}"
        raise DrawingFileError(Fault(code="drawing-not-json", text=words, hint="save it again")) from error
    collector = Collector(name, "GeoJSON")
    if not isinstance(document, dict) or "type" not in document:
        words = f"{name}: this JSON is no GeoJSON: it has no type"
        raise DrawingFileError(Fault(code="drawing-not-geojson", text=words, hint="export it as GeoJSON"))
    _read_unit(document, collector)
    for geometry, properties in _geometries(document):
        _geometry(geometry, properties, collector)
    source = collector.source()
    if source.unit_m is None and looks_like_degrees(bounds_of(source.strokes)):
        raise DrawingFileError(degrees(name, "its extent is a few hundredths of a degree"))
    return source


def _read_unit(document: dict[str, Any], collector: Collector) -> None:
    crs = document.get("crs")
    properties = crs.get("properties") if isinstance(crs, dict) else None
    stated = properties.get("name") if isinstance(properties, dict) else None
    if isinstance(stated, str):
        collector.unit_m, collector.unit_said = unit_of(stated, collector.name)
    units = document.get("units")
    if isinstance(units, str) and units in UNITS:
        collector.unit_m, collector.unit_said = UNITS[units], f'{units} ("units")'


def _geometries(document: dict[str, Any]) -> Iterator[tuple[dict[str, Any], dict[str, Any]]]:
    """Every geometry with the properties of its feature, nested collections in order."""
    waiting: list[tuple[Any, dict[str, Any]]] = [(document, {})]
    count = 0
    while waiting and count < _MOST_OBJECTS:
        value, properties = waiting.pop()
        count += 1
        if not isinstance(value, dict):
            continue
        kind = value.get("type")
        if kind == "FeatureCollection":
            waiting += [(feature, {}) for feature in reversed(_list(value.get("features")))]
        elif kind == "Feature":
            own = value.get("properties")
            waiting.append((value.get("geometry"), own if isinstance(own, dict) else {}))
        elif kind == "GeometryCollection":
            waiting += [(part, properties) for part in reversed(_list(value.get("geometries")))]
        else:
            yield value, properties


def _geometry(geometry: dict[str, Any], properties: dict[str, Any], collector: Collector) -> None:
    kind, layer = str(geometry.get("type")), _word(properties, _LAYERS) or "0"
    depth = _LINES.get(kind)
    if depth is None:
        collector.leave_out(kind, layer, "encloses nothing" if "Point" in kind else "not known as line work")
        return
    first = None
    for line in _lines(geometry.get("coordinates"), depth):
        points = _points(line)
        if points is None:
            collector.leave_out(kind, layer, "coordinates unreadable")
            continue
        closed = kind.endswith("Polygon")
        if closed and len(points) > 1 and points[0] == points[-1]:
            points = points[:-1]
        first = first or (points if closed else None)
        collector.stroke(points, closed=closed, layer=layer, kind=kind)
    words = _word(properties, _NAMES)
    if words and first:
        collector.label(words, *_inside(first), layer)


def _lines(coordinates: Any, depth: int) -> Iterator[Any]:
    if depth == 1:
        yield coordinates
        return
    for part in _list(coordinates):
        yield from _lines(part, depth - 1)


def _points(line: Any) -> list[tuple[float, float]] | None:
    try:
        return [(float(point[0]), float(point[1])) for point in line]
    except (TypeError, ValueError, LookupError, OverflowError):
        return None


def _inside(points: Sequence[tuple[float, float]]) -> tuple[float, float]:
    from shapely import Polygon
    from shapely.errors import GEOSException

    try:
        inside = Polygon(points).representative_point()
        return float(inside.x), float(inside.y)
    except (GEOSException, ValueError):
        return points[0]


def _list(value: Any) -> list[Any]:
    return value if isinstance(value, list) else []


def _word(properties: dict[str, Any], keys: Sequence[str]) -> str:
    lower = {str(key).lower(): value for key, value in properties.items()}
    return next((str(lower[key]) for key in keys if isinstance(lower.get(key), str | int | float)), "")
