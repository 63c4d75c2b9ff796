"""Whatever becomes of the disk or of the program: a file is the old one or the new one, whole."""

from __future__ import annotations

import os
import random
import resource
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest
from command_runs import PATIO, run

WRITER = """
import sys
from pathlib import Path
from floorplan_cli.output import write_files
folder = Path(sys.argv[1])
print("ready", flush=True)
for turn in range(1, 1_000_000):
    body = (b"floorplan %07d " % turn) * 40_000
    write_files({folder / "a.txt": body, folder / "b.txt": body})
"""

FOLDERS = """
import sys
from pathlib import Path
from floorplan_cli.folders import tidy, write_folder
folder = Path(sys.argv[1]) / "packet"
tidy([folder], "sign.txt")
print("ready", flush=True)
for turn in range(1, 1_000_000):
    body = (b"floorplan %07d " % turn) * 10_000
    write_folder(folder, {"sign.txt": body, "b.txt": body})
"""

LEDGER = """
import sys
from pathlib import Path
from floorplan.order.stock_csv import read_stock
from floorplan.order.stock_file import change_stock, new_stock
from floorplan.order.stock import Stock
path = Path(sys.argv[1]) / "stock.csv"
if not path.exists():
    new_stock(path)
head = "what,product,amount,unit\\n"
print("ready", flush=True)
for turn in range(1, 1_000_000):
    more = read_stock(head + f"on hand,flake,{turn},lb\\n", "more").lots
    change_stock(path, lambda old: Stock(lots=(old.lots + more)[-400:], comments=old.comments))
"""


def killed_at_random(script: str, folder: Path, dice: random.Random) -> None:
    """Run a script that writes without end, and kill it outright in the middle of it."""
    process = subprocess.Popen(
        [sys.executable, "-c", script, str(folder)], stdout=subprocess.PIPE, stderr=subprocess.DEVNULL
    )
    assert process.stdout is not None
    assert process.stdout.readline() == b"ready\n"
    time.sleep(dice.uniform(0.0, 0.12))
    process.send_signal(signal.SIGKILL)
    process.wait()
    process.stdout.close()


def whole(path: Path, count: int) -> bool:
    """True for a file of one turn's lines, all of them."""
    words = path.read_bytes().split(b"floorplan ")[1:]
    return len(words) == count and len(set(words)) == 1


def test_killed_while_writing_files(tmp_path: Path) -> None:
    """Each target is whole after every kill; what is left beside them is hidden and named as a part."""
    dice = random.Random(8)
    for _ in range(12):
        killed_at_random(WRITER, tmp_path, dice)
        for path in tmp_path.iterdir():
            if path.name in ("a.txt", "b.txt"):
                assert whole(path, 40_000)
            else:
                assert path.name.startswith(".")
                assert path.suffix == ".part"


def test_killed_while_writing_a_folder(tmp_path: Path) -> None:
    """The packet that stands is of one turn, whole; the next run clears away what was not finished."""
    dice = random.Random(9)
    packet = tmp_path / "packet"
    for _ in range(12):
        killed_at_random(FOLDERS, tmp_path, dice)
        standing = packet if packet.exists() else next(iter(tmp_path.glob(".packet.*.old")), None)
        if standing is not None:
            assert whole(standing / "sign.txt", 10_000)
            assert (standing / "sign.txt").read_bytes() == (standing / "b.txt").read_bytes()
    assert len(list(tmp_path.iterdir())) <= 3


def test_killed_while_changing_the_stock(tmp_path: Path) -> None:
    """The ledger can be read after every kill, no row is cut, and the lock is free again."""
    from floorplan.order.stock_file import load_stock

    dice = random.Random(10)
    for _ in range(10):
        killed_at_random(LEDGER, tmp_path, dice)
        lots = load_stock(tmp_path / "stock.csv").lots
        assert {lot.product for lot in lots} <= {"flake"}


def limited(size: int) -> Callable[[], None]:
    """No file may grow beyond so many bytes: the nearest thing to a full disk that needs no rights."""

    def limit() -> None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (size, size))
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)

    return limit


