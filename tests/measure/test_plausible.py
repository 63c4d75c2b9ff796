"""What is asked about: areas that say a unit was missed, edges not stated, sides a foot apart."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
import shapes

import floorplan
from floorplan.errors import Notice
from floorplan.measure.floor import measure
from floorplan.plan.model import Plan
from floorplan.units.length import UnitStyle


def said(plan: Plan) -> dict[str, Notice]:
    """Notices by code."""
    return {n.code: n for n in measure(plan).notices}


@pytest.mark.parametrize(
    ("side", "code"),
    [(6.0, "area-small"), (6.4, None), (99.0, None), (101.0, "area-large")],
)
def test_area_outside_what_is_coated_is_asked_about(side: float, code: str | None):
    """36 and 10,201 sq ft are asked about, 41 and 9,801 are not (trade brief 2.4: 40 to 10,000)."""
    codes = {c for c in said(shapes.square(side)) if c.startswith("area-")}
    assert codes == ({code} if code else set())


def test_area_in_the_wrong_unit_is_asked_about():
    """A patio drawn in millimetres and read as feet."""
    notice = said(shapes.square(6100.0))["area-large"]
    assert notice.text.startswith("it has 37")
    assert notice.text.endswith(
        "of floor, which is very large; look at the units, and at one length that you know"
    )
    assert notice.where == "slab Patio"


def test_sides_and_cutouts_not_stated_are_asked_about():
    """Unknown edges are named with their length, and counted as in the way."""
    shape = shapes.rectangle(20, 20, ["unknown", "open", "unknown", "open"])
    post = shapes.cutout("pipe", (10, 10), (1, 1), kind="unknown")
    plan = shapes.plan(shapes.slab(shape, cutouts=(post,)))
    notice = said(plan)["edge-unknown"]
    assert notice.text == (
        "ASK: what stands along A-B, C-D, pipe was not stated (44.00 ft); it is counted as in the"
        " machine's way"
    )
    (slab,) = measure(plan).slabs
    assert slab.hand_grind_edge_m == pytest.approx(44 * 0.3048)
    assert slab.edge_length_by_kind_m["unknown"] == slab.hand_grind_edge_m


@pytest.mark.parametrize(("sides", "more"), [(12, False), (13, True)])
def test_many_sides_not_stated_are_named_up_to_twelve(sides: int, more: bool):
    """A regular outline of 10 ft about the middle; after the twelfth side comes a dash of dots."""
    points = [
        (10 * math.cos(k * math.tau / sides), 10 * math.sin(k * math.tau / sides)) for k in range(sides)
    ]
    plan = shapes.plan(shapes.slab(shapes.outline(points, "unknown")))
    text = said(plan)["edge-unknown"].text
    last = "L-M" if more else "L-A"
    assert f"K-L, {last}{', …' if more else ''} was not stated" in text


def test_stated_sides_are_not_asked_about():
    """Nothing is said where all is known."""
    assert not said(shapes.square(20))


@pytest.mark.parametrize(("other", "asked"), [(19.0, True), (18.9, False), (20.0, False)])
def test_opposite_sides_a_foot_apart_are_asked_about(other: float, asked: bool):
    """Sides of 20 and 19 ft look like a foot misread; 20 and 18.9 do not."""
    plan = shapes.plan(shapes.outline([(0, 0), (20, 0), (other, 10), (0, 10)]))
    assert ("foot-apart" in said(plan)) is asked
    if asked:
        assert said(plan)["foot-apart"].text == (
            "sides A-B (20'-0\") and C-D (19'-0\") differ by exactly one foot; look whether a foot was"
            " misread"
        )


def test_foot_apart_is_no_question_in_metres():
    """Nobody misreads a foot on a metric tape."""
    plan = shapes.plan(shapes.outline([(0, 0), (20, 0), (19, 10), (0, 10)]))
    assert "foot-apart" not in said(replace(plan, units=UnitStyle.M))


def test_notices_of_the_reader_come_first():
    """What the reader wants known stands before what the measuring found."""
    own = Notice(code="asked", text="12.11 may mean 12'-11\"")
    plan = replace(shapes.square(6), notices=(own,))
    assert [n.code for n in measure(plan).notices] == ["asked", "area-small"]


@pytest.mark.parametrize(("height", "asked"), [('"4 in"', False), ("3", False), ("4", True)])
def test_face_as_high_as_a_wall_is_asked_about(height: str, asked: bool):
    """A slab face of 4 in typed as a bare 4, which is feet; 3 ft is the most that is not asked about."""
    plan = floorplan.read(
        'units = "ft-in"\n[[slab]]\nname = "Patio"\noutline = """\n0, 0\n20, 0\n20, 10\n0, 10\n"""\n'
        f'[[slab.face]]\nside = "A-B"\nheight = {height}\n'
    )
    notice = said(plan).get("face-tall")
    assert (notice is not None) is asked
    if notice is not None:
        assert notice.text == "the face along A-B is 4'-0\" high; look at its unit"
        assert notice.where == "slab Patio"
