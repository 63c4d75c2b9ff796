"""Every benchmark, one after the other, and one table of what they found.

Run: python tests/benchmarks/run.py [--markdown FILE] [--long] [NAME ...]

NAME is a part of a script's name, such as `takeoff`; without one all are run. `--long` takes the sizes that
need minutes. `--markdown` writes the table as Markdown. Exit 1 where an aim is missed or a script fails.
"""

from __future__ import annotations

import argparse
import json
import os
import platform
import subprocess
import sys
from pathlib import Path

from results import Result

HERE = Path(__file__).parent
LONG = ("takeoff",)
HEAD = ("script", "what", "against", "ratio", "aim", "met")


def run(script: Path, more: list[str]) -> list[Result] | None:
    """What one script found; None where it fails."""
    command = [sys.executable, str(script), "--json", *more]
    # As the program has it (`cli/main.py`), for both sides of every ratio.
    alone = os.environ | {"OPENBLAS_NUM_THREADS": os.environ.get("OPENBLAS_NUM_THREADS", "1")}
    done = subprocess.run(command, stdout=subprocess.PIPE, text=True, check=False, env=alone)
    if done.returncode not in (0, 1) or not done.stdout.strip():
        return None
    return [Result(**found) for found in json.loads(done.stdout.splitlines()[-1])]


def rows(script: Path, results: list[Result] | None) -> list[tuple[str, ...]]:
    if results is None:
        return [(script.name, "did not run to its end", "", "", "", "NO")]
    return [
        (script.name, r.what, r.against, f"{r.ratio:.2f}", f"{r.aim:g}", "yes" if r.met else "NO")
        for r in results
    ]


def plain(table: list[tuple[str, ...]]) -> str:
    """The table in columns."""
    wide = [max(len(row[k]) for row in table) for k in range(len(HEAD))]
    return "\n".join("  ".join(c.ljust(w) for c, w in zip(row, wide, strict=True)).rstrip() for row in table)


def markdown(table: list[tuple[str, ...]]) -> str:
    """The table as Markdown."""
    head, *body = [f"| {' | '.join(cell.replace('|', '/') for cell in row)} |" for row in table]
    return "\n".join([machine() + "\n", head, "| --- " * len(HEAD) + "|", *body]) + "\n"


def machine() -> str:
    cores = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count()
    return f"Python {platform.python_version()}, {cores} cores."


def main() -> int:
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    asked.add_argument("names", nargs="*", metavar="NAME")
    asked.add_argument("--markdown", type=Path, metavar="FILE")
    asked.add_argument("--long", action="store_true")
    options = asked.parse_args()
    scripts = sorted(HERE.glob("bench_*.py"))
    if options.names:
        scripts = [script for script in scripts if any(name in script.stem for name in options.names)]
    table: list[tuple[str, ...]] = [HEAD]
    for script in scripts:
        print(f"== {script.name}", file=sys.stderr, flush=True)
        long = options.long and any(name in script.stem for name in LONG)
        table += rows(script, run(script, ["--long"] if long else []))
    print(f"{machine()}\n{plain(table)}")
    if options.markdown:
        options.markdown.write_text(markdown(table), encoding="utf-8")
    return 0 if all(row[-1] == "yes" for row in table[1:]) else 1


if __name__ == "__main__":
    sys.exit(main())
