"""Findings in words and in the user's units. One row a code: what is wrong or worth knowing, and the cure.

Figures in braces are named in the finding; `_m` and `_m2` and `_deg` at the end of a name say how to write
it.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from ..units.figures import Figures
from .findings import Finding

WORDS: Final[Mapping[str, tuple[str, str]]] = MappingProxyType(
    {
        "walk-open": (
            "the walk ends {gap_m} {direction} of where it began, {ratio} of its {perimeter_m}: too"
            " much to spread",
            "walk it again, or tape a diagonal; a corner left out or a left for a right does this",
        ),
        "walk-open-suspect": (
            "the walk ends {gap_m} {direction} of where it began, {ratio} of its {perimeter_m}: too"
            " much to spread",
            "one mistake would explain it:",
        ),
        "walk-open-suspects": (
            "the walk ends {gap_m} {direction} of where it began, {ratio} of its {perimeter_m}: too"
            " much to spread",
            "one of these mistakes would explain it; the walk cannot tell which:",
        ),
        "walk-mend-length": ("{leg}: {true_m} in place of {taped_m} ({why})", ""),
        "walk-mend-length-bare": ("{leg}: {true_m} in place of {taped_m}", ""),
        "walk-mend-way": ("{leg}: {true_way} in place of {way}", ""),
        "walk-mend-angle": ("{leg}: {true_angle} in place of {angle} ({why})", ""),
        "walk-mend-angle-bare": ("{leg}: {true_angle} in place of {angle}", ""),
        "walk-mend-twice": ("{leg}: the same as the side before it; written twice", ""),
        "walk-mend-left-out": ("between {before} and {leg}: a side of {length_m} {way} left out", ""),
        "walk-amber": (
            "the walk misses its start by {gap_m}, {direction} ({ratio} of its length); the gap was"
            " spread over the sides in proportion to their lengths (compass rule)",
            "",
        ),
        "walk-angles-open": (
            "the angles add up to {found_deg} where they must make {should_deg}: off by {gap_deg}",
            "check which angle was read from the wrong side, or type ? for the one you trust least",
        ),
        "walk-angles-open-suspects": (
            "the angles add up to {found_deg} where they must make {should_deg}: off by {gap_deg}",
            "with the lengths, this would explain it:",
        ),
        "walk-angles-amber": ("the angles miss their sum by {gap_deg}, which was shared among them", ""),
        "walk-unchecked": (
            "two values were worked out from closing, so nothing checks the walk: tape one more length",
            "",
        ),
        "walk-taken-clockwise": (
            "inside angles fit the shape and its mirror image: the corners are taken clockwise, as"
            " sketches usually run; write one direction as turn left or turn right to settle it",
            "",
        ),
        "walk-too-many-missing": (
            "closing the walk can give two missing lengths or directions, not more: {legs}",
            "tape all but two of them",
        ),
        "walk-missing-backwards": (
            "the missing length of {legs} would come out below nothing",
            "a direction next to it is probably the wrong way round",
        ),
        "walk-missing-parallel": (
            "{legs} run the same way, so their two missing lengths cannot be told apart",
            "tape one of them",
        ),
        "walk-missing-impossible": (
            "no length or direction of {legs} brings the walk back to its start",
            "check the lengths of the other sides",
        ),
        "walk-two-shapes-lengths": (
            "two shapes fit the missing values: {area_m2} or {other_area_m2}",
            "type one of the missing lengths: {length0_m} or {other_length0_m}",
        ),
        "walk-two-shapes-length-heading": (
            "two shapes fit the missing values: {area_m2} with a length of {length0_m}, or"
            " {other_area_m2} with {other_length0_m}",
            "type the missing length, {length0_m} or {other_length0_m}",
        ),
        "walk-two-shapes-headings": (
            "two shapes fit the missing directions: {area_m2} or {other_area_m2}",
            "type one of the directions: azimuth {heading0_azimuth} or {other_heading0_azimuth}",
        ),
        "walk-two-shapes-areas": (
            "two shapes fit the angles: {area_m2} or {other_area_m2}",
            "write one direction as turn left or turn right",
        ),
        "walk-too-long": ("a walk of {legs} sides is more than the {most} that are solved", "split the slab"),
        "tape-too-large": (
            "{points} corners and points are more than the {most} that are solved (with {ties} lengths)",
            "split the slab",
        ),
        "tape-loose": (
            "the lengths do not hold {corners}: {missing} more needed",
            "tape {next}",
        ),
        "tape-side-too-long": (
            "side {side} of {length_m} is longer than all other sides together ({others_m})",
            "check that length first",
        ),
        "tape-triangle-broken": (
            "{long} {long_m} is longer than {one} {one_m} and {two} {two_m} together, by {over_m}:"
            " no triangle",
            "tape the three again",
        ),
        "tape-two-shapes": (
            "{count} shapes fit the lengths: corners {corners} lie one way with {area_m2} in all,"
            " another way with {other_area_m2}",
            "tape {tie}, or pace it and add it with a wide ±: about {length_m} for the first,"
            " {other_length_m} for the other; or say which corners stand in (inward): {inward}, or"
            " {other_inward}",
        ),
        "tape-two-shapes-alike": (
            "{count} shapes fit the lengths: corners {corners} lie one way with {area_m2} in all,"
            " another way with {other_area_m2}",
            "tape {tie}, or pace it and add it with a wide ±: about {length_m} for the first,"
            " {other_length_m} for the other",
        ),
        "tape-two-places": (
            "{corners} could lie in {count} places",
            "tape {tie}, or pace it and add it with a wide ±: about {length_m} for the first,"
            " {other_length_m} for the other",
        ),
        "tape-many-shapes": (
            "the lengths fit too many shapes: each corner that hangs on two lengths can lie on either side",
            "tape lengths across, between corners that are not next to each other",
        ),
        "tape-muddle": (
            "the {count} lengths contradict each other all over and make no one shape",
            "look at the order of the corners and at the units, then enter the lengths in small steps",
        ),
        "tape-crosses": (
            "sides {side} and {other} cross however the lengths are laid out",
            "look at the order of the corners, and at the lengths to {other}",
        ),
        "tape-inward-differs": (
            "the lengths fit no shape in which just the corners named stand in",
            "the nearest shape has these standing in: {found}",
        ),
        "tape-unchecked": (
            "the {count} lengths fix the corners and check nothing: a misread one would not show;"
            " tape {next} too",
            "",
        ),
        "tape-unchecked-triangle": (
            "three lengths fix a triangle and check nothing: tape each of them twice",
            "",
        ),
        "tape-part-unchecked": ("no other length checks {ties}: a misreading there would not show", ""),
        "tape-suspect": (
            "{tie} was taped {taped_m}, but the other lengths say {expected_m}, {off_m} off: {why};"
            " tape it again",
            "",
        ),
        "tape-suspects": (
            "one of these does not fit, and the lengths cannot tell which: {ties}; tape them again",
            "",
        ),
        "tape-not-square": (
            "corner {corner} was checked square, but the lengths put it {off_deg} off square",
            "",
        ),
        "tape-not-on-side": (
            "{point} is said to lie on side {side}, but the lengths put it {off_m} off",
            "",
        ),
        "tape-weak-corner": (
            "corner {corner} hangs on lengths that cross at {angle_deg}: it may be off by {std_m};"
            " tape it from the side",
            "",
        ),
        "tape-rougher": (
            "the lengths fit as if each were good to {seen_m}, not {stated_m}: standard errors were"
            " widened to match",
            "",
        ),
        "tape-misfit": ("{tie} is {residual_m} off what the other lengths make of it", ""),
        "offsets-count": (
            "an edge needs two stations or more, and takes {most} at most; there are {count}",
            "",
        ),
        "offsets-backwards": (
            "station {station_m} does not come after the one before it",
            "list the stations along the baseline in order, each once",
        ),
        "offsets-off-baseline": (
            "station {station_m} lies off the baseline of {baseline_m}",
            "check the station, or the length of the baseline",
        ),
        "offsets-negative": (
            "the offset at {station_m} is below nothing",
            "measure all offsets to one side of the baseline",
        ),
        "offsets-pinched": (
            "the offset at {station_m} is nothing, so the floor is pinched apart there",
            "give the two parts as two slabs",
        ),
        "offsets-flat": ("every offset is nothing, so there is no floor", "type the offsets"),
        "offsets-swings": (
            "between {station_m} and {next_m} a smooth edge would swing below the baseline",
            'measure more offsets there, or use edge = "straight"',
        ),
        "offsets-smooth": (
            "the free edge is a cubic spline through the points (not-a-knot ends): {area_m2}; straight lines"
            " between them (trapezoids) give {trapezoid_m2}",
            "",
        ),
        "offsets-smooth-simpson": (
            "the free edge is a cubic spline through the points (not-a-knot ends): {area_m2};"
            " Simpson's rule gives {simpson_m2}, straight lines (trapezoids) {trapezoid_m2}",
            "",
        ),
        "offsets-straight": ("the free edge runs straight between the points (trapezoids): {area_m2}", ""),
        "offsets-straight-simpson": (
            "the free edge runs straight between the points (trapezoids): {area_m2}; Simpson's rule,"
            " for a smooth edge, gives {simpson_m2}",
            "",
        ),
        "offsets-odd": (
            "the offset {offset_m} at {station_m} stands off the line of its neighbours, which speak for"
            " about {likely_m}; the curve goes through it all the same",
            "measure it once more",
        ),
        "offsets-short": (
            "the stations leave out {start_m} at the start and {end_m} at the end of the baseline:"
            " no floor is counted there",
            "",
        ),
    }
)


def in_words(finding: Finding, figures: Figures) -> tuple[str, str]:
    """(what is wrong or worth knowing, the cure or "") of a finding."""
    text, hint = WORDS[finding.code]
    said = {name: _shown(name, value, figures) for name, value in finding.figures.items()}
    for name, value in finding.figures.items():
        if name.endswith("_deg") and not isinstance(value, str):
            said[name.removesuffix("_deg") + "_azimuth"] = f"{(90.0 - value) % 360.0:.1f}"
    return text.format_map(said), hint.format_map(said)


def _shown(name: str, value: float | str, figures: Figures) -> str:
    if isinstance(value, str):
        return value
    if name.endswith("_m2"):
        return figures.area(value)
    if name.endswith("_deg"):
        return f"{value:.1f}°"
    return figures.length(value)
