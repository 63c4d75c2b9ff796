"""Mutation testing by sample: how many small wrong changes of the library do the tests notice?

Run: pytest -n 2 --cov --cov-context=test        (which test reaches which line; once)
     python tests/mutation/run.py [PACKAGE ...] [--sample 100] [--seed 1]

Each mutant (see `mutants.py`) meets the fast tests that reach its line, those of the mirrored folder first,
until one fails or the time for it is up. The tests are collected once; a mutant inside a function is put into
a fork of that process by exchanging the function's code. One that acts at import, such as a figure of a
table, gets a process of its own, a copy of the tree and the mirrored folder, and so does one that lived in a
line that ran before the tests did. A hang counts as noticed.
"""

from __future__ import annotations

import argparse
import functools
import gc
import importlib
import math
import os
import pkgutil
import random
import resource
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections import defaultdict
from pathlib import Path
from types import CodeType, FunctionType

import pytest
from coverage import CoverageData

sys.path.insert(0, str(Path(__file__).parents[1]))

from mutation.mutants import Mutant, mutants

ROOT = Path(__file__).parents[2]
LIBRARY = ROOT / "floorplan"
PACKAGES = ("top", *sorted(path.parent.name for path in LIBRARY.glob("*/__init__.py")))
COPIED = ("floorplan", "cli", "tests", "sample_plans", "pyproject.toml", "README.md", "DEVELOPERS.md")
# Seconds of processor time, so that a busy machine does not turn a slow test into a hang.
PER_MUTANT_S = 10.0
HANGS_S = 40
COPY_HANGS_S = 200
# Seconds on the clock, for what sleeps or waits for ever.
STUCK_S = 900.0
NOTICED, HUNG, MISSED, UNREACHED = "noticed", "hung", "missed", "not reached"


def main() -> int:
    """Sample, run, print a score a package and every mutant that lived."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("packages", nargs="*", metavar="PACKAGE", help=", ".join(PACKAGES))
    parser.add_argument("--sample", type=int, default=100, help="mutants a package")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--reach", type=Path, default=ROOT / ".coverage", help="the coverage data")
    asked = parser.parse_args()
    if unknown := set(asked.packages) - set(PACKAGES):
        parser.error(f"no package {', '.join(sorted(unknown))}")
    if not asked.reach.exists():
        parser.error(f"{asked.reach} is not there: run pytest -n 2 --cov --cov-context=test first")
    chosen = {name: sample(name, asked.sample, asked.seed) for name in asked.packages or PACKAGES}
    os.chdir(ROOT)
    trial = Trial(chosen, Reach(asked.reach), seed=asked.seed)
    pytest.main(["-s", "-p", "no:cacheprovider", "tests"], plugins=[trial])
    return 0


def sample(package: str, size: int, seed: int) -> list[Mutant]:
    """So many mutants of a package, the same for the same seed and source."""
    folder = LIBRARY if package == "top" else LIBRARY / package
    every = [mutant for file in sorted(folder.glob("*.py")) for mutant in mutants(file)]
    dice = random.Random(f"{seed} {package}")
    return sorted(dice.sample(every, min(size, len(every))), key=lambda m: (m.file, m.number))


def mirrored(package: str) -> tuple[str, ...]:
    """Where a package's own tests are; those of the modules at the top stand in files."""
    if package != "top":
        return (f"tests/{package}/",)
    return tuple(f"tests/test_{name}.py" for name in ("errors", "values", "patterns", "api"))


def wilson(hits: int, cases: int) -> tuple[float, float]:
    """The 95 % interval of a share.

    Source: Wilson's score interval, with z = 1.96.
    """
    if not cases:
        return 0.0, 1.0
    z2 = 1.96**2
    middle = (hits + z2 / 2) / (cases + z2)
    half = 1.96 / (cases + z2) * math.sqrt(hits * (cases - hits) / cases + z2 / 4)
    return middle - half, middle + half


