"""A smooth edge is many arcs to the geometry and one edge to whoever reads of it."""

from __future__ import annotations

import pytest

import floorplan
import floorplan.api
from floorplan.measure.smooth import listed_edges, smooth_sides
from floorplan.render.svg import render

POOL_SIDE = '''
title = "Pool side"
units = "ft-in"
[[slab]]
name = "Deck"
system = "outdoor-full-flake"
[slab.offsets]
baseline = "12'"
edge = "EDGE"
along_baseline = "siding"
along_edge = "coping"
along_start = "open"
along_end = "open"
stations = """
0'   8'
3'   9'
6'   8' 6"
9'   7'
12'  7' 6"
"""
'''


def _takeoff(edge: str) -> floorplan.Takeoff:
    return floorplan.takeoff(floorplan.read(POOL_SIDE.replace("EDGE", edge)))


def test_smooth_edge_is_listed_once() -> None:
    """The arcs of the free edge become one row with their whole length; the other three sides stay."""
    slab = _takeoff("smooth").slabs[0]
    assert len(smooth_sides(slab)) >= 4
    listed = listed_edges(slab)
    assert [edge.kind for edge in listed] == ["siding", "open", "coping", "open"]
    assert sum(e.length_m for e in listed) == pytest.approx(sum(e.length_m for e in slab.edges), rel=1e-12)


def test_straight_edge_keeps_its_sides() -> None:
    """Between stations of a straight edge stand real corners, so every side is listed."""
    slab = _takeoff("straight").slabs[0]
    assert smooth_sides(slab) == ()
    assert listed_edges(slab) == slab.edges


def test_smooth_edge_has_one_label_on_the_sheet() -> None:
    """The drawing names the edge once, with its ends, and dimensions none of its arcs."""
    takeoff = _takeoff("smooth")
    page = render(floorplan.api.pages(takeoff.plan, takeoff)[0]).decode()
    assert page.count("smooth edge") == 1
    assert ", R " not in page
