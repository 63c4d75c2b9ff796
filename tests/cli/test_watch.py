"""`floorplan draw --watch`: the sheet follows the plan as it is typed."""

from __future__ import annotations

import contextlib
import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from command_runs import heed_interrupts, run

PLAN = """title = "{title}"
[[slab]]
system = "{system}"
surface = "trowelled"
outline = '''
0, 0 | wall
{width}', 0 | open
{width}', 10' | open
0, 10' | open
'''
"""


def plan_text(title: str = "Patio", width: object = 10, system: str = "clear-seal") -> str:
    """A plan of one slab."""
    return PLAN.format(title=title, width=width, system=system)


class Watched:
    """A running `draw --watch` on a plan in a folder of its own."""

    def __init__(self, folder: Path, text: str) -> None:
        self.plan, self.sheet, self.log = folder / "plan.toml", folder / "out" / "crew.svg", folder / "log"
        self.plan.write_text(text)
        command = [sys.executable, "-m", "floorplan_cli", "draw", str(self.plan), "-o", str(self.sheet)]
        with self.log.open("wb") as log:
            self.process = subprocess.Popen(
                [*command, "--watch"],
                stdout=log,
                stderr=log,
                env={**os.environ, "XDG_CONFIG_HOME": str(folder / "config")},
                preexec_fn=heed_interrupts,
            )

    def until(self, holds: Callable[[], bool]) -> None:
        """Wait until something holds, a minute at most."""
        end = time.monotonic() + 60
        while not holds():
            assert self.process.poll() is None, self.log.read_text()
            assert time.monotonic() < end, self.log.read_text()
            time.sleep(0.05)

    def shows(self, word: str) -> bool:
        """True where the sheet holds a word."""
        return self.sheet.exists() and word in self.sheet.read_text(encoding="utf-8")

    def said(self, words: str, times: int = 1) -> bool:
        """True where the run has said words so many times."""
        return self.log.read_text().count(words) >= times


@pytest.fixture
def watched(tmp_path: Path) -> Iterator[Watched]:
    """A run that has drawn once."""
    run_ = Watched(tmp_path, plan_text())
    try:
        run_.until(lambda: run_.said("watching"))
        assert run_.shows("Patio")
        yield run_
    finally:
        with contextlib.suppress(ProcessLookupError):
            run_.process.kill()
        run_.process.wait()


def test_sheet_follows_what_is_saved(watched: Watched) -> None:
    """Saved in place or by renaming, a half-saved plan, a system that it names; Ctrl-C ends with exit 0."""
    watched.plan.write_text(plan_text("Porch"))
    watched.until(lambda: watched.shows("Porch"))

    other = watched.plan.with_name("plan.toml~")
    other.write_text(plan_text("Garage"))
    other.replace(watched.plan)
    watched.until(lambda: watched.shows("Garage"))

    good = watched.sheet.read_bytes()
    watched.plan.write_text(plan_text("Half")[:60])
    watched.until(lambda: watched.said("fault: ") and watched.said("the last good sheet stays"))
    assert watched.sheet.read_bytes() == good

    watched.plan.unlink()
    watched.until(lambda: watched.said("there is no such file"))
    assert watched.sheet.read_bytes() == good

    system = watched.plan.with_name("ours.toml")
    system.write_text('extends = "clear-seal"\ntitle = "Our own seal"\n')
    watched.plan.write_text(plan_text("Shed", system="ours"))
    watched.until(lambda: watched.shows("Shed") and watched.log.read_text().endswith("ends it\n"))
    drawn = watched.log.read_text().count("watching")
    system.write_text('extends = "clear-seal"\ntitle = "Another seal"\n')
    watched.until(lambda: watched.said("watching", drawn + 1))

    watched.process.send_signal(signal.SIGINT)
    assert watched.process.wait(timeout=30) == 0
    log = watched.log.read_text()
    assert log.endswith("ended\n")
    assert "Traceback" not in log
    assert not [path for path in watched.sheet.parent.iterdir() if path.suffix != ".svg"]


def test_plan_saved_in_pieces_is_drawn_when_it_rests(watched: Watched) -> None:
    """While an editor writes on and on nothing is drawn and no fault is shown."""
    text = plan_text("Long")
    with watched.plan.open("w") as file:
        for k in range(0, len(text), 12):
            file.write(text[k : k + 12])
            file.flush()
            time.sleep(0.03)
    watched.until(lambda: watched.shows("Long"))
    assert not watched.said("Traceback")


def test_watching_needs_files() -> None:
    """Standard input cannot be watched, standard output not drawn upon."""
    done = run("draw", "-", "-o", "x.svg", "--watch", stdin="")
    assert done.exit_code == 2
    assert "--watch needs a plan file" in done.stderr
    assert run("draw", "x.toml", "-o", "-", "--watch").exit_code == 2


def test_watching_begins_with_a_plan_that_has_faults(tmp_path: Path) -> None:
    """The user may begin with an empty plan: its faults are shown, and the sheet comes when it is right."""
    watched = Watched(tmp_path, "[[slab]]\n")
    try:
        watched.until(lambda: watched.said("nothing is drawn yet"))
        watched.plan.write_text(plan_text("Late"))
        watched.until(lambda: watched.shows("Late"))
    finally:
        watched.process.kill()
        watched.process.wait()
