"""Vertical faces, flights of steps, entry and exits."""

from __future__ import annotations

import math

import pytest
import shapes

import floorplan
from floorplan.errors import Fault, PlanError
from floorplan.measure.floor import measure
from floorplan.measure.model import SlabTakeoff
from floorplan.measure.steps import measure_steps, stand_of
from floorplan.plan.model import Face, Steps
from floorplan.units.factors import FOOT_M, SQFT_M2


def room(*faces: Face, **parts: object) -> SlabTakeoff:
    """A 20 ft square with faces."""
    (slab,) = measure(shapes.square(20, faces=faces, **parts)).slabs
    return slab


def faults(**parts: object) -> list[Fault]:
    """What a 20 ft square with such parts is refused for."""
    with pytest.raises(PlanError) as caught:
        measure(shapes.square(20, **parts))
    return list(caught.value.faults)


@pytest.mark.parametrize("side", [("A", "B"), ("B", "A")])
def test_face_along_a_side_either_way_round(side: tuple[str, str]):
    """20 ft by 4 in is 6.667 sq ft, named as the side is."""
    slab = room(shapes.face(side, shapes.inches(4)))
    assert slab.faces[0].label == "A-B"
    assert slab.face_area_m2 / SQFT_M2 == pytest.approx(20 / 3, rel=1e-12)


def test_face_along_an_arc_is_its_length():
    """A face along a half circle is the arc long."""
    plan = shapes.changed(shapes.half_round(), faces=(shapes.face(("B", "A"), shapes.ft(1)),))
    (slab,) = measure(plan).slabs
    assert slab.faces[0].length_m / FOOT_M == pytest.approx(math.pi * 6, rel=1e-12)


def test_face_stops_where_a_cutout_stands_against_the_side():
    """Behind a pad there is no face to coat."""
    pad = shapes.cutout("pad", (2, 1), (4, 2))
    assert room(shapes.face(("A", "B"), shapes.ft(1)), cutouts=(pad,)).face_area_m2 == pytest.approx(
        16 * SQFT_M2, rel=1e-12
    )


def test_face_of_a_cutout_goes_round_every_copy():
    """Two pads of 3 x 3 ft, 4 in high, given at the cut-out or as a face: 8 sq ft."""
    places = [(5.0, 5.0), (12.0, 5.0)]
    own = shapes.cutout("pad", places, (3, 3), face=shapes.inches(4))
    bare = shapes.cutout("pad", places, (3, 3))
    for slab in (room(cutouts=(own,)), room(shapes.face("pad", shapes.inches(4)), cutouts=(bare,))):
        assert [f.label for f in slab.faces] == ["pad", "pad 2"]
        assert slab.face_area_m2 / SQFT_M2 == pytest.approx(8, rel=1e-12)


def test_face_of_one_copy():
    """A copy is named by its number."""
    pads = shapes.cutout("pad", [(5.0, 5.0), (12.0, 5.0)], (3, 3))
    slab = room(shapes.face("pad 2", shapes.inches(4)), cutouts=(pads,))
    assert [f.label for f in slab.faces] == ["pad 2"]


def test_face_of_an_unknown_side_is_refused():
    """The sides that exist are offered, at the line of the face."""
    (fault,) = faults(faces=(shapes.face(("A", "C"), shapes.ft(1)),))
    assert (fault.code, fault.text) == ("side-unknown", "face: the outline has no side A-C")
    assert fault.place is not None
    assert fault.place.line == 300


def test_face_of_an_unknown_cutout_is_refused():
    """The cut-outs that exist are offered."""
    (fault,) = faults(
        faces=(shapes.face("pad", shapes.ft(1)),), cutouts=(shapes.cutout("post", (5, 5), 1.0),)
    )
    assert (fault.code, fault.text) == ("cutout-unknown", "face: there is no cut-out pad")
    assert fault.hint == "cut-outs are post"


def test_two_faces_on_one_side_are_refused():
    """One edge has one face."""
    (fault,) = faults(faces=(shapes.face(("A", "B"), shapes.ft(1)), shapes.face(("B", "A"), shapes.ft(2))))
    assert fault.code == "face-twice"
    assert fault.text == "A-B carries two faces, so its height would be counted twice"


def flight(treads: int, risers: int, open_sides: int = 0) -> Steps:
    """Steps 4 ft wide with treads of 11 in and risers of 7 in."""
    return Steps(
        name="steps",
        width=shapes.ft(4),
        treads=treads,
        tread=shapes.inches(11),
        riser=shapes.inches(7),
        risers=risers,
        open_sides=open_sides,
    )