class Reach:
    """Which tests run which line, as the coverage data has it."""

    def __init__(self, data: Path) -> None:
        self._data = CoverageData(str(data))
        self._data.read()
        self._files = {Path(name).relative_to(_root_of(name)): name for name in self._data.measured_files()}

    def tests(self, mutant: Mutant) -> set[str]:
        """The names of the tests that run the mutant's line."""
        return {context.rpartition("|")[0] for context in self._contexts(mutant) if context}

    def at_import(self, mutant: Mutant) -> bool:
        """True where the line also ran outside every test: at import or while tests were collected."""
        return "" in self._contexts(mutant)

    def _contexts(self, mutant: Mutant) -> list[str]:
        return self._lines(mutant.file.relative_to(ROOT)).get(mutant.line, [])

    @functools.cache  # noqa: B019 (lives as long as the run)
    def _lines(self, file: Path) -> dict[int, list[str]]:
        name = self._files.get(file)
        return self._data.contexts_by_lineno(name) if name else {}


def _root_of(name: str) -> Path:
    """The tree a measured file stands in: above the last folder called floorplan."""
    path = Path(name)
    return next(parent.parent for parent in path.parents if parent.name == "floorplan")


class Trial:
    """A pytest plugin that collects as usual and then runs mutants in place of tests."""

    def __init__(self, chosen: dict[str, list[Mutant]], reach: Reach, *, seed: int) -> None:
        self.chosen = chosen
        self.reach = reach
        self.seed = seed

    def pytest_sessionstart(self) -> None:
        """Do not shrink what fails: one failure is all that is asked."""
        from hypothesis import Phase, settings

        settings.register_profile("mutation", phases=[Phase.explicit, Phase.generate])
        settings.load_profile("mutation")

    @pytest.hookimpl(tryfirst=True)
    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        """Every mutant against its tests."""
        self.items = {item.nodeid: item for item in session.items}
        self.functions, self.caches = _living()
        with tempfile.TemporaryDirectory() as folder:
            self.copy = Path(folder)
            _copy_tree(self.copy)
            for package, asked in self.chosen.items():
                self.run(package, asked)
        return True

    def run(self, package: str, asked: list[Mutant]) -> None:
        """Judge a package's mutants; name those that live as they are found, then the score."""
        verdicts = []
        for mutant in asked:
            verdict = self.judge(package, mutant)
            verdicts.append(verdict)
            if verdict in (MISSED, UNREACHED):
                when = "" if mutant.function else " (at import)"
                where = f"{mutant.file.relative_to(ROOT)}:{mutant.line}"
                print(f"    {where} {verdict}{when}: {mutant.what}", flush=True)
        hung = verdicts.count(HUNG)
        noticed = hung + verdicts.count(NOTICED)
        low, high = wilson(noticed, len(asked))
        print(
            f"{package}: {noticed} of {len(asked)} noticed, {noticed / max(1, len(asked)):.0%} "
            f"({low:.0%} to {high:.0%}), {hung} of them by hanging, seed {self.seed}",
            flush=True,
        )

    def judge(self, package: str, mutant: Mutant) -> str:
        """Whether a test notices the mutant."""
        if mutant.function is None:
            return self.in_a_copy(package, mutant)
        tests = [self.items[name] for name in sorted(self.reach.tests(mutant)) if name in self.items]
        random.Random(f"{self.seed} {mutant.what}").shuffle(tests)
        tests.sort(key=lambda item: not item.nodeid.startswith(mirrored(package)))
        verdict = self.in_a_fork(mutant, tests) if tests else UNREACHED
        if verdict in (MISSED, UNREACHED) and self.reach.at_import(mutant):
            return self.in_a_copy(package, mutant)
        return verdict

    def in_a_fork(self, mutant: Mutant, tests: list[pytest.Item]) -> str:
        """A child process gets the changed function and runs the tests."""
        child = os.fork()
        if child == 0:
            code = 3
            try:
                os.setpgid(0, 0)
                resource.setrlimit(resource.RLIMIT_CPU, (HANGS_S, HANGS_S))
                _silence()
                self.exchange(mutant)
                code = _first_failure(tests)
            finally:
                os._exit(code)
        end = time.monotonic() + STUCK_S
        while time.monotonic() < end:
            done, status = os.waitpid(child, os.WNOHANG)
            if done:
                return HUNG if os.WIFSIGNALED(status) else MISSED if status == 0 else NOTICED
            time.sleep(0.01)
        os.killpg(child, signal.SIGKILL)
        os.waitpid(child, 0)
        return HUNG

    def exchange(self, mutant: Mutant) -> None:
        """Give the living function the mutant's code and forget what was worked out before."""
        compiled = compile(mutant.tree(), str(mutant.file), "exec", dont_inherit=True)
        assert mutant.function is not None
        key = (str(mutant.file), *mutant.function)
        new = next(code for code in _codes(compiled) if (code.co_qualname, code.co_firstlineno) == key[1:])
        for function in self.functions[key]:
            function.__code__ = new
        for cache in self.caches:
            cache.cache_clear()

    def in_a_copy(self, package: str, mutant: Mutant) -> str:
        """The mirrored folder's tests, on a copy of the tree that holds the mutant."""
        import ast

        file = self.copy / mutant.file.relative_to(ROOT)
        limit = f'ulimit -t {COPY_HANGS_S}; exec "$@"'
        command = [
            "sh",
            "-c",
            limit,
            "sh",
            sys.executable,
            "-B",
            "-m",
            "pytest",
            "-x",
            "-q",
            "-p",
            "no:cacheprovider",
        ]
        command += mirrored(package)
        path = os.pathsep.join([str(self.copy), str(self.copy / "beside")])
        file.write_text(ast.unparse(mutant.tree()), "utf-8")
        with subprocess.Popen(
            command,
            cwd=self.copy,
            env=os.environ | {"PYTHONPATH": path},
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            start_new_session=True,
        ) as run:
            try:
                code = run.wait(STUCK_S)
                return HUNG if code < 0 else MISSED if code == 0 else NOTICED
            except subprocess.TimeoutExpired:
                os.killpg(run.pid, signal.SIGKILL)
                return HUNG
            finally:
                shutil.copyfile(mutant.file, file)


