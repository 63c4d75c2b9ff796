"""Lines clipped to the floor, against the published rows, the worked estimates and figures by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from geometry.outlines import garage, garage_cutouts, patio, patio_posts, star
from hypothesis import given, settings
from hypothesis import strategies as st
from outside import row

from floorplan.geometry.clip import clip_lines, grid_lines
from floorplan.geometry.regions import subtract
from floorplan.geometry.rings import Ring
from floorplan.geometry.tolerance import GRID_LINES

SQUARE = subtract(Ring.rectangle((0, 0), 10, 10), [])
PATIO = subtract(patio(), patio_posts())


@pytest.mark.parametrize("id_", ["A9-joint", "A9-joint-L"])
def test_clipped_length_of_published_rows(id_: str) -> None:
    """Joint lines clipped to a slab with a cut-out, and to an L, have the lengths of rows A9."""
    case = row("a_geometry", id_)
    floor = subtract(Ring(case["inputs"]["outline"]), [Ring(h) for h in case["inputs"]["holes"]])
    clipped = clip_lines(case["inputs"]["lines"], floor)
    assert clipped.length_m == pytest.approx(case["expected"]["length"], abs=case["tolerance"])
    typed = sum(math.dist(*line) for line in case["inputs"]["lines"])
    assert clipped.dropped_m == pytest.approx(typed - clipped.length_m, abs=1e-12)


def test_panel_grid_length_of_published_row() -> None:
    """A 24 x 24 floor in 3 x 3 panels has 96 of joint; lines on the edge are not joints (row A9-grid)."""
    case = row("a_geometry", "A9-grid")
    a, b = case["inputs"]["a"], case["inputs"]["b"]
    floor = subtract(Ring([(0, 0), (a, 0), (a, b), (0, b)]), [])
    lines = grid_lines(floor.net, (a / case["inputs"]["nx"], b / case["inputs"]["ny"]), (0, 0))
    assert len(lines) == 8
    assert clip_lines(lines, floor).length_m == pytest.approx(case["expected"]["length"], abs=1e-12)


def test_patio_grooves_of_trade_brief() -> None:
    """The worked patio's grooves, each to a hundredth of a foot, and 144.74 ft in all (trade brief 10A)."""
    upright = [[(x, -5), (x, 40)] for x in (6.5, 13, 19, 25.25)]
    level = [[(-5, y), (40, y)] for y in (6.5, 13, 17.5)]
    single = [round(clip_lines([line], PATIO).length_m, 2) for line in [*upright, *level]]
    assert single == [24.87, pytest.approx(23.19, abs=0.0051), 13.00, 13.00, 31.94, 18.55, 20.19]
    together = clip_lines([*upright, *level], PATIO)
    assert round(together.length_m, 2) == 144.74


def test_garage_saw_cuts_of_trade_brief() -> None:
    """The worked garage's saw cuts: 23.75 and 22.00 ft; the crack 4.89 ft (trade brief 10B)."""
    floor = subtract(garage(), garage_cutouts())
    assert round(clip_lines([[(11, -9), (11, 99)]], floor).length_m, 2) == 23.75
    assert clip_lines([[(-9, 12), (99, 12)]], floor).length_m == pytest.approx(22.0)
    crack = clip_lines([[(15, 22), (14.2, 19.5), (12.5, 18)]], floor)
    assert round(crack.length_m, 2) == 4.89
    assert len(crack.lines.geoms) == 1


def test_end_at_arc_is_exact() -> None:
    """A joint that ends at a round wall ends where the circle is, not where its chord is."""
    floor = subtract(Ring.circle((0, 0), 2), [Ring.circle((0, 0), 1).turned(10)])
    clipped = clip_lines([[(0.3, -5), (0.3, 5)]], floor)
    assert clipped.length_m == pytest.approx(2 * (math.sqrt(0.91) - 0.4), rel=1e-12)


@pytest.mark.parametrize(
    ("inside", "kept"), [(0.0, 0.0), (1e-9, 0.0), (1e-4, 0.0), (1e-3, 10.0), (0.5, 10.0)]
)
def test_line_along_the_edge_is_dropped_a_millimetre_inside_counts(inside: float, kept: float) -> None:
    """A joint on the edge is no joint; a millimetre inside the edge it is one."""
    clipped = clip_lines([[(-5, -5 + inside), (5, -5 + inside)]], SQUARE)
    assert clipped.length_m == pytest.approx(kept)
    assert clipped.length_m + clipped.dropped_m == pytest.approx(10.0)


