"""Coverage-guided fuzzing of one target, where `atheris` is installed; it is no dependency of the project.

Run: python tests/fuzz/guided.py TARGET [CORPUS_DIR] [-runs=100000] [-max_len=4000]

What follows the target goes to libFuzzer. It starts from the target's own examples, which are put into the
corpus folder; without one, into a folder that is thrown away. It ends at the first finding, with the case in
a file.
"""

from __future__ import annotations

import contextlib
import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

import atheris

with atheris.instrument_imports(include=["floorplan"]):
    from fuzz.targets import TARGETS, quiet


def main() -> None:
    """Fuzz the target named first."""
    name, *rest = sys.argv[1:] or [""]
    if name not in TARGETS:
        sys.exit(f"give a target: {', '.join(TARGETS)}")
    target = TARGETS[name]

    def attempt(data: bytes) -> None:
        quiet(target, data if target.binary else data.decode("utf-8", "replace"))

    with contextlib.ExitStack() as stack:
        if rest and not rest[0].startswith("-"):
            corpus = Path(rest.pop(0))
        else:
            corpus = Path(stack.enter_context(tempfile.TemporaryDirectory()))
        corpus.mkdir(parents=True, exist_ok=True)
        for k, seed in enumerate(target.seeds()):
            data = seed if isinstance(seed, bytes) else seed.encode()
            (corpus / f"example-{k}").write_bytes(data)
        atheris.Setup([sys.argv[0], str(corpus), *rest], attempt)
        atheris.Fuzz()


if __name__ == "__main__":
    main()