@pytest.mark.parametrize(
    ("treads", "risers", "under"),
    [
        # Rectangles of 11 x 7 in under the treads, counted on a sketch.
        (1, 2, 1),
        (1, 1, 1),
        (2, 3, 1 + 2),
        (3, 3, 1 + 2 + 3),
        (3, 2, 1 + 2),
        (1, 0, 0),
    ],
)
def test_steps_are_sums_of_rectangles(treads: int, risers: int, under: int):
    """Treads, risers, and two open cheeks of so many rectangles each; nosing along every tread."""
    steps = measure_steps(flight(treads, risers, open_sides=2))
    assert steps.tread_area_m2 / SQFT_M2 == pytest.approx(treads * 4 * 11 / 12, rel=1e-12)
    assert steps.riser_area_m2 / SQFT_M2 == pytest.approx(risers * 4 * 7 / 12, rel=1e-12)
    assert steps.cheek_area_m2 / SQFT_M2 == pytest.approx(2 * under * 77 / 144, rel=1e-12)
    assert steps.nosing_m / FOOT_M == pytest.approx(4 * treads, rel=1e-12)


def test_closed_sides_have_no_cheeks():
    """Between two walls no cheek is coated."""
    assert measure_steps(flight(3, 3)).cheek_area_m2 == 0.0


def test_steps_of_a_plan_are_summed():
    """Two flights add up; they belong to the job."""
    plan = shapes.plan(shapes.rectangle(20, 20), steps=(flight(3, 3), flight(1, 1)))
    takeoff = measure(plan)
    assert [s.steps.treads for s in takeoff.steps] == [3, 1]
    assert takeoff.step_area_m2 == pytest.approx(sum(s.area_m2 for s in takeoff.steps), rel=1e-12)


def test_entry_of_a_side_is_its_middle():
    """The door is half way along the side, and people leave by it where no exit is given."""
    slab = room(entry=("B", "C"))
    assert slab.entry is not None
    assert (slab.entry.x / FOOT_M, slab.entry.y / FOOT_M) == pytest.approx((20, 10))
    assert slab.exits == (slab.entry,)


def test_exits_as_sides_points_and_corners():
    """Each way to say where people leave."""
    slab = room(exits=(("A", "B"), shapes.at(3, 20), "C"))
    assert [(round(p.x / FOOT_M, 9), round(p.y / FOOT_M, 9)) for p in slab.exits] == [
        (10, 0),
        (3, 20),
        (20, 20),
    ]
    assert slab.entry is None


def test_unknown_entry_and_exits_are_refused_together():
    """All wrong doors of a slab come in one go."""
    found = faults(entry=("A", "C"), exits=("Q", ("B", "D")))
    assert [f.text for f in found] == [
        "entry: the outline has no side A-C",
        "exit: there is no corner or taped point Q",
        "exit: the outline has no side B-D",
    ]


STEPS = '[[steps]]\nname = "Garden steps"\nwidth = 5\ntreads = 3\ntread = "11 in"\nriser = "7 in"\n'
WELL = "[[slab.cutout]]\nname = 'Garden steps'\nkind = 'step down'\nat = ['5, 4']\nsize = '3 x 2'\n"


def _porch(kinds: str, more: str) -> floorplan.Plan:
    """A porch of 20 x 10 ft; what stands along A-B, B-C, C-D, D-A."""
    corners = zip(("0, 0", "20, 0", "20, 10", "0, 10"), kinds.split(","), strict=True)
    outline = "\n".join(f"{at} | {kind}" for at, kind in corners)
    head = "[[slab]]\nname = 'Porch'\nsystem = 'clear-seal'\n"
    return floorplan.read(f'{head}outline = """\n{outline}\n"""\n{more}')


@pytest.mark.parametrize(
    ("kinds", "more", "at_ft"),
    [
        ("wall,open,open,open", STEPS + "side = 'C-D'\n", (10, 10)),  # the side named, in its middle
        ("wall,open,step down,open", STEPS, (10, 10)),  # the only edge that is a step
        ("wall,step down,step down,open", STEPS, None),  # two could be it
        ("wall,open,open,open", STEPS, None),
        ("wall,open,step down,open", WELL + STEPS, (5, 4)),  # a cut-out of the same name goes before it
    ],
)
def test_where_steps_stand(kinds: str, more: str, at_ft: tuple[float, float] | None) -> None:
    """Points read off the typed corners; where the plan does not tell, the user is asked."""
    takeoff = floorplan.takeoff(_porch(kinds, more))
    at = stand_of(takeoff.slabs[0], takeoff.steps[0].steps)
    asked = [notice for notice in takeoff.notices if notice.code == "steps-placeless"]
    if at_ft is None:
        assert at is None and len(asked) == 1
    else:
        assert at == pytest.approx([value * FOOT_M for value in at_ft]) and not asked


@pytest.mark.parametrize("sheet", ["estimator", "crew", "customer"])
def test_steps_are_named_at_their_side(sheet: str) -> None:
    """On every sheet that says what stands along the sides."""
    plan = _porch("wall,open,open,open", STEPS + "side = 'C-D'\n")
    assert "Garden steps: 3 treads" in str(floorplan.draw(plan, sheet=sheet)[0])
