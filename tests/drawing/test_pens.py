"""Lines and colours: contrast by WCAG 2.2, and meaning without colour."""

from __future__ import annotations

import itertools

import outside
import pytest

from floorplan.drawing import pens
from floorplan.drawing.lettering import INK, SOFT
from floorplan.drawing.marks import Pen
from floorplan.drawing.pens import JOINTS, Texture


def contrast(a: str, b: str) -> float:
    """Contrast of two colours by the WCAG formula (row G14)."""
    low, high = sorted((_luminance(a), _luminance(b)))
    return (high + 0.05) / (low + 0.05)


def _luminance(colour: str) -> float:
    parts = [int(colour[k : k + 2], 16) / 255.0 for k in (1, 3, 5)]
    linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def _pens() -> list[Pen]:
    named = [value for value in vars(pens).values() if isinstance(value, Pen)]
    textures = [value.pen for value in vars(pens).values() if isinstance(value, Texture)]
    return [*named, *textures, *(pen for each in JOINTS.values() for pen in each)]


def test_contrast_formula_agrees_with_published_pairs() -> None:
    """Row G15-blue: the formula used here gives the derived contrast."""
    row = outside.row("g_drawing", "G15-blue")
    assert contrast(row["inputs"]["hex"], "#ffffff") == pytest.approx(
        row["expected"]["contrast_on_white"], abs=1e-6
    )


@pytest.mark.parametrize("pen", _pens(), ids=str)
def test_every_line_stands_out_from_paper(pen: Pen) -> None:
    """3:1 for everything that carries meaning (WCAG 2.2, 1.4.11)."""
    assert contrast(pen.colour, "#ffffff") >= outside.row("g_drawing", "G14")["expected"]["non_text_1_4_11"]


@pytest.mark.parametrize("ink", [INK, SOFT])
def test_lettering_stands_out_from_paper_and_tint(ink: str) -> None:
    """4.5:1 for text, on white and on the tint of the coated floor."""
    for paper in ("#ffffff", "#eef4f8"):
        assert contrast(ink, paper) >= outside.row("g_drawing", "G14")["expected"]["text_aa"]


def test_joint_treatments_differ_without_colour() -> None:
    """Width and dashes alone tell the lines apart; beads and doubling tell the rest."""
    plain = {treatment: (pen.width_mm, pen.dashes_mm) for treatment, (pen,) in JOINTS.items()}
    for a, b in itertools.combinations(plain, 2):
        assert plain[a] != plain[b], (a, b)


def test_edges_by_hand_are_twice_as_heavy() -> None:
    """A copy of a copy still shows which edge is ground by hand."""
    assert pens.EDGE_HAND.width_mm >= 2.0 * pens.EDGE_OTHER.width_mm
    assert pens.EDGE_UNKNOWN.dashes_mm
