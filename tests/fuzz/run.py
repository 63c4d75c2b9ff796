"""The long run: many cases a reader, every different failure shown once with the case that shows it.

Run: python tests/fuzz/run.py [TARGET ...] [--cases 100000] [--seed 1] [--keep DIR]

Exit 1 when anything but a value or a fault in words came out. The same seed gives the same cases.
"""

from __future__ import annotations

import argparse
import random
import sys
import time
import traceback
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from fuzz.targets import TARGETS, Target, quiet

SLOW_S = 5.0
"""Seconds of processor time beyond which a case is a finding: a machine under load slows none down."""


def main() -> int:
    """Run the targets asked for, all by default."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("targets", nargs="*", metavar="TARGET", help=", ".join(TARGETS))
    parser.add_argument("--cases", type=int, default=100_000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument(
        "--keep", type=Path, default=Path("fuzz-findings"), help="where failing cases are put"
    )
    asked = parser.parse_args()
    unknown = set(asked.targets) - set(TARGETS)
    if unknown:
        parser.error(f"no target {', '.join(sorted(unknown))}")
    found = 0
    for name in asked.targets or TARGETS:
        target = TARGETS[name]
        found += fuzz(name, target, max(1, int(asked.cases * target.share)), asked.seed, asked.keep)
    return 1 if found else 0


def fuzz(name: str, target: Target, cases: int, seed: int, keep: Path) -> int:
    """One target; returns how many different findings there were."""
    dice = random.Random(f"{seed} {name}")
    findings: dict[str, int] = {}
    begin = time.perf_counter()
    slowest = 0.0
    for _ in range(cases):
        case = target.case(dice)
        start = time.process_time()
        try:
            quiet(target, case)
            took = time.process_time() - start
            what = f"slow: {took:.0f} s of processor time" if took > SLOW_S else ""
        except Exception as error:
            took, what = time.process_time() - start, _where(error)
        slowest = max(slowest, took)
        if what:
            findings[what] = findings.get(what, 0) + 1
            if findings[what] == 1:
                show(name, what, case, keep, len(findings))
    seconds = time.perf_counter() - begin
    print(
        f"{name}: {cases} cases, {len(findings)} findings, {seconds:.0f} s;"
        f" slowest {slowest:.2f} s of processor time",
        flush=True,
    )
    for what, count in findings.items():
        print(f"    {count} x {what}", flush=True)
    return len(findings)


def show(name: str, what: str, case: str | bytes, keep: Path, number: int) -> None:
    """Keep a case in a file and name the failure."""
    keep.mkdir(parents=True, exist_ok=True)
    path = keep / f"{name}-{number}"
    path.write_bytes(case if isinstance(case, bytes) else case.encode("utf-8", "surrogatepass"))
    print(f"{name}: {what}\n    case in {path}", flush=True)


def _where(error: Exception) -> str:
    """The kind of an error and where it came from, the same for every case that fails alike."""
    frame = traceback.extract_tb(error.__traceback__)[-1]
    where = f"{Path(frame.filename).name}:{frame.lineno} {frame.name}"
    return f"{type(error).__name__} in {where}: {str(error)[:200]}"


if __name__ == "__main__":
    sys.exit(main())
