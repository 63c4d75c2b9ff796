"""Lengths are read in every notation of a tape sheet, and what cannot be read is said in words."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from floorplan.units.factors import FOOT_M, INCH_M
from floorplan.units.figures import Figures
from floorplan.units.length import UnitStyle
from floorplan.units.reading import Unreadable, read_length

FT_IN = UnitStyle.FT_IN

SAME = [
    "12' 6 1/2\"",
    "12'6.5\"",
    "12'-6 1/2\"",
    "12-6½",
    "12-6 1/2",
    "12ft 6 1/2in",
    "12 ft. 6 1/2 in.",
    "12 FEET 6½ INCHES",
    "12 foot 6-1/2 inch",
    '150.5"',
    '150 1/2"',
    "12’ 6½”",
    "12‘ 6½“",
    "12′ 6 1⁄2″",
    "12' - 6.50\"",
    "012' 06 2/4\"",
    "+12' 6 1/2",
    "  12'\u00a06½\"  ",
    "3.8227 m",
    "3,8227 m",
    "382.27cm",
    "3822.7 mm",
    "12.541666666666666666666666'",
]


@pytest.mark.parametrize("text", SAME)
def test_length_all_notations_agree(text: str) -> None:
    """12 ft 6 1/2 in is 150.5 in, 3.8227 m exactly, however it is written."""
    assert read_length(text, FT_IN).m == pytest.approx(3.8227, abs=1e-15)
    assert read_length(text, FT_IN).text == text.strip()


@pytest.mark.parametrize(
    ("style", "metres"),
    [("ft-in", 3.6576), ("ft", 3.6576), ("in", 0.3048), ("m", 12.0), ("cm", 0.12), ("mm", 0.012)],
)
def test_length_bare_number_is_in_plan_units(style: str, metres: float) -> None:
    """A bare number takes the units of the plan: 12 ft = 3.6576 m, 12 in = 0.3048 m."""
    assert read_length("12", UnitStyle(style)).m == pytest.approx(metres, abs=1e-15)


@pytest.mark.parametrize(
    ("text", "metres"),
    [
        ("-2' 6\"", -30 * INCH_M),
        ("−2'", -2 * FOOT_M),
        ("-0", 0.0),
        ("6 1/2", 6.5 * FOOT_M),
        ('½"', 0.5 * INCH_M),
        ("12'½\"", 144.5 * INCH_M),
        ("12'-1/2\"", 144.5 * INCH_M),
        ("12.11'", 12.11 * FOOT_M),
        ("12.12", 12.12 * FOOT_M),
        ("12.1", 12.1 * FOOT_M),
        ("12.110", 12.11 * FOOT_M),
        ("5.", 5 * FOOT_M),
        (".5", 0.5 * FOOT_M),
        ("0,125 m", 0.125),
        ("1,234,5 m", None),
    ],
)
def test_length_signs_fractions_and_decimals(text: str, metres: float | None) -> None:
    """Signs, lone fractions and decimals are read; 12.11 with its mark is a decimal of a foot."""
    if metres is None:
        with pytest.raises(Unreadable):
            read_length(text, FT_IN)
    else:
        assert read_length(text, FT_IN).m == pytest.approx(metres, abs=1e-12)


FAULTS = [
    ("14'3''", "length-unreadable", "14'3''", "cannot read the length 14'3''", "write 14' 3\" or 14.25'"),
    (
        "5' 14\"",
        "length-inches",
        "14",
        "the length 5' 14\" has 14 inches after the feet",
        "inches after feet stay below 12: write 6' 2\" if that is meant",
    ),
    (
        "5' 14 1/2\"",
        "length-inches",
        "14 1/2",
        "the length 5' 14 1/2\" has 14 1/2 inches after the feet",
        "inches after feet stay below 12: write 6' 2 1/2\" if that is meant",
    ),
    (
        "5' 12 3/8\"",
        "length-inches",
        "12 3/8",
        "the length 5' 12 3/8\" has 12 3/8 inches after the feet",
        "inches after feet stay below 12: write 6' 3/8\" if that is meant",
    ),
    (
        "5' 13.3\"",
        "length-inches",
        "13.3",
        "the length 5' 13.3\" has 13.3 inches after the feet",
        "inches after feet stay below 12: write 6' 1.3\" if that is meant",
    ),
    (
        "12.11",
        "length-ambiguous",
        "12.11",
        "the length 12.11 may mean feet and inches or a decimal of a foot",
        "write 12'-11\" or 12.11'",
    ),
    (
        "-12.10",
        "length-ambiguous",
        "-12.10",
        "the length -12.10 may mean feet and inches or a decimal of a foot",
        "write -12'-10\" or -12.10'",
    ),
    (
        "12 6 1/2",
        "length-ambiguous",
        "12 6 1/2",
        "the length 12 6 1/2 has two numbers and no foot mark",
        "write 12'-6 1/2\" if feet and inches are meant",
    ),
    (
        "12-1/2",
        "length-ambiguous",
        "12-1/2",
        "the length 12-1/2 may mean feet and inches or part of a foot",
        "write 12'-0 1/2\" or 12 1/2'",
    ),
    (
        "1,250'",
        "length-comma",
        "1,250",
        "cannot read the length 1,250': the comma may be a thousands mark or point",
        "write 1250 without a comma",
    ),
    (
        "1,250 mm",
        "length-comma",
        "1,250",
        "cannot read the length 1,250 mm: the comma may be a thousands mark or point",
        "write 1250 or 1.250 without a comma",
    ),
    (
        "12.5' 6\"",
        "length-unreadable",
        "12.5",
        "cannot read the length 12.5' 6\": parts of a foot and inches both",
        "write whole feet before inches, as 12' 6\", or feet alone, as 12.5'",
    ),
    (
        "12' 6 m",
        "length-unreadable",
        "6 m",
        "cannot read the length 12' 6 m: after feet come inches",
        "write 12' 6\"",
    ),
    (
        "26 yd",
        "length-unit",
        "yd",
        "cannot read the length 26 yd: yd is no unit of length",
        "units are ft, in, ', \", m, cm and mm",
    ),
    (
        '6 5/4"',
        "length-fraction",
        "6 5/4",
        'cannot read the length 6 5/4": 6 5/4 is no fraction of an inch tape',
        "a fraction is less than one, in parts down to 1/64",
    ),
    (
        "70000000",
        "length-absurd",
        "70000000",
        "the length 70000000 is more than 20,000 km",
        "check the number and its unit",
    ),
    ("", "length-missing", "", "no length is given", "write it like 12' 6 1/2\", 12.5', 150\" or 3.81 m"),
    (
        "12' wall",
        "length-unreadable",
        "wall",
        "cannot read the length 12' wall: what is wall?",
        "write it like 12' 6 1/2\", 12.5', 150\" or 3.81 m",
    ),
    (
        "12'-",
        "length-unreadable",
        "12'-",
        "cannot read the length 12'-: nothing stands after the hyphen",
        "write it like 12' 6 1/2\", 12.5', 150\" or 3.81 m",
    ),
]


@pytest.mark.parametrize(("text", "code", "marked", "words", "hint"), FAULTS, ids=[row[0] for row in FAULTS])
def test_length_fault_says_what_and_where(text: str, code: str, marked: str, words: str, hint: str) -> None:
    """Each fault has its code, marks the bad part and says what would be right."""
    with pytest.raises(Unreadable) as caught:
        read_length(text, FT_IN)
    problem = caught.value
    assert (problem.code, problem.text, problem.hint) == (code, words, hint)
    assert text[problem.start : problem.end] == marked


@pytest.mark.parametrize(
    "text", ["nan", "inf", "1e300", "-", "'", '"', ".", "''", "9" * 5000, "½½", "/", "12'' 5", "١٢"]
)
def test_length_nonsense_is_unreadable(text: str) -> None:
    """Words, lone marks, powers of ten and endless digits are unreadable in every style."""
    for style in UnitStyle:
        with pytest.raises(Unreadable):
            read_length(text, style)


def test_length_ambiguous_decimal_only_in_feet_and_inches() -> None:
    """In decimal feet, inches and metres 12.11 is what it says."""
    for style in UnitStyle:
        if style is not FT_IN:
            read_length("12.11", style)


def test_length_limit_is_20_000_km() -> None:
    """Coordinates of a survey grid can be read up to 20,000 km, a millimetre more cannot."""
    assert read_length("20000000 m", FT_IN).m == 20_000_000.0
    with pytest.raises(Unreadable):
        read_length("20000000.001 m", FT_IN)


@settings(max_examples=300, deadline=None)
@given(
    st.text(max_size=100) | st.text(alphabet="0123456789 '\"-./,½ftinmc", max_size=16),
    st.sampled_from(list(UnitStyle)),
)
def test_length_any_text_is_read_or_unreadable(text: str, style: UnitStyle) -> None:
    """Whatever is typed, a length or `Unreadable` comes out, its marks inside the text."""
    try:
        length = read_length(text, style)
    except Unreadable as problem:
        assert 0 <= problem.start <= problem.end <= max(len(text), 0)
        assert problem.text
    else:
        assert abs(length.m) <= 20_000_000


STEPS = {"ft-in": INCH_M / 8, "ft": FOOT_M / 100, "in": INCH_M / 8, "m": 0.001, "cm": 0.001, "mm": 0.001}


@settings(max_examples=300, deadline=None)
@given(st.floats(-30_000, 30_000), st.sampled_from(list(UnitStyle)))
def test_length_written_then_read_is_the_same_to_the_resolution(length_m: float, style: UnitStyle) -> None:
    """What is written reads back to within half a step, and writes the same again."""
    figures = Figures(style)
    text = figures.length(length_m)
    back = read_length(text, style).m
    assert abs(back - length_m) <= STEPS[style] / 2 * (1 + 1e-6)
    assert figures.length(back) == text


def test_tab_is_a_space() -> None:
    """A length copied from a table of columns reads as typed by hand: 12.5 ft = 3.81 m."""
    assert read_length("12'\t6\"", FT_IN).m == pytest.approx(3.81, rel=1e-12)


@pytest.mark.parametrize(("digits", "end"), [(60, ""), (61, "...")])
def test_long_text_is_shortened_in_a_message(digits: int, end: str) -> None:
    """Sixty characters are shown whole; of more, 57 and three points."""
    typed = "9" * (digits - 1) + "x"
    with pytest.raises(Unreadable) as caught:
        read_length(typed, FT_IN)
    assert (typed if not end else typed[:57] + end) in caught.value.text
