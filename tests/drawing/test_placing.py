"""Placing: the first way that fits, nothing over text, lines rather not over each other's lines."""

from __future__ import annotations

import random

import pytest
import shapely

from floorplan.drawing.lettering import letter
from floorplan.drawing.marks import Anchor
from floorplan.drawing.placing import Candidate, Crowd, box, text_box

PAPER = (0.0, 0.0, 100.0, 100.0)


def at(x: float, y: float, size: float = 5.0) -> Candidate:
    """A label of a square box."""
    return Candidate(marks=(letter(f"{x} {y}", (x, y)),), boxes=(box(x, y, x + size, y + size),))


def test_first_way_that_fits_is_taken() -> None:
    """The second way is taken where something stands in the first."""
    crowd = Crowd(PAPER)
    crowd.add_box(box(10, 10, 20, 20))
    marks = crowd.place([at(12, 12), at(30, 30), at(50, 50)])
    assert marks == at(30, 30).marks


def test_no_way_fits() -> None:
    """None says so, and nothing is set down."""
    crowd = Crowd(PAPER)
    crowd.add_box(box(0, 0, 100, 100))
    assert crowd.place([at(12, 12)]) is None
    assert len(crowd.boxes) == 1


def test_text_keeps_off_lines() -> None:
    """A box that a line runs through does not fit, one that it touches does."""
    crowd = Crowd(PAPER)
    crowd.add_line([(0, 50), (100, 50)])
    assert not crowd.fits(at(20, 48), crossing=True)
    assert crowd.fits(at(20, 50), crossing=True)


def test_lines_cross_only_where_they_must() -> None:
    """A way whose line crosses another label's line is taken only when no other is left."""
    crowd = Crowd(PAPER)
    crowd.take(Candidate(marks=(), lines=(((0.0, 50.0), (100.0, 50.0)),)))
    across = Candidate(marks=at(1, 1).marks, lines=(((50.0, 40.0), (50.0, 60.0)),))
    beside = Candidate(marks=at(2, 2).marks, lines=(((50.0, 60.0), (50.0, 80.0)),))
    assert crowd.place([across, beside]) == beside.marks
    assert crowd.place([across], crossing=False) is None
    assert crowd.place([across]) == across.marks


def test_lines_never_run_through_text() -> None:
    """Not even where no other way is left."""
    crowd = Crowd(PAPER)
    crowd.add_box(box(40, 40, 60, 60))
    assert crowd.place([Candidate(marks=(), lines=(((0.0, 50.0), (100.0, 50.0)),))]) is None


def test_dimension_does_not_run_along_a_joint() -> None:
    """A line that would hide under another for more than 3 mm is not drawn there."""
    crowd = Crowd(PAPER)
    crowd.add_line([(10, 50), (90, 50)])
    for y, fits in ((50.4, False), (53.0, True)):
        line = ((20.0, y), (60.0, y))
        assert crowd.fits(Candidate(marks=(), lines=(line,), apart=(line,)), crossing=True) == fits


def test_labels_stay_on_the_paper() -> None:
    """A box that leaves the bounds does not fit."""
    assert not Crowd(PAPER).fits(at(97, 50), crossing=True)


@pytest.mark.parametrize("seed", range(20))
def test_touching_agrees_with_shapely(seed: int) -> None:
    """Boxes turned at random fit exactly where shapely finds nothing in common (reference library)."""
    dice = random.Random(seed)
    crowd = Crowd((-100.0, -100.0, 200.0, 200.0))
    figures: list[shapely.Geometry] = []
    for _ in range(40):
        text = letter(
            "Floor 12'-6\"",
            (dice.uniform(0, 100), dice.uniform(0, 100)),
            anchor=dice.choice(list(Anchor)),
            angle_deg=dice.choice((0.0, 90.0, dice.uniform(-90, 90))),
        )
        hull = text_box(text)
        mine = shapely.Polygon(hull)
        fits = crowd.fits(Candidate(marks=(), boxes=(hull,)), crossing=True)
        shared = [mine.intersection(other) for other in figures]
        assert fits == (not any(each.area > 1e-9 or each.length > 1e-9 for each in shared))
        if fits:
            crowd.add_box(hull)
            figures.append(mine)
        else:
            line = (
                (dice.uniform(0, 100), dice.uniform(0, 100)),
                (dice.uniform(0, 100), dice.uniform(0, 100)),
            )
            crowd.add_line(line)
            figures.append(shapely.LineString(line))


def test_free_places_are_those_that_fit() -> None:
    """The fast search over many places agrees with trying one after the other."""
    dice = random.Random(3)
    crowd = Crowd(PAPER)
    for _ in range(25):
        x, y = dice.uniform(0, 90), dice.uniform(0, 90)
        crowd.add_box(box(x, y, x + 6, y + 3))
        crowd.add_line([(x, y), (dice.uniform(0, 100), dice.uniform(0, 100))])
    places = [(dice.uniform(5, 90), dice.uniform(5, 90)) for _ in range(300)]
    free = list(crowd.free_places(places, (-2.0, -1.0, 2.0, 1.0)))
    one_by_one = [
        (x, y)
        for x, y in places
        if crowd.fits(Candidate(marks=(), boxes=(box(x - 2, y - 1, x + 2, y + 1),)), crossing=True)
    ]
    assert free == one_by_one
