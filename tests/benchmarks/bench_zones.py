"""Dividing large floors into pour zones, and how the time grows with the floor.

Run: python tests/benchmarks/bench_zones.py

Halls without a post, each twice as wide as the one before, with saw cuts 4 m apart; and one of 30 m with 961
posts. Processor time of the whole work plan: every coat's zones, their order, the days.
"""

from __future__ import annotations

import math
import time

from results import Result, told

import floorplan

WIDTHS_M = (30.0, 60.0, 120.0)
POSTED_M, POSTS_A_SIDE = 30.0, 31
LIMIT_S, GROWTH = 10.0, 1.25


def hall(width_m: float, posts_a_side: int = 0) -> str:
    """A square hall, perhaps with posts on a grid."""
    step = width_m / max(1, posts_a_side)
    places = [step * (k + 0.5) for k in range(posts_a_side)]
    at = ", ".join(f'"{x:.3f} m, {y:.3f} m"' for x in places for y in places)
    posts = f'[[slab.cutout]]\nkind = "post"\nsize = "0.2 m x 0.2 m"\nat = [{at}]\n' if places else ""
    return f"""
units = "m"

[[slab]]
name = "Hall"
system = "outdoor-full-flake"
entry = "A-B"
outline = '''
A 0, 0 | open
B {width_m}, 0 | wall
C {width_m}, {width_m} | wall
D 0, {width_m} | wall
'''

{posts}
[[slab.joint]]
kind = "saw cut"
spacing = "4 m x 4 m"
"""


def seconds(text: str) -> tuple[float, int]:
    """Processor time of the work plan, and its zones over all coats."""
    plan = floorplan.read(text)
    takeoff = floorplan.takeoff(plan)
    start = time.process_time()
    work = floorplan.schedule(plan, takeoff)
    return time.process_time() - start, sum(len(pour.zones) for pour in work.pours)


def main(_: list[str]) -> list[Result]:
    """Print a row a hall."""
    found = []
    for width in WIDTHS_M:
        taken, zones = seconds(hall(width))
        found.append(taken)
        print(f"{width:>6.0f} m wide, {zones:>5} zones  {taken:6.2f} s CPU", flush=True)
    taken, zones = seconds(hall(POSTED_M, POSTS_A_SIDE))
    print(f"{POSTED_M:>6.0f} m wide, {zones:>5} zones  {taken:6.2f} s CPU, {POSTS_A_SIDE**2} posts")
    growth = math.log(found[-1] / found[0]) / math.log((WIDTHS_M[-1] / WIDTHS_M[0]) ** 2)
    return [
        Result(f"zones among {POSTS_A_SIDE**2} posts, CPU", f"{LIMIT_S:g} s", taken / LIMIT_S, 1.0),
        Result("zones, growth with the floor", "exponent of the size", growth, GROWTH),
    ]


if __name__ == "__main__":
    told(main)
