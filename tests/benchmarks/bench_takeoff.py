"""The whole takeoff against bare GEOS calls for the same figures, by size, and how each grows with size.

Run: python tests/benchmarks/bench_takeoff.py [--long] [CORNERS ...]

Three series: corners of the outline (10 to 100,000, with `--long` to a million), posts (10 to 5,000 on a
floor that grows with them) and joints (10 to 5,000). A growth exponent is the slope of a straight line
through the logarithms of the last three sizes, by least squares; 1 is growth in proportion.

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
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import shapely

sys.path.insert(0, str(Path(__file__).parents[1]))

import shapes
from results import Result, told

from floorplan.geometry.discs import quarter_chords
from floorplan.geometry.tolerance import DISC_SHARE
from floorplan.measure.floor import measure
from floorplan.measure.reach import COARSE_SHARE, FINE_BELOW_CORNERS, FINE_SHARE, MANY_CUTOUTS
from floorplan.plan.model import Plan

KINDS = ("wall", "open", "siding", "slab")
POSTS, JOINTS = 81, 100
CORNERS, MILLION = (10, 1000, 10_000, 100_000), 1_000_000
MANY = (10, 100, 1000, 5000)
ROUNDS = 5
AIM, GROWTH = 1.5, 1.25


@dataclass(frozen=True)
class Case:
    """A floor by the number of things on it; it is larger where posts are many."""

    corners: int
    posts: int = POSTS
    joints: int = JOINTS

    @property
    def size(self) -> float:
        """How many times as large as the smallest."""
        return max(1.0, math.sqrt(self.posts / POSTS))

    def points(self) -> np.ndarray:
        """A wavy outline about 40 m across."""
        turns = np.arange(self.corners) * 2 * math.pi / self.corners
        radii = self.size * (20 + 1.5 * np.sin(turns * 40))
        return np.column_stack((radii * np.cos(turns), radii * np.sin(turns)))

    def kinds(self) -> list[str]:
        """What stands along each side: eight stretches of four kinds."""
        return [KINDS[(i * 8) // self.corners % 4] for i in range(self.corners)]

    def centres(self) -> np.ndarray:
        """Posts on a grid."""
        side = math.ceil(math.sqrt(self.posts))
        at = np.arange(side * side)[: self.posts]
        grid = np.column_stack((at % side, at // side)) - 0.5 * (side - 1)
        return self.size * 18.0 / side * grid

    def lines(self) -> list[list[tuple[float, float]]]:
        """Joints from edge to edge."""
        wide = 25.0 * self.size
        return [
            [(-wide, float(y)), (wide, float(y))] for y in np.linspace(-0.8 * wide, 0.8 * wide, self.joints)
        ]

    def plan(self) -> Plan:
        """As typed."""
        shape = shapes.outline([tuple(p) for p in self.points().tolist()], self.kinds(), unit=shapes.metres)
        at = [tuple(p) for p in self.centres().tolist()]
        posts = shapes.cutout("post", at, (0.2, 0.2), unit=shapes.metres)
        joint = shapes.joint("cuts", shapes.lines(*self.lines(), unit=shapes.metres))
        return shapes.plan(shapes.slab(shape, cutouts=(posts,), joints=(joint,)))


def bare(case: Case) -> list[float]:
    """The same figures from shapely alone."""
    points, stands, at, lines = case.points(), case.kinds(), case.centres(), case.lines()
    share = FINE_SHARE if case.corners + case.posts < FINE_BELOW_CORNERS else DISC_SHARE
    share = COARSE_SHARE if case.posts > MANY_CUTOUTS else share
    quarter = quarter_chords(share)
    grinder = shapes.GRINDER
    r, gap, over = grinder.head.m / 2, grinder.gap.m, grinder.overhang.m
    outline = shapely.polygons(points)
    assert shapely.is_valid(outline)
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
    joints = shapely.intersection(shapely.multilinestrings(lines), net)
    figures = (outline, net, machine, band, pockets)
    return [*(g.area for g in figures), outline.length, walls.length, joints.length]


def timed(work: object, *given: object) -> float:
    """Seconds of one call."""
    start = time.perf_counter()
    work(*given)
    return time.perf_counter() - start


def slope(sizes: Sequence[int], seconds: Sequence[float]) -> float:
    """Growth exponent of the last three sizes."""
    return float(np.polyfit(np.log(sizes[-3:]), np.log(seconds[-3:]), 1)[0])


def series(what: str, cases: dict[int, Case], aims: dict[int, float]) -> list[Result]:
    """Print a row for each size of one series."""
    print(f"{what:>9} {'bare':>10} {'takeoff':>10} {'ratio':>6} {'peak MB':>8}")
    results, theirs, ours = [], [], []
    for n, case in cases.items():
        plan = case.plan()
        (slab,) = measure(plan).slabs
        assert math.isclose(slab.machine_area_m2, bare(case)[2], rel_tol=1e-4)
        rounds = ROUNDS if n < max(cases) else max(1, ROUNDS - 2)
        pairs = [(timed(bare, case), timed(measure, plan)) for _ in range(rounds)]
        ratio = statistics.median(b / a for a, b in pairs)
        for column, times in zip((theirs, ours), zip(*pairs, strict=True), strict=True):
            column.append(statistics.median(times))
        peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        print(f"{n:>9} {theirs[-1]:>9.4f}s {ours[-1]:>9.4f}s {ratio:>6.2f} {peak:>8.0f}", flush=True)
        if n in aims:
            results.append(Result(f"takeoff at {n:,} {what}", "bare GEOS calls", ratio, aims[n]))
    if len(cases) < 3:
        return results
    grown = slope(list(cases), ours)
    print(f"growth exponent {grown:.2f}, bare {slope(list(cases), theirs):.2f}")
    return [*results, Result(f"takeoff, growth with {what}", "exponent of the size", grown, GROWTH)]


def main(arguments: list[str]) -> list[Result]:
    """All series, or the corners asked for."""
    asked = [int(a) for a in arguments if a != "--long"]
    sizes = asked or [*CORNERS, *([MILLION] if "--long" in arguments else [])]
    found = series("corners", {n: Case(n) for n in sizes}, dict.fromkeys(sizes, AIM))
    if asked:
        return found
    found += series("posts", {n: Case(100, posts=n) for n in MANY}, {MANY[-1]: AIM})
    return found + series("joints", {n: Case(100, joints=n) for n in MANY}, {})


if __name__ == "__main__":
    told(main)
