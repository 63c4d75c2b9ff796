"""What a benchmark found, one line a comparison, for the table of all of them (`run.py`)."""

from __future__ import annotations

import contextlib
import json
import sys
from collections.abc import Callable, Sequence
from dataclasses import asdict, dataclass


@dataclass(frozen=True)
class Result:
    """One comparison.

    Attributes:
        what: the thing measured.
        against: what it is measured against, in the same run.
        ratio: the one by the other.
        aim: what the ratio is to stay at or below.
    """

    what: str
    against: str
    ratio: float
    aim: float

    @property
    def met(self) -> bool:
        return self.ratio <= self.aim


def told(main: Callable[[list[str]], Sequence[Result]]) -> None:
    """Run a benchmark and end the process: 1 where an aim is missed.

    `main` gets the arguments and prints its details. With `--json` only the results go to standard output.
    """
    arguments = [a for a in sys.argv[1:] if a != "--json"]
    quiet = len(arguments) < len(sys.argv) - 1
    with contextlib.redirect_stdout(sys.stderr) if quiet else contextlib.nullcontext():
        results = main(arguments)
    if quiet:
        print(json.dumps([asdict(result) for result in results]))
    sys.exit(0 if all(result.met for result in results) else 1)
