"""Reading and measuring a DXF of 50,000 entities, mixed or all splines, against ezdxf that only loads it.

Each runs in a process of its own, in turn. Prints time and peak memory as ratios to ezdxf in the same round;
both must stay below 1.5. GDAL's DXF driver, which turns arcs to chords and joins nothing, is shown beside.
`python tests/benchmarks/bench_dxf.py [ENTITIES]`
"""

from __future__ import annotations

import json
import math
import multiprocessing
import random
import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from statistics import median

from results import Result, told

ROUNDS = 5
LIMIT = 1.5

_EZDXF = """
import json, resource, sys, time
import ezdxf
start = time.perf_counter()
document = ezdxf.readfile(sys.argv[1])
taken = time.perf_counter() - start
print(json.dumps([taken, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss, len(document.modelspace())]))
"""

_OURS = """
import json, resource, sys, time
from floorplan.foreign.drawing import find_loops
from floorplan.foreign.reader import load_source
start = time.perf_counter()
drawing = find_loops(load_source(sys.argv[1]))
area, round_ = drawing.loops.signed_areas(), drawing.loops.perimeters()
taken = time.perf_counter() - start
print(json.dumps([taken, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss, len(area)]))
"""

_GDAL = """
import json, resource, sys, time
import pyogrio
start = time.perf_counter()
_, _, shapes, _ = pyogrio.raw.read(sys.argv[1], columns=[])
taken = time.perf_counter() - start
print(json.dumps([taken, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss, len(shapes)]))
"""


def write_drawing(path: Path, entities: int) -> None:
    """Rooms of lines and arcs, polylines with bulges, posts, texts, blocks, inner lines and crossings."""
    import ezdxf

    document = ezdxf.new("R2010", units=6)
    model = document.modelspace()
    block = document.blocks.new("POST")
    block.add_lwpolyline([(0, 0), (0.3, 0), (0.3, 0.3), (0, 0.3)], close=True)
    count, k = 0, 0
    while count < entities:
        x, y = 20.0 * (k % 60), 20.0 * (k // 60)
        # An outline of three lines and an arc, with two lines across it that stop on its sides.
        model.add_line((x, y), (x + 12, y), dxfattribs={"layer": "SLAB"})
        model.add_line((x + 12, y), (x + 12, y + 9), dxfattribs={"layer": "SLAB"})
        model.add_arc((x + 6, y + 9), 6, 0, 180, dxfattribs={"layer": "SLAB"})
        model.add_line((x, y + 9), (x, y), dxfattribs={"layer": "SLAB"})
        model.add_line((x, y + 3), (x + 12, y + 3), dxfattribs={"layer": "JOINT"})
        model.add_line((x + 4, y), (x + 4, y + 9), dxfattribs={"layer": "JOINT"})
        model.add_lwpolyline(
            [(x + 1, y + 5, 0.4), (x + 2, y + 5, 0), (x + 2, y + 6, -0.2), (x + 1, y + 6, 0)],
            format="xyb",
            close=True,
            dxfattribs={"layer": "HOLE"},
        )
        model.add_circle((x + 8, y + 6), 0.2, dxfattribs={"layer": "HOLE"})
        model.add_text(f"slab {k}", dxfattribs={"layer": "TEXT"}).set_placement((x + 6, y + 1))
        model.add_blockref("POST", (x + 10, y + 5), dxfattribs={"layer": "POST", "rotation": 30})
        count, k = count + 10, k + 1
    document.saveas(path)


def write_splines(path: Path, entities: int) -> None:
    """Closed free forms by six control points, about a metre wide, each on its own."""
    import ezdxf

    dice = random.Random(1)
    document = ezdxf.new("R2010", units=6)
    model = document.modelspace()
    for k in range(entities):
        x, y = 3.0 * (k % 250), 3.0 * (k // 250)
        radii = [dice.uniform(0.8, 1.0) for _ in range(5)]
        turns = [0.4 * math.pi * i for i in range(5)]
        points = [(x + r * math.cos(t), y + r * math.sin(t), 0.0) for r, t in zip(radii, turns, strict=True)]
        model.add_open_spline([*points, points[0]])
    document.saveas(path)


def run(code: str, path: Path) -> tuple[float, float, int]:
    """Seconds, peak memory in MB and a count, of one run in a fresh process."""
    done = subprocess.run([sys.executable, "-c", code, str(path)], capture_output=True, text=True, check=True)
    taken, peak, found = json.loads(done.stdout.splitlines()[-1])
    return taken, peak / 1024.0, found


def compared(words: str, write: Callable[[Path, int], None], entities: int) -> list[Result]:
    """Print times and memory of one drawing, and give the ratios to ezdxf."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "many.dxf"
        # A child's peak begins at its parent's, so the drawing is not made in here.
        writer = multiprocessing.get_context("spawn").Process(target=write, args=(path, entities))
        writer.start()
        writer.join()
        print(f"{entities:,} {words}, {path.stat().st_size / 1e6:.1f} MB, medians of {ROUNDS}")
        rounds = [
            {name: run(code, path) for name, code in (("ezdxf", _EZDXF), ("ours", _OURS), ("gdal", _GDAL))}
            for _ in range(ROUNDS)
        ]
    labels = {
        "ezdxf": "ezdxf loads it",
        "ours": f"read, joined, measured: {rounds[0]['ours'][2]:,} loops",
        "gdal": "GDAL reads it as chords",
    }
    for name, told_ in labels.items():
        taken, peak = (median(each[name][k] for each in rounds) for k in (0, 1))
        print(f"{told_:<38} {taken:6.2f} s  {peak:6.0f} MB")
    ratios = [median(each["ours"][k] / each["ezdxf"][k] for each in rounds) for k in (0, 1)]
    what = f"{entities:,} {words} read and measured"
    return [
        Result(f"{what}, {kind}", "ezdxf loading alone", ratio, LIMIT)
        for kind, ratio in zip(("time", "memory"), ratios, strict=True)
    ]


def main(arguments: list[str]) -> list[Result]:
    """Print a table for each drawing."""
    entities = int(arguments[0]) if arguments else 50_000
    return [
        *compared("mixed entities", write_drawing, entities),
        *compared("splines", write_splines, entities),
    ]


if __name__ == "__main__":
    told(main)
