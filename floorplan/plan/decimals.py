"""Decimals that may have been meant as feet and inches: 12.6 typed for 12'-6"."""

from __future__ import annotations

from collections.abc import Iterable

from ..errors import Notice
from ..patterns import pattern
from ..units.figures import Figures
from ..units.length import Length, UnitStyle

_BARE = pattern(r"-?(?P<feet>[0-9]+)\.(?P<inches>[0-9]{1,2})")
_HALF = "5"
_MOST_INCHES = 11
_ENOUGH = 4


def doubtful_decimals(lengths: Iterable[Length], style: UnitStyle) -> Notice | None:
    """A warning where every bare decimal of a plan in feet and inches could be inches after a point.

    Fewer than four different ones, or nothing but halves, say too little. Common practice, no source.
    """
    if style is not UnitStyle.FT_IN:
        return None
    found = {length: match for length in lengths if (match := _BARE.fullmatch(length.text))}
    if len(found) < _ENOUGH or any(int(match["inches"]) > _MOST_INCHES for match in found.values()):
        return None
    rows = ((length, match) for length, match in found.items() if match["inches"] != _HALF)
    length, match = next(rows, (None, None))
    if length is None or match is None:
        return None
    inches = f"{match['feet']}'-{match['inches']}\""
    return Notice(
        code="decimals-doubtful",
        text=f"every decimal here could be feet and inches: {length.text} is read as "
        f"{Figures(style).length(length.m)}, not {inches}; write {length.text}' or {inches} to settle it",
    )