@pytest.mark.parametrize(
    "arguments",
    [
        ["packet", PATIO, "-o", "out"],
        ["draw", PATIO, "-o", "out/crew.svg"],
        ["draw", PATIO, "-o", "out/crew.pdf"],
        ["convert", "slab.csv", "-o", "out/plan.toml", "--units", "ft"],
    ],
)
def test_no_room_for_a_file(tmp_path: Path, arguments: list[str]) -> None:
    """A command that finds no room ends in words with exit 1 and leaves nothing, not even parts."""
    (tmp_path / "slab.csv").write_text("name,x,y\nA,0,0\nB,9,0\nC,9,9\n")
    done = subprocess.run(
        [sys.executable, "-m", "floorplan_cli", *arguments],
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=False,
        preexec_fn=limited(200),
        env={**os.environ, "XDG_CONFIG_HOME": str(tmp_path), "PYTHONDONTWRITEBYTECODE": "1"},
    )
    assert done.returncode == 1
    assert "cannot write" in done.stderr
    assert "nothing was changed there" in done.stderr
    assert "Traceback" not in done.stderr
    assert [path for path in (tmp_path / "out").rglob("*") if path.is_file()] == []


@pytest.mark.parametrize(
    "arguments",
    [["takeoff", PATIO], ["schema"], ["draw", PATIO, "-o", "-"], ["materials", PATIO, "--json"], ["--help"]],
)
def test_full_disk_behind_stdout(tmp_path: Path, arguments: list[str]) -> None:
    """A result that cannot be written is told in words and is no success."""
    with Path("/dev/full").open("wb") as full:
        done = subprocess.run(
            [sys.executable, "-m", "floorplan_cli", *arguments],
            stdout=full,
            stderr=subprocess.PIPE,
            text=True,
            check=False,
        )
    assert done.returncode != 0
    assert "Traceback" not in done.stderr
    assert "No space left on device" in done.stderr


@pytest.mark.parametrize("arguments", [["takeoff", PATIO], ["draw", PATIO, "-o", "-"], ["schema"]])
def test_pipe_that_closes(arguments: list[str]) -> None:
    """A reader that has gone is no fault of ours: no words, no traceback."""
    process = subprocess.Popen(
        [sys.executable, "-m", "floorplan_cli", *arguments], stdout=subprocess.PIPE, stderr=subprocess.PIPE
    )
    assert process.stdout is not None
    assert process.stderr is not None
    process.stdout.close()
    assert b"Traceback" not in process.stderr.read()
    process.wait()
    process.stderr.close()


@pytest.mark.parametrize("name", ["file/crew.svg", "file/in/crew.svg", "folder.svg", "x" * 300 + ".svg"])
def test_target_that_cannot_be(tmp_path: Path, name: str) -> None:
    """A file where a folder should be, a folder where a file should be, a name too long: words and exit 1."""
    (tmp_path / "file").write_text("mine")
    (tmp_path / "folder.svg").mkdir()
    for force in ([], ["--force"]):
        done = run("draw", PATIO, "-o", str(tmp_path / name), *force)
        assert done.exit_code == 1
        assert done.stderr.startswith("floorplan: ") or "floorplan: " in done.stderr
    assert (tmp_path / "file").read_text() == "mine"
    assert list((tmp_path / "folder.svg").iterdir()) == []


def test_long_name_that_just_fits(tmp_path: Path) -> None:
    """The hidden name of a file in the making is not longer than the file's own may be."""
    name = "é" * 120 + ".svg"
    assert run("draw", PATIO, "-o", str(tmp_path / name)).exit_code == 0
    assert (tmp_path / name).exists()


def test_folder_that_refuses(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A folder that may not be written to is told, with its name."""
    import tempfile

    def refuses(*arguments: object, **options: object) -> None:
        raise PermissionError(13, "Permission denied", str(tmp_path / "crew.svg"))

    monkeypatch.setattr(tempfile, "mkstemp", refuses)
    done = run("draw", PATIO, "-o", str(tmp_path / "crew.svg"))
    assert done.exit_code == 1
    assert (
        f"cannot write {tmp_path / 'crew.svg'}: Permission denied; nothing was changed there" in done.stderr
    )