def test_line_along_the_edge_is_kept_when_asked() -> None:
    """Joints given by the edges they run along are kept."""
    clipped = clip_lines([[(-5, -5), (5, -5)]], SQUARE, along_edges=True)
    assert clipped.length_m == pytest.approx(10.0)


def test_line_that_crosses_the_edge_loses_nothing() -> None:
    """A joint that ends at the edge keeps its last millimetre, at a slant of 5 degrees too."""
    for slope in (90, 45, 5):
        x = 10 / math.tan(math.radians(slope)) if slope != 90 else 0.0
        floor = subtract(Ring.rectangle((0, 0), 300, 10), [])
        clipped = clip_lines([[(-x, -10), (x, 10)]], floor)
        assert clipped.length_m == pytest.approx(math.hypot(x, 10), rel=1e-12)


def test_line_partly_along_the_edge_keeps_the_rest() -> None:
    """A joint that runs on where the edge turns away keeps exactly what is inside."""
    ell = subtract(Ring([(0, 0), (9, 0), (9, 4), (5, 4), (5, 7), (0, 7)]), [])
    clipped = clip_lines([[(5, -1), (5, 8)]], ell)
    assert clipped.length_m == pytest.approx(4.0, abs=1e-12)
    assert clipped.lines.equals(shapely.from_wkt("MULTILINESTRING ((5 0, 5 4))"))


def test_line_along_a_round_edge_is_dropped() -> None:
    """A joint drawn along a round wall is its edge, whatever chords it was drawn with."""
    floor = subtract(Ring.circle((0, 0), 6), [])
    turns = np.linspace(0, 2, 400)
    line = 3 * np.column_stack((np.cos(turns), np.sin(turns)))
    assert clip_lines([line], floor).length_m == pytest.approx(0.0, abs=0.02)


@pytest.mark.parametrize("off", [0.0, 1e-7, 1e-6, -1e-6])
def test_doubled_lines_count_once(off: float) -> None:
    """A line drawn twice, exactly or nearly, counts once, also against lines counted earlier."""
    line = np.array([(-6.0, 1.0), (6.0, 1.3)])
    once = clip_lines([line], SQUARE)
    twice = clip_lines([line, line + off, line[::-1] + off], SQUARE)
    assert twice.length_m == pytest.approx(once.length_m, abs=1e-5)
    later = clip_lines([line + off], SQUARE, earlier=[once.lines])
    assert later.length_m == pytest.approx(0.0, abs=1e-4)
    assert later.length_m + later.dropped_m == pytest.approx(math.hypot(12, 0.3))


def test_partly_overlapping_lines_count_their_union() -> None:
    """Lines 0 to 3, 2 to 4 and 1 to 2 on one another make 4; a line a centimetre beside them counts too."""
    lines = [[(0, 0), (3, 0)], [(4, 0), (2, 0)], [(1, 0), (2, 0)], [(0, 0.01), (1, 0.01)]]
    clipped = clip_lines(lines, SQUARE)
    assert clipped.length_m == pytest.approx(5.0, abs=1e-9)
    assert clipped.dropped_m == pytest.approx(2.0, abs=1e-9)


def test_crossing_joints_keep_their_length() -> None:
    """Joints that cross are not doubled, at a slant of half a degree either, but for a hair."""
    for slope in (90.0, 10.0, 0.5):
        t = math.radians(slope)
        lines = [
            [(-4, 0), (4, 0)],
            [(-4 * math.cos(t), -4 * math.sin(t)), (4 * math.cos(t), 4 * math.sin(t))],
        ]
        assert clip_lines(lines, SQUARE).length_m == pytest.approx(16.0, abs=3e-3 if slope < 1 else 1e-12)


def test_line_that_goes_back_over_itself_counts_once() -> None:
    """A polyline there and back is one joint."""
    clipped = clip_lines([[(0, 0), (3, 0), (1, 0)]], SQUARE)
    assert clipped.length_m == pytest.approx(3.0)


