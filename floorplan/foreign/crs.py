"""Coordinate systems, kept simple: metres of a UTM zone are taken, degrees and web maps refused with the
reason.

Source of the codes: EPSG registry (from memory, except UTM WGS 84 326xx/327xx and 4326, which RFC 7946
and the OGC names carry).
"""

from __future__ import annotations

import re
from typing import Final

from ..errors import DrawingFileError, Fault

_DEGREES: Final = frozenset({4326, 4269, 4267, 4258, 4979, 4152})
_WEB: Final = frozenset({3857, 900913, 3785, 102100, 102113})
_METRES: Final = (range(32601, 32661), range(32701, 32761), range(25828, 25839), range(26901, 26924))
_LARGEST_SLAB_DEG: Final = 0.05


def unit_of(crs: str, name: str) -> tuple[float | None, str]:
    """Metres for one unit of a stated coordinate system and how it says so; (None, "") where that is not
    known.

    Raises:
        DrawingFileError: degrees, or a web map whose lengths are stretched.
    """
    if re.search(r"CRS:?84", crs, re.IGNORECASE):
        raise DrawingFileError(degrees(name, crs))
    found = re.search(r"(\d{4,6})\s*$", crs.strip())
    code = int(found[1]) if found else 0
    if code in _DEGREES:
        raise DrawingFileError(degrees(name, crs))
    if code in _WEB:
        raise DrawingFileError(
            Fault(
                code="drawing-web-map",
                text=f"{name}: its coordinates are of a web map ({crs[:60]}), which stretches lengths more"
                " the farther from the equator",
                hint="convert it to a projected system in metres, such as the UTM zone of the site",
            )
        )
    if any(code in metres for metres in _METRES):
        return 1.0, f"metres (EPSG {code})"
    return None, ""


def degrees(name: str, why: str) -> Fault:
    """The fault of longitudes and latitudes."""
    return Fault(
        code="drawing-degrees",
        text=f"{name}: its coordinates are longitude and latitude ({why[:60]}); a degree is no length,"
        " and not the same both ways",
        hint="convert it to a projected system in metres, such as the UTM zone of the site",
    )


def looks_like_degrees(box: tuple[float, float, float, float]) -> bool:
    """Whether an extent of a few hundredths at most, within 180 by 90, must be a slab in degrees."""
    x0, y0, x1, y1 = box
    within = max(abs(x0), abs(x1)) <= 180.0 and max(abs(y0), abs(y1)) <= 90.0
    return within and 0.0 < max(x1 - x0, y1 - y0) < _LARGEST_SLAB_DEG
