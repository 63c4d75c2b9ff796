"""The whole takeoff against bare GEOS calls for the same figures, by size, and how each grows with size.

Run: python tests/benchmarks/bench_takeoff.py [CORNERS ...]      (default 10 1000 100000)

"Bare" starts from arrays of corners and gives the same regions and lengths, without arcs, names, faults,
notices or values: validity, net floor, keep-off strips, what the head cuts, band, pockets, joints. Ours
starts from the plan as typed. Both run in turn, and the median of the pairs is printed. Peak memory is of
the whole process. The limit is 1.5 at the largest size.
"""

from __future__ import annotations

import math
import resource
import statistics
import sys
import time
from pathlib import Path

import numpy as np
import shapely

sys.path.insert(0, str(Path(__file__).parents[1]))

import shapes

from floorplan.geometry.discs import quarter_chords
from floorplan.geometry.tolerance import DISC_SHARE
from floorplan.measure.floor import measure
from floorplan.measure.reach import FINE_BELOW_CORNERS, FINE_SHARE
from floorplan.plan.model import Plan

KINDS = ("wall", "open", "siding", "slab")
POSTS = [(float(x), float(y)) for x in range(-8, 9, 2) for y in range(-8, 9, 2)]
JOINTS = 100
ROUNDS = 5


def corners(n: int) -> np.ndarray:
    """A wavy outline of n corners about 40 m across."""
    turns = np.arange(n) * 2 * math.pi / n
    radii = 20 + 1.5 * np.sin(turns * 40)
    return np.column_stack((radii * np.cos(turns), radii * np.sin(turns)))


def kinds(n: int) -> list[str]:
    """What stands along each side: eight stretches of four kinds."""
    return [KINDS[(i * 8) // n % 4] for i in range(n)]


def lines() -> list[list[tuple[float, float]]]:
    """Joints from edge to edge."""
    return [[(-25.0, float(y)), (25.0, float(y))] for y in np.linspace(-20, 20, JOINTS)]


def typed(n: int) -> Plan:
    """The plan."""
    shape = shapes.outline([tuple(p) for p in corners(n).tolist()], kinds(n), unit=shapes.metres)
    posts = shapes.cutout("post", POSTS, (0.2, 0.2), unit=shapes.metres)
    joint = shapes.joint("cuts", shapes.lines(*lines(), unit=shapes.metres))
    return shapes.plan(shapes.slab(shape, cutouts=(posts,), joints=(joint,)))


def bare(points: np.ndarray, stands: list[str]) -> list[float]:
    """The same figures from shapely alone."""
    share = FINE_SHARE if len(points) + len(POSTS) < FINE_BELOW_CORNERS else DISC_SHARE
    quarter = quarter_chords(share)
    grinder = shapes.GRINDER
    r, gap, over = grinder.head.m / 2, grinder.gap.m, grinder.overhang.m
    outline = shapely.polygons(points)
    assert shapely.is_valid(outline)
    at = np.array(POSTS)
    posts = shapely.box(at[:, 0] - 0.1, at[:, 1] - 0.1, at[:, 0] + 0.1, at[:, 1] + 0.1)
    net = shapely.difference(outline, shapely.union_all(posts))
    ends = np.stack((points, np.roll(points, -1, axis=0)), axis=1)
    in_way = np.array([kind in ("wall", "siding") for kind in stands])
    sides = shapely.linestrings(ends)
    walls = shapely.line_merge(shapely.multilinestrings(sides[in_way]))
    rings = shapely.multilinestrings(shapely.linestrings(shapely.get_coordinates(posts).reshape(-1, 5, 2)))
    open_ = shapely.line_merge(shapely.multilinestrings(sides[~in_way]))
    shut = shapely.union_all([walls, rings])
    barred = shapely.union_all(
        [
            shapely.buffer(shut, r + gap, quad_segs=quarter),
            shapely.buffer(open_, r - over, quad_segs=quarter),
        ]
    )
    stand = shapely.difference(net, barred)
    machine = shapely.intersection(shapely.buffer(stand, r, quad_segs=quarter), net)
    band = shapely.intersection(shapely.buffer(shut, grinder.band.m, quad_segs=quarter), net)
    missed = shapely.difference(net, machine)
    pockets = shapely.difference(missed, band)
    joints = shapely.intersection(shapely.multilinestrings(lines()), net)
    figures = (outline, net, machine, band, pockets)
    return [*(g.area for g in figures), outline.length, walls.length, joints.length]


def timed(work: object, *given: object) -> float:
    """Seconds of one call."""
    start = time.perf_counter()
    work(*given)
    return time.perf_counter() - start


def main() -> None:
    """Print a row for each size."""
    sizes = [int(a) for a in sys.argv[1:]] or [10, 1000, 100_000]
    print(
        f"{'corners':>9} {'bare':>9} {'takeoff':>9} {'ratio':>6} {'bare ^':>7} {'ours ^':>7} {'peak MB':>8}"
    )
    before: tuple[int, float, float] | None = None
    for n in sizes:
        plan, points, stands = typed(n), corners(n), kinds(n)
        (slab,) = measure(plan).slabs
        assert math.isclose(slab.machine_area_m2, bare(points, stands)[2], rel_tol=1e-4)
        pairs = [(timed(bare, points, stands), timed(measure, plan)) for _ in range(ROUNDS)]
        theirs, ours = (statistics.median(times) for times in zip(*pairs, strict=True))
        ratio = statistics.median(b / a for a, b in pairs)
        growth = ""
        if before:
            steps = math.log(n / before[0])
            theirs_grow, ours_grow = math.log(theirs / before[1]), math.log(ours / before[2])
            growth = f"{theirs_grow / steps:7.2f} {ours_grow / steps:7.2f}"
        peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        print(f"{n:>9} {theirs:>8.4f}s {ours:>8.4f}s {ratio:>6.2f} {growth or '':>15} {peak:>8.0f}")
        before = (n, theirs, ours)


if __name__ == "__main__":
    main()
