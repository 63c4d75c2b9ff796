"""What unit a drawing is in: what the file says, what contradicts it, and the size in every unit to
choose from.

Source of the codes: DXF reference, HEADER section, $INSUNITS; the factors are exact definitions.
"""

from __future__ import annotations

from typing import Final

from ..units.factors import CM_M, FOOT_M, INCH_M, MIL_M, MILE_M, MM_M, UM_M, YARD_M

US_SURVEY_FOOT_M: Final = 1200.0 / 3937.0
"""The survey foot of old land plats, 1200/3937 m exactly (NIST SP 811)."""

INSUNITS: Final[dict[int, tuple[str, float]]] = {
    1: ("inches", INCH_M),
    2: ("feet", FOOT_M),
    3: ("miles", MILE_M),
    4: ("millimetres", MM_M),
    5: ("centimetres", CM_M),
    6: ("metres", 1.0),
    7: ("kilometres", 1e3),
    8: ("microinches", 1e-6 * INCH_M),
    9: ("mils", MIL_M),
    10: ("yards", YARD_M),
    11: ("ångströms", 1e-10),
    12: ("nanometres", 1e-9),
    13: ("microns", UM_M),
    14: ("decimetres", 0.1),
    15: ("decametres", 10.0),
    16: ("hectometres", 100.0),
    17: ("gigametres", 1e9),
    18: ("astronomical units", 149_597_870_700.0),
    19: ("light years", 9_460_730_472_580_800.0),
    20: ("parsecs", 3.0856775814913673e16),
    21: ("US survey feet", US_SURVEY_FOOT_M),
    22: ("US survey inches", 100.0 / 3937.0),
    23: ("US survey yards", 3600.0 / 3937.0),
    24: ("US survey miles", 5280.0 * US_SURVEY_FOOT_M),
}
"""$INSUNITS: name and metres for one unit; 0 says nothing."""

UNITS: Final[dict[str, float]] = {
    "ft": FOOT_M,
    "in": INCH_M,
    "m": 1.0,
    "cm": CM_M,
    "mm": MM_M,
    "yd": YARD_M,
    "us-survey-ft": US_SURVEY_FOOT_M,
}
"""The units a person may state for a drawing, metres for one."""

_METRIC_CODES: Final = frozenset({4, 5, 6, 7, 12, 13, 14, 15, 16, 17})
_IMPERIAL_CODES: Final = frozenset({1, 2, 3, 8, 9, 10, 21, 22, 23, 24})


def contradiction(code: int, measurement: int | None) -> str:
    """In words, how $MEASUREMENT contradicts $INSUNITS; "" when it does not."""
    if measurement == 0 and code in _METRIC_CODES:
        return f"its header says {INSUNITS[code][0]} ($INSUNITS) and English measure ($MEASUREMENT)"
    if measurement == 1 and code in _IMPERIAL_CODES:
        return f"its header says {INSUNITS[code][0]} ($INSUNITS) and metric measure ($MEASUREMENT)"
    return ""
