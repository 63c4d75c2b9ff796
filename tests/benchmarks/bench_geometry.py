"""Geometry against bare shapely calls for the same shapes, by size, with the growth of each with size.

Run: python tests/benchmarks/bench_geometry.py [CORNERS ...]      (default 10 1000 100000)

Every pair is run in turn, ours then theirs, and the median ratio of the pairs is printed. "Bare" starts from
the same arrays of corners. Peak memory is of the whole process.
"""

from __future__ import annotations

import math
import resource
import statistics
import time
from collections.abc import Callable

import numpy as np
import shapely
from results import Result, told

from floorplan.geometry.clip import clip_lines
from floorplan.geometry.crossings import crossings
from floorplan.geometry.discs import reach
from floorplan.geometry.regions import subtract
from floorplan.geometry.rings import Ring

HEAD, GAP, POSTS = 0.23, 0.05, 20
AIM = 1.5


def rough(n: int, *, arcs: bool = False) -> Ring:
    """A wavy, rough outline of n corners about 20 m across, perhaps with arcs for half of its sides."""
    rng = np.random.default_rng(7)
    turns = np.arange(n) * 2 * math.pi / n
    radii = 10 + np.sin(9 * turns) + rng.uniform(-1, 1, n) * min(0.5, 20 / n)
    bulges = np.where(np.arange(n) % 2, 0.1, 0.0) if arcs else None
    return Ring(np.column_stack((radii * np.cos(turns), radii * np.sin(turns))), bulges)


def posts(outline: Ring) -> list[Ring]:
    """Round and square posts on the floor, some over its edge."""
    rng = np.random.default_rng(3)
    middles = rng.uniform(-8, 8, (POSTS, 2))
    middles[:3] = outline.points[:: max(1, len(outline) // 3)][:3]
    return [
        Ring.circle(m, 0.3) if k % 2 else Ring.rectangle(m, 0.3, 0.4, 10 * k) for k, m in enumerate(middles)
    ]


def bare_subtract(points: np.ndarray, cutouts: list[np.ndarray]) -> float:
    """Polygons, union, difference, areas and lengths: what subtract gives, without its arcs."""
    floor = shapely.polygons(points)
    holes = (
        shapely.polygons(cutouts)
        if len({len(c) for c in cutouts}) == 1
        else [shapely.Polygon(c) for c in cutouts]
    )
    net = shapely.difference(floor, shapely.union_all(holes))
    return float(net.area + net.length + shapely.area(shapely.intersection(holes, floor)).sum())


def bare_reach(net: shapely.Polygon) -> float:
    """The same three buffers and the two overlays."""
    edge = shapely.buffer(net.boundary, HEAD + GAP, quad_segs=203)
    stand = shapely.difference(net, edge)
    return float(shapely.intersection(shapely.buffer(stand, HEAD, quad_segs=203), net).area)


def cases(n: int) -> dict[str, tuple[Callable[[], object], Callable[[], object]]]:
    """What is timed at a size: ours and the bare calls."""
    plain, curved = rough(n), rough(n, arcs=True)
    points, chords = plain.points, curved.flattened()
    cut = posts(plain)
    flat = [c.flattened() for c in cut]
    floor = subtract(plain, cut)
    lines = [np.array([(x, -20.0), (x + 0.3, 20.0)]) for x in np.arange(-9, 9.5, 1.0)]
    shapes = shapely.linestrings(np.array(lines))
    walls = [(floor.net.boundary, GAP)]
    found = {
        "area": (lambda: Ring(points).area_m2, lambda: shapely.Polygon(points).area),
        "area, arcs": (
            lambda: Ring(curved.points, curved.bulges).area_m2,
            lambda: shapely.Polygon(chords).area,
        ),
        "crossings": (lambda: crossings(plain), lambda: shapely.is_valid(shapely.Polygon(points))),
        "crossings, arcs": (lambda: crossings(curved), lambda: shapely.is_valid(shapely.Polygon(chords))),
        "subtract": (lambda: subtract(plain, cut), lambda: bare_subtract(points, flat)),
        "clip": (lambda: clip_lines(lines, floor), lambda: shapely.intersection(shapes, floor.net)),
    }
    if n <= 10_000:
        found["reach"] = (lambda: reach(floor.net, HEAD, walls), lambda: bare_reach(floor.net))
    return found


def seconds(call: Callable[[], object]) -> float:
    """Wall time of one call."""
    start = time.perf_counter()
    call()
    return time.perf_counter() - start


def main(arguments: list[str]) -> list[Result]:
    """Print a row for each case and size, and how time grows from one size to the next."""
    sizes = [int(a) for a in arguments] or [10, 1_000, 100_000]
    results = []
    print(f"{'case':<18}{'corners':>9}{'ours s':>11}{'bare s':>11}{'ratio':>8}{'growth':>8}{'bare':>7}")
    before: dict[str, tuple[int, float, float]] = {}
    for n in sizes:
        for name, (ours, bare) in cases(n).items():
            rounds = 21 if n < 10_000 else 5
            ours(), bare()
            pairs = [(seconds(ours), seconds(bare)) for _ in range(rounds)]
            a, b = (statistics.median(column) for column in zip(*pairs, strict=True))
            ratio = statistics.median(x / y for x, y in pairs)
            growth = ["", ""]
            if name in before:
                m, c, d = before[name]
                growth = [f"{math.log(x / y) / math.log(n / m):.2f}" for x, y in ((a, c), (b, d))]
            before[name] = (n, a, b)
            print(
                f"{name:<18}{n:>9}{a:>11.5f}{b:>11.5f}{ratio:>8.2f}{growth[0]:>8}{growth[1]:>7}", flush=True
            )
            if n == sizes[-1]:
                results.append(Result(f"{name} at {n:,} corners", "bare GEOS calls", ratio, AIM))
    print(f"peak memory {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MB")
    return results


if __name__ == "__main__":
    told(main)
