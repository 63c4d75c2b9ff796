"""`[grinder]`: the walk-behind grinder and the band ground by hand."""

from __future__ import annotations

from ..units.length import Length, UnitStyle
from ..units.reading import read_length
from .asked import Asked
from .keys import Holds, Key, Keys
from .model import Grinder

KEYS = Keys(
    "grinder",
    "the walk-behind grinder; every key may be left out (typical values, common practice)",
    (
        Key("head", Holds.LENGTH, "diameter of the cut", "18 in"),
        Key("overall", Holds.LENGTH, "widest part of the machine", "22 in"),
        Key("gap", Holds.LENGTH, "left uncut at an edge that stands in the way", "2 in"),
        Key("overhang", Holds.LENGTH, "how far the cut may run past an open edge", "2 in"),
        Key("band", Holds.LENGTH, "width ground by hand along an edge in the way", "6 in"),
    ),
)


def default_grinder() -> Grinder:
    """The grinder of a plan that names none: common practice, no source."""
    return Grinder(**{key.name: read_length(key.default, UnitStyle.FT_IN) for key in KEYS.keys})


def read_grinder(asked: Asked | None) -> Grinder:
    """The grinder, with the defaults where a key is left out."""
    default = default_grinder()
    if asked is None:
        return default
    grinder = Grinder(
        head=asked.length("head") or default.head,
        overall=asked.length("overall") or _overall(asked, default),
        gap=_given(asked, "gap", default.gap),
        overhang=_given(asked, "overhang", default.overhang),
        band=_given(asked, "band", default.band),
    )
    asked.finish()
    _check(asked, grinder)
    return grinder


def _given(asked: Asked, name: str, default: Length) -> Length:
    length = asked.length_or_nothing(name)
    return default if length is None else length


def _overall(asked: Asked, default: Grinder) -> Length:
    """The overall width of a machine whose head alone is given keeps the default's margin."""
    head = asked.length("head") if "head" in asked else None
    if head is None:
        return default.overall
    return Length(head.m + default.overall.m - default.head.m)


def _check(asked: Asked, grinder: Grinder) -> None:
    if grinder.overall.m < grinder.head.m:
        asked.fault(
            "grinder-narrow",
            f"the machine's overall width {grinder.overall.text} is less than its head {grinder.head.text}",
            "overall" if "overall" in asked else "head",
            "overall is the widest part of the machine",
        )
    if grinder.overhang.m > grinder.head.m / 2:
        asked.fault(
            "grinder-overhang",
            f"an overhang of {grinder.overhang.text} takes the head's centre past the edge",
            "overhang" if "overhang" in asked else "head",
            "keep it below half the head",
        )