def test_nothing_gives_nothing() -> None:
    """No lines, points for lines, and lines wholly outside give no length."""
    assert clip_lines([], SQUARE).length_m == 0.0
    assert clip_lines([[(1, 1), (1, 1)]], SQUARE).lines.is_empty
    outside = clip_lines([[(20, 0), (30, 0)]], SQUARE)
    assert (outside.length_m, outside.dropped_m) == (0.0, 10.0)
    bare = subtract(Ring.rectangle((0, 0), 1, 1), [Ring.rectangle((0, 0), 2, 2)])
    assert clip_lines([[(-1, 0), (1, 0)]], bare).length_m == 0.0


def test_order_and_direction_are_kept() -> None:
    """Kept lines come in the order typed and run the way typed."""
    clipped = clip_lines([[(9, 2), (-9, 2)], [(-1, -9), (-1, 9)], [(2, 1), (3, 1)]], SQUARE)
    starts = [line.coords[0] for line in clipped.lines.geoms]
    assert starts == [(5.0, 2.0), (-1.0, -5.0), (2.0, 1.0)]


def test_grid_turned_goes_through_its_origin() -> None:
    """Every line of a turned grid stands a whole number of spacings from its origin."""
    lines = grid_lines(PATIO.net, (8, 7), (3, 2), 30)
    cos, sin = math.cos(math.radians(30)), math.sin(math.radians(30))
    for line in lines:
        off = line - (3, 2)
        x, y = off @ (cos, sin), off @ (-sin, cos)
        across = x / 8 if np.ptp(x) < 1e-9 else y / 7
        assert across == pytest.approx(np.round(across), abs=1e-9)


def test_grid_of_nonsense_is_refused() -> None:
    """No spacing, and more lines than any floor has, are refused; no spacing one way is no lines that way."""
    with pytest.raises(ValueError, match="must be > 0"):
        grid_lines(SQUARE.net, (0.0, 1.0), (0, 0))
    with pytest.raises(ValueError, match=f"more than {GRID_LINES}"):
        grid_lines(SQUARE.net, (1e-4, 1.0), (0, 0))
    level = grid_lines(SQUARE.net, (math.inf, 4.0), (0, 0))
    assert [line[:, 1].tolist() for line in level] == [[-4, -4], [0, 0], [4, 4]]
    assert grid_lines(shapely.MultiPolygon(), (1.0, 1.0), (0, 0)) == []


@given(st.integers(0, 100_000), st.floats(0, 360))
@settings(max_examples=20)
def test_random_lines_agree_with_geos_and_hold_when_turned(seed: int, turn: float) -> None:
    """Clipped length is that of a plain intersection with the floor, and holds when all is turned."""
    rng = np.random.default_rng(seed)
    rings = [star(9, seed), Ring.rectangle((1, 1), 2, 1, 20), Ring.rectangle((4, 0), 3, 3)]
    lines = rng.uniform(-9, 9, (6, 3, 2))
    floor = subtract(rings[0], rings[1:])
    clipped = clip_lines(list(lines), floor, along_edges=True)
    plain = shapely.intersection(shapely.linestrings(lines), floor.net)
    assert clipped.length_m == pytest.approx(shapely.length(plain).sum(), rel=1e-9)
    turned = subtract(rings[0].turned(turn), [r.turned(turn) for r in rings[1:]])
    cos, sin = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    again = clip_lines(list(lines @ np.array([[cos, sin], [-sin, cos]])), turned, along_edges=True)
    assert again.length_m == pytest.approx(clipped.length_m, rel=1e-9)


@pytest.mark.filterwarnings("error")
def test_line_that_leaves_an_edge_by_less_than_a_number_holds() -> None:
    """A line that drifts 1e-310 m off the edge of a floor runs along it, and nothing overflows on the way."""
    floor = subtract(Ring.rectangle((5, 5), 10, 10), [])
    clipped = clip_lines([[(0.0, 0.0), (10.0, 1e-310)], [(0.0, 5.0), (10.0, 5.0)]], floor)
    assert clipped.length_m == pytest.approx(10.0)
    assert clipped.dropped_m == pytest.approx(10.0)