def _living() -> tuple[dict[tuple[str, str, int], list[FunctionType]], list[functools._lru_cache_wrapper]]:
    """The library's functions by file, name and line, and its caches."""
    import floorplan

    for module in pkgutil.walk_packages(floorplan.__path__, "floorplan."):
        importlib.import_module(module.name)
    functions, caches = defaultdict(list), []
    for thing in gc.get_objects():
        if isinstance(thing, FunctionType):
            code = thing.__code__
            functions[code.co_filename, code.co_qualname, code.co_firstlineno].append(thing)
        elif isinstance(thing, functools._lru_cache_wrapper) and thing.__module__.startswith("floorplan"):
            caches.append(thing)
    return functions, caches


def _codes(code: CodeType) -> list[CodeType]:
    """All code inside a compiled module."""
    inner = [constant for constant in code.co_consts if isinstance(constant, CodeType)]
    return inner + [deeper for one in inner for deeper in _codes(one)]


def _first_failure(tests: list[pytest.Item]) -> int:
    """Run tests until one fails or the time is up; 1 when one failed."""
    from _pytest.runner import runtestprotocol

    end = time.process_time() + PER_MUTANT_S
    for test, following in zip(tests, [*tests[1:], None], strict=True):
        if any(report.failed for report in runtestprotocol(test, log=False, nextitem=following)):
            return 1
        if time.process_time() > end:
            break
    return 0


def _silence() -> None:
    nothing = os.open(os.devnull, os.O_RDWR)
    for stream in (0, 1, 2):
        os.dup2(nothing, stream)


def _copy_tree(folder: Path) -> None:
    """What tests read, and the command line under the name it is installed by."""
    for name in COPIED:
        if (ROOT / name).is_dir():
            shutil.copytree(ROOT / name, folder / name, ignore=shutil.ignore_patterns("__pycache__"))
        else:
            shutil.copyfile(ROOT / name, folder / name)
    (folder / "beside").mkdir()
    (folder / "beside" / "floorplan_cli").symlink_to(folder / "cli", target_is_directory=True)


if __name__ == "__main__":
    sys.exit(main())
