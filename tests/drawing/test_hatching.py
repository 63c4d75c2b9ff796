"""Textures: lines inside the region, none under lettering, as dense as they should be."""

from __future__ import annotations

import pytest
import shapely

from floorplan.drawing.hatching import hatched
from floorplan.drawing.marks import Pen, Run
from floorplan.drawing.pens import Texture

TEXTURE = Texture(Pen(0.18), 0.5, (30.0,))
RING = shapely.Point(50, 40).buffer(20, quad_segs=64).difference(shapely.box(45, 35, 55, 45))


def _lines(runs: tuple[Run, ...]) -> shapely.MultiLineString:
    return shapely.MultiLineString([run.points for run in runs])


def test_hatch_lies_inside_the_region() -> None:
    """No line leaves the region or enters its hole."""
    lines = _lines(hatched(RING, TEXTURE))
    assert lines.difference(RING.buffer(1e-6)).length == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("angle", [0.0, 30.0, 45.0, 90.0, 135.0])
def test_hatch_length_times_spacing_is_the_area(angle: float) -> None:
    """Closed form: parallel lines a distance s apart have the length area / s, to the width of one line."""
    texture = Texture(Pen(0.18), 0.1, (angle,))
    length = _lines(hatched(RING, texture)).length
    assert length * 0.1 == pytest.approx(RING.area, rel=2e-3)


def test_hatch_is_cut_out_under_lettering() -> None:
    """A box of lettering is left clear, also where it reaches past the region."""
    box = ((25.0, 38.0), (48.0, 38.0), (48.0, 42.0), (25.0, 42.0))
    lines = _lines(hatched(RING, TEXTURE, [box]))
    clear = shapely.Polygon(box)
    assert lines.intersection(clear.buffer(-1e-6)).length == pytest.approx(0.0, abs=1e-9)
    whole = _lines(hatched(RING, TEXTURE))
    assert lines.length == pytest.approx(whole.difference(clear).length, abs=0.5)


def test_hatch_of_a_figure_that_touches_itself() -> None:
    """A bow-tie, invalid as a polygon, is hatched by the even-odd rule and nothing runs away."""
    bow = shapely.Polygon([(0, 0), (10, 10), (10, 0), (0, 10)])
    lines = _lines(hatched(bow, Texture(Pen(0.1), 0.1, (0.0,))))
    assert lines.bounds[0] >= 0.0
    assert lines.bounds[2] <= 10.0
    assert lines.length * 0.1 == pytest.approx(50.0, rel=0.02)


def test_hatch_of_nothing_is_nothing() -> None:
    """An empty region has no lines."""
    assert hatched(shapely.Polygon(), TEXTURE) == ()
