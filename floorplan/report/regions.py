"""The regions of a takeoff as GeoJSON and CSV: net floor, band, pockets, joints and edges, in metres."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping
from typing import TYPE_CHECKING, Any, Final

from .tables import Cell, csv_text

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

    from ..measure.model import SlabTakeoff, Takeoff
    from ..work.pours import Pour

REGIONS: Final = {
    "outline": "inside the outline",
    "net": "net floor",
    "machine": "floor that the walk-behind cuts",
    "hand": "floor that is ground by hand",
    "band": "floor within the band of edges in the way",
    "pocket": "floor that the walk-behind cannot reach outside the band",
    "cutout": "cut-outs",
    "edge": "edges by kind",
    "joint": "joints by treatment",
    "zone": "pour zones of every coat",
}
"""What can be exported, and what it is."""

Feature = tuple[Mapping[str, Any], "BaseGeometry"]


def regions_geojson(
    takeoff: Takeoff, chosen: Iterable[str] = tuple(REGIONS), *, pours: Iterable[Pour] = ()
) -> str:
    """A GeoJSON text, a feature on a line for each region of each slab; coordinates in metres on the sheet.

    Zones are those of `pours`, which only the work plan knows.

    GeoJSON (RFC 7946) means longitude and latitude; a slab has none, so the member `units` says metres, and a
    program that insists on a place on earth will put it off the coast of Africa.
    """
    from shapely.geometry import mapping

    head = {"type": "FeatureCollection", "made_by": "floorplan", "title": takeoff.plan.title, "units": "m"}
    features = [
        json.dumps(
            {"type": "Feature", "properties": dict(properties), "geometry": mapping(shape)},
            ensure_ascii=False,
        )
        for properties, shape in _features(takeoff, tuple(chosen), tuple(pours))
    ]
    start = json.dumps(head, ensure_ascii=False).removesuffix("}")
    return start + ', "features": [\n' + ",\n".join(features) + "\n]}\n"


def regions_csv(
    takeoff: Takeoff, chosen: Iterable[str] = tuple(REGIONS), *, pours: Iterable[Pour] = ()
) -> str:
    """The same as rows: one for each point of each ring or line."""
    rows: list[tuple[Cell, ...]] = [
        (f"floorplan regions: {takeoff.plan.title}",),
        ("slab", "region", "name", "kind", "part", "ring", "point", "x_m", "y_m"),
    ]
    for properties, shape in _features(takeoff, tuple(chosen), tuple(pours)):
        head = tuple(str(properties.get(key, "")) for key in ("slab", "region", "name", "kind"))
        for part, ring, points in _runs(shape):
            rows += [(*head, part, ring, n, x, y) for n, (x, y) in enumerate(points, 1)]
    return csv_text(rows)


def _features(takeoff: Takeoff, chosen: tuple[str, ...], pours: tuple[Pour, ...]) -> Iterator[Feature]:
    for slab in takeoff.slabs:
        for region in chosen:
            for properties, shape in _of_region(slab, region, pours):
                if not shape.is_empty:
                    yield {"slab": slab.name, "region": region, **properties}, shape


def _of_region(slab: SlabTakeoff, region: str, pours: tuple[Pour, ...]) -> Iterator[Feature]:
    areas = {
        "outline": (slab.regions.outline, slab.gross_area_m2),
        "net": (slab.regions.net, slab.net_area_m2),
        "machine": (slab.regions.machine, slab.machine_area_m2),
        "hand": (slab.regions.hand, slab.hand_grind_area_m2),
        "band": (slab.regions.band, slab.band_area_m2),
        "pocket": (slab.regions.pockets, slab.pocket_area_m2),
    }
    if region in areas:
        shape, area_m2 = areas[region]
        yield {"area_m2": area_m2}, shape
    elif region == "cutout":
        for cutout in slab.cutouts:
            facts = {"name": cutout.name, "kind": cutout.kind, "area_m2": cutout.area_m2}
            yield {**facts, "deducted_m2": cutout.deducted_m2}, cutout.ring.polygon()
    elif region == "edge":
        for edge in slab.edges:
            facts = {"name": edge.label, "kind": edge.kind, "length_m": edge.length_m}
            yield {**facts, "hand_grind": edge.hand_grind, "mask": edge.mask}, edge.lines
    elif region == "joint":
        for joint in slab.joints:
            facts = {"name": joint.joint.name, "kind": joint.joint.kind.value, "length_m": joint.length_m}
            yield {**facts, "treatment": joint.joint.treatment.value}, joint.lines
    elif region == "zone":
        for zone in (zone for pour in pours for zone in pour.zones if zone.slab == slab.name):
            facts = {"name": f"{zone.layer} {zone.order}", "kind": zone.layer, "area_m2": zone.area_m2}
            yield {**facts, "order": zone.order, "kits": zone.kits}, zone.floor
    else:
        raise ValueError(f"region must be one of {', '.join(REGIONS)}, got {region!r}")


def _runs(shape: BaseGeometry) -> Iterator[tuple[int, int, list[tuple[float, float]]]]:
    """(part, ring, points): polygons by their rings, the outer one 1; lines as ring 0."""
    for part, piece in enumerate(getattr(shape, "geoms", [shape]), 1):
        if piece.geom_type == "Polygon":
            for ring, line in enumerate((piece.exterior, *piece.interiors), 1):
                yield part, ring, [(float(x), float(y)) for x, y in line.coords]
        else:
            yield part, 0, [(float(x), float(y)) for x, y in piece.coords]
