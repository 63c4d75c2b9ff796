"""Cold start of each command against importing the libraries that it needs, in fresh processes in turn.

Run: python tests/benchmarks/bench_start.py [COMMAND ...]

Times are the CPU time of the child (user and system), so that a busy machine does not count; a batch counts
the processes that it starts. Bytecode is written to a folder of its own by a first round, as installing
writes it. What does not depend on a library stands in "empty": an interpreter that imports nothing.

Each command has two rows: the whole of it, its job included; and its start alone, a process that imports the
libraries and all modules of ours that the command had loaded in the end, and does nothing with them.
"""

from __future__ import annotations

import os
import resource
import shutil
import statistics
import subprocess
import sys
import tempfile
from pathlib import Path

from results import Result, told

ROOT = Path(__file__).parent.parent.parent
SAMPLES = ROOT / "sample_plans"
PATIO = str(SAMPLES / "l-patio.toml")
TAPED = str(SAMPLES / "porch-tape.toml")
PRICES = str(SAMPLES / "office" / "prices.toml")
DXF = str(ROOT / "tests" / "data" / "dxf" / "bulge-cutouts.dxf")
ROUNDS = 9
AIM = 1.3

FLOOR = "click, tomllib, platformdirs.unix, numpy, shapely"
"""To read a plan and measure it."""
SHEET = f"{FLOOR}, svgwrite, json"
"""To draw it."""
PAPER = f"{FLOOR}, json, matplotlib.backends.backend_pdf, matplotlib.figure"

CASES = {
    "empty": (None, "sys"),
    "--help": (["--help"], "click"),
    "new": (["new", "OUT/new.toml", "--force"], "click"),
    "schema": (["schema"], "click, json"),
    "stock": (["stock", "show", str(SAMPLES / "office" / "stock.csv")], "click, csv, decimal"),
    "look": (["look", DXF], "click, numpy, shapely"),
    "convert": (
        ["convert", DXF, "-o", "OUT/slab.toml", "--units", "ft", "--force"],
        "click, numpy, shapely, tomllib",
    ),
    "check": (["check", PATIO], FLOOR),
    "takeoff": (["takeoff", PATIO, "--json"], f"{FLOOR}, json"),
    "materials": (["materials", PATIO], FLOOR),
    "export": (["export", PATIO, "-o", "OUT/floor.geojson"], f"{FLOOR}, json"),
    "compare": (["compare", PATIO, str(SAMPLES / "garage.toml"), "--all"], FLOOR),
    "work": (["work", PATIO], FLOOR),
    "conditions": (["conditions", PATIO, "--air", "72 F", "--humidity", "65 %"], FLOOR),
    "what-if": (["what-if", PATIO, "--bigger", "5%"], FLOOR),
    "worksheet": (["worksheet", TAPED, "-o", "OUT/site.svg"], SHEET),
    "draw svg": (["draw", PATIO, "-o", "OUT/crew.svg"], SHEET),
    "draw pdf": (["draw", PATIO, "-o", "OUT/crew.pdf"], PAPER),
    "quote": (["quote", PATIO, "--prices", PRICES, "-o", "OUT/quote.pdf"], PAPER),
    "packet": (["packet", PATIO, "-o", "OUT/packet"], SHEET),
    "batch": (["batch", "OUT/plans", "-o", "OUT/all", "--again"], f"{SHEET}, concurrent.futures.process"),
}


def cpu_seconds(arguments: list[str], folder: str) -> float:
    """User and system time of one fresh interpreter."""
    kept = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run(
        [sys.executable, *arguments],
        check=True,
        capture_output=True,
        env=kept | {"PYTHONPYCACHEPREFIX": f"{folder}/bytecode"},
    )
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


LOADED = """
import runpy, sys
PATH, sys.argv = sys.argv[1], ["floorplan", *sys.argv[2:]]
try:
    runpy.run_module("floorplan_cli", run_name="__main__", alter_sys=True)
except SystemExit as left:
    assert not left.code
finally:
    with open(PATH, "a") as file:
        file.write("".join(f"import {name}\\n" for name in sys.modules if name.startswith("floorplan")))
"""
"""Runs a command (all but the first argument) and adds what it has loaded of ours to the file named first."""


def start_alone(command: list[str], imports: str, folder: str) -> list[str]:
    """Arguments of an interpreter that imports what a command loads; from a module, as bytecode."""
    Path(folder, "loaded.py").write_text(f"import {imports}\n")
    cpu_seconds(["-c", LOADED, f"{folder}/loaded.py", *command], folder)
    return ["-c", f"import sys; sys.path.insert(0, {folder!r}); import loaded"]


def compared(name: str, folder: str) -> tuple[list[float], list[float]]:
    """A command, its start alone and bare imports.

    Returns:
        Medians in milliseconds; medians of the ratios to the bare imports of the same round.
    """
    arguments, imports = CASES[name]
    bare, command, start = ["-c", f"import {imports}"], ["-c", "pass"], ["-c", "pass"]
    if arguments is not None:
        typed = [a.replace("OUT", folder) for a in arguments]
        command = ["-m", "floorplan_cli", *typed]
        start = start_alone(typed, imports, folder)
    ways = (command, start, bare)
    for way in ways:
        cpu_seconds(way, folder)
    rounds = [[cpu_seconds(way, folder) for way in ways] for _ in range(ROUNDS)]
    times = [statistics.median(column) * 1e3 for column in zip(*rounds, strict=True)]
    return times, [statistics.median(row[k] / row[-1] for row in rounds) for k in (0, 1)]


def main(names: list[str]) -> list[Result]:
    """Print a row for each command named, for all where none is."""
    results = []
    with tempfile.TemporaryDirectory() as folder:
        (Path(folder) / "plans").mkdir()
        shutil.copy(PATIO, f"{folder}/plans")
        print(f"{'command':<12}{'whole ms':>10}{'start ms':>10}{'imports ms':>11}{'whole':>8}{'start':>8}")
        for name in names or CASES:
            times, (whole, start) = compared(name, folder)
            line = "".join(f"{time:>{wide}.1f}" for time, wide in zip(times, (10, 10, 11), strict=True))
            print(f"{name:<12}{line}{whole:>8.2f}{start:>8.2f}", flush=True)
            if name != "empty":
                against = f"importing {CASES[name][1]}"
                results.append(Result(f"{name}, whole command, CPU", against, whole, AIM))
                results.append(Result(f"{name}, start alone, CPU", against, start, AIM))
    return results


if __name__ == "__main__":
    told(main)
