"""`floorplan batch`: many plans, faults that stop nobody, runs that go on where they stood."""

from __future__ import annotations

import csv
import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from command_runs import GARAGE, PATIO, heed_interrupts, run

from floorplan_cli import batch_run
from floorplan_cli.batch_work import Task

PLAN = """title = "{title}"
[[slab]]
system = "clear-seal"
surface = "trowelled"
outline = '''
0, 0 | wall
{width}', 0 | open
{width}', 10' | open
0, 10' | open
'''
"""


@pytest.fixture(autouse=True)
def own_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The user's folder is an empty one."""
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))


@pytest.fixture
def jobs(tmp_path: Path) -> Path:
    """Three plans, one in a folder below, and a price file."""
    folder = tmp_path / "jobs"
    (folder / "lot 7").mkdir(parents=True)
    (folder / "a.toml").write_text(PLAN.format(title="A", width=10))
    (folder / "b.toml").write_text(PLAN.format(title="B", width=20))
    (folder / "lot 7" / "c.toml").write_text(PLAN.format(title="C", width=30))
    (folder / "prices.toml").write_text("[material]\n")
    return folder


def states(out: Path) -> dict[str, str]:
    """What the summary says became of each plan."""
    with (out / "summary.csv").open(encoding="utf-8", newline="") as file:
        return {row[0]: row[1] for row in list(csv.reader(file))[1:]}


def whole(packet: Path) -> bool:
    """True where every file of the packet's record stands there as it was written."""
    from floorplan.files.noted import fingerprint

    record = json.loads((packet / "made-from.json").read_text())
    return all(fingerprint((packet / name).read_bytes()) == mark for name, mark in record["files"].items())


def test_every_plan_gets_its_packet(jobs: Path, tmp_path: Path) -> None:
    """Packets stand under the plans' names; the summary comes on stdout, as CSV and as JSON."""
    out = tmp_path / "out"
    done = run("batch", str(jobs), "-o", str(out), "--jobs", "1")
    assert done.exit_code == 0
    assert sorted(p.name for p in out.iterdir()) == [
        ".batch.lock",
        "a",
        "b",
        "lot 7",
        "summary.csv",
        "summary.json",
    ]
    assert {"crew.svg", "takeoff.json", "materials.csv"} <= {p.name for p in (out / "lot 7" / "c").iterdir()}
    assert done.stdout.splitlines()[2].split()[:5] == ["a.toml", "made", "100.0", "sq", "ft"]
    assert "passed over, as they name no slab: prices.toml" in done.stdout
    summary = json.loads((out / "summary.json").read_text())
    # 10 x 10, 20 x 10 and 30 x 10 feet: 600 sq ft of 0.09290304 m².
    assert summary["totals"]["net_area_m2"] == pytest.approx(600 * 0.09290304)


def test_packet_is_what_the_packet_command_writes(tmp_path: Path) -> None:
    """The same bytes, from several processes too; the record is all that is added."""
    jobs = tmp_path / "jobs"
    jobs.mkdir()
    for sample in (PATIO, GARAGE):
        (jobs / Path(sample).name).write_bytes(Path(sample).read_bytes())
    assert run("batch", str(jobs), "-o", str(tmp_path / "out"), "--jobs", "2").exit_code == 0
    for name in ("l-patio", "garage"):
        assert run("packet", str(jobs / f"{name}.toml"), "-o", str(tmp_path / name)).exit_code == 0
        alone = {path.name: path.read_bytes() for path in (tmp_path / name).iterdir()}
        batch = {path.name: path.read_bytes() for path in (tmp_path / "out" / name).iterdir()}
        batch.pop("made-from.json")
        assert alone == batch


def test_faults_stop_no_other_plan(jobs: Path, tmp_path: Path) -> None:
    """All faults are shown, the others are finished, and the exit code says that there were faults."""
    (jobs / "a.toml").write_text(PLAN.format(title="A", width="x"))
    (jobs / "b.toml").write_bytes(b"\xff\xfe")
    done = run("batch", str(jobs), "-o", str(tmp_path / "out"), "--jobs", "1")
    assert done.exit_code == 1
    assert states(tmp_path / "out") == {"a.toml": "faults", "b.toml": "faults", "lot 7/c.toml": "made"}
    assert "a.toml:7:1: fault: corner 2" in done.stderr
    assert "the text is UTF-16" in done.stderr
    assert not (tmp_path / "out" / "a").exists()


def test_second_run_keeps_what_is_good(jobs: Path, tmp_path: Path) -> None:
    """Only the plan that changed is made anew; the summary is the same but for the states."""
    out = tmp_path / "out"
    arguments = ("batch", str(jobs), "-o", str(out), "--jobs", "1")
    run(*arguments)
    before = (out / "a" / "crew.svg").stat().st_mtime_ns
    (jobs / "b.toml").write_text(PLAN.format(title="B", width=21))
    assert run(*arguments).exit_code == 0
    assert states(out) == {"a.toml": "kept", "b.toml": "made", "lot 7/c.toml": "kept"}
    assert (out / "a" / "crew.svg").stat().st_mtime_ns == before


def change_system(jobs: Path, out: Path) -> None:
    """A system that the plan names."""
    (jobs / "ours.toml").write_text('extends = "clear-seal"\ntitle = "other"\n')


def change_firm(jobs: Path, out: Path) -> None:
    """The firm's file in the user's folder, which was not there."""
    folder = Path(os.environ["XDG_CONFIG_HOME"]) / "floorplan"
    folder.mkdir(parents=True)
    (folder / "firm.toml").write_text('[firm]\nname = "Thornfield Floor Works"\n')


def lose_a_sheet(jobs: Path, out: Path) -> None:
    """A sheet of the packet."""
    (out / "a" / "crew.svg").unlink()


def draw_on_a_sheet(jobs: Path, out: Path) -> None:
    """A sheet of the packet, changed by hand."""
    path = out / "a" / "crew.svg"
    path.write_bytes(path.read_bytes() + b"<!-- -->")


@pytest.mark.parametrize("change", [change_system, change_firm, lose_a_sheet, draw_on_a_sheet])
def test_packet_is_made_anew_when_its_inputs_change(jobs: Path, tmp_path: Path, change: object) -> None:
    """Not only the plan counts: its system, the firm's figures and the packet's own files do too."""
    out = tmp_path / "out"
    (jobs / "ours.toml").write_text('extends = "clear-seal"\n')
    (jobs / "a.toml").write_text(PLAN.format(title="A", width=10).replace("clear-seal", "ours"))
    arguments = ("batch", str(jobs), "-o", str(out), "--jobs", "1")
    run(*arguments)
    run(*arguments)
    assert states(out)["a.toml"] == "kept"
    change(jobs, out)  # type: ignore[operator]
    run(*arguments)
    assert states(out)["a.toml"] == "made"


@pytest.mark.parametrize("option", [["--paper", "a3"], ["--format", "png"], ["--strict"], ["--again"]])
def test_other_options_make_packets_anew(jobs: Path, tmp_path: Path, option: list[str]) -> None:
    """What was made with other options is not what was asked for."""
    arguments = ["batch", str(jobs), "-o", str(tmp_path / "out"), "--jobs", "1"]
    run(*arguments)
    run(*arguments, *option)
    assert "kept" not in states(tmp_path / "out").values()


def test_other_files_in_a_packet_stay(jobs: Path, tmp_path: Path) -> None:
    """Photos and notes that somebody put into a packet are still there when it is made anew; old pages go."""
    packet = tmp_path / "out" / "a"
    arguments = ("batch", str(jobs), "-o", str(tmp_path / "out"), "--jobs", "1")
    run(*arguments, "--format", "png")
    (packet / "photos").mkdir()
    (packet / "photos" / "1.jpg").write_bytes(b"photo")
    (packet / "note.txt").write_text("ring twice")
    run(*arguments)
    assert (packet / "photos" / "1.jpg").read_bytes() == b"photo"
    assert (packet / "note.txt").read_text() == "ring twice"
    assert (packet / "crew.svg").exists()
    assert not (packet / "crew.png").exists()


def test_somebody_elses_file_is_not_written_over(jobs: Path, tmp_path: Path) -> None:
    """A file of a sheet's name that we did not make stops this packet alone; --force replaces it."""
    packet = tmp_path / "out" / "a"
    packet.mkdir(parents=True)
    (packet / "crew.svg").write_text("mine")
    arguments = ("batch", str(jobs), "-o", str(tmp_path / "out"), "--jobs", "1")
    done = run(*arguments)
    assert done.exit_code == 1
    assert "already there and not made by floorplan" in done.stderr
    assert (packet / "crew.svg").read_text() == "mine"
    assert states(tmp_path / "out") == {"a.toml": "faults", "b.toml": "made", "lot 7/c.toml": "made"}
    assert run(*arguments, "--force").exit_code == 0
    assert whole(packet)


def test_packet_of_an_earlier_state_is_told(jobs: Path, tmp_path: Path) -> None:
    """A plan that has faults now keeps its old packet, and the user hears that it is old."""
    arguments = ("batch", str(jobs), "-o", str(tmp_path / "out"), "--jobs", "1")
    run(*arguments)
    (jobs / "a.toml").write_text("[[slab]]\n")
    done = run(*arguments)
    assert done.exit_code == 1
    assert "is of an earlier state of the plan" in done.stderr
    assert whole(tmp_path / "out" / "a")


@pytest.mark.parametrize(("make", "words"), [(False, "there is no folder"), (True, "there is no plan in")])
def test_folder_without_plans(tmp_path: Path, make: bool, words: str) -> None:
    """A folder that is not there, or holds no plan, is a fault and makes no output folder."""
    folder = tmp_path / "jobs"
    if make:
        folder.mkdir()
        (folder / "prices.toml").write_text("[material]\n")
    done = run("batch", str(folder), "-o", str(tmp_path / "out"))
    assert done.exit_code == 1
    assert words in done.stderr
    assert not (tmp_path / "out").exists()


def test_second_run_at_the_same_time_is_refused(jobs: Path, tmp_path: Path) -> None:
    """Two runs into one folder do not mix."""
    from floorplan.files.lock import take_lock

    (tmp_path / "out").mkdir()
    with (tmp_path / "out" / ".batch.lock").open("a+b") as handle:
        assert take_lock(handle)
        done = run("batch", str(jobs), "-o", str(tmp_path / "out"))
    assert done.exit_code == 1
    assert "another run is writing" in done.stderr


def test_name_of_any_bytes(tmp_path: Path) -> None:
    """Plans whose names are no text get packets and stand in the summary."""
    jobs = tmp_path / "jobs"
    jobs.mkdir()
    odd = os.fsencode(jobs) + b"/pl\xffan\x1b[31m\n.toml"
    with open(odd, "w") as file:  # noqa: PTH123
        file.write(PLAN.format(title="A", width=10))
    done = run("batch", str(jobs), "-o", str(tmp_path / "out"), "--jobs", "1")
    assert done.exit_code == 0
    assert "\x1b" not in done.stdout + done.stderr
    assert states(tmp_path / "out") == {"pl?an?[31m?.toml": "made"}
    assert run("batch", str(jobs), "-o", str(tmp_path / "out"), "--jobs", "1").exit_code == 0
    assert states(tmp_path / "out") == {"pl?an?[31m?.toml": "kept"}


DIES = """
import os
from floorplan_cli.batch_work import Done, work as really
def work(task):
    if task.plan == "b":
        os.kill(os.getpid(), 9)
    return Done(files={}, record=None)
"""


def test_process_that_dies_takes_no_other_plan_with_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The plan on which the program dies is told as a fault; every other is worked."""
    (tmp_path / "dies.py").write_text(DIES)
    monkeypatch.syspath_prepend(str(tmp_path))
    import dies  # type: ignore[import-not-found]

    monkeypatch.setattr(batch_run, "work", dies.work)
    tasks = [Task(root=tmp_path, plan=name, options={}, firm=None, common={}) for name in "abcde"]
    done = {task.plan: result for task, result in batch_run.run_tasks(tasks, 2)}
    assert sorted(done) == list("abcde")
    assert [name for name in done if done[name].faults] == ["b"]
    assert done["b"].faults[0].code == "program-died"


def test_defect_of_the_program_is_a_fault_of_one_plan(
    jobs: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A plan on which the program fails is told in words, and the others are finished."""
    from floorplan_cli import batch_work

    real = batch_work.packet_files

    def fails(takeoff: object, *rest: object, **options: object) -> dict[str, bytes]:
        if takeoff.plan.title == "B":  # type: ignore[attr-defined]
            raise ZeroDivisionError("float division by zero")
        return real(takeoff, *rest, **options)  # type: ignore[arg-type]

    monkeypatch.setattr(batch_work, "packet_files", fails)
    done = run("batch", str(jobs), "-o", str(tmp_path / "out"), "--jobs", "1")
    assert done.exit_code == 1
    assert "the program failed on this plan: ZeroDivisionError" in done.stderr
    assert states(tmp_path / "out") == {"a.toml": "made", "b.toml": "faults", "lot 7/c.toml": "made"}


@pytest.fixture
def many(tmp_path: Path) -> Path:
    """Forty plans that take a while each."""
    folder = tmp_path / "many"
    folder.mkdir()
    for k in range(40):
        (folder / f"p{k:02d}.toml").write_bytes(Path(PATIO).read_bytes())
    return folder


def started(many: Path, out: Path) -> Iterator[subprocess.Popen[str]]:
    """A run in a group of its own, once its first packet stands."""
    command = [sys.executable, "-m", "floorplan_cli", "batch", str(many), "-o", str(out), "--jobs", "2"]
    process = subprocess.Popen(
        command,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
        preexec_fn=heed_interrupts,
    )
    end = time.monotonic() + 120
    while not list(out.glob("p*/made-from.json")):
        assert process.poll() is None
        assert time.monotonic() < end
        time.sleep(0.02)
    try:
        yield process
    finally:
        if process.poll() is None:
            process.kill()
        process.communicate()


def children(pid: int) -> list[int]:
    """Processes that a process has started."""
    text = Path(f"/proc/{pid}/task/{pid}/children").read_text()
    return [int(word) for word in text.split()]


def gone(pids: list[int]) -> bool:
    """True once none of the processes runs, in a while of waiting."""
    for _ in range(200):
        if not any(Path(f"/proc/{pid}/exe").exists() for pid in pids):
            return True
        time.sleep(0.05)
    return False


needs_proc = pytest.mark.skipif(not Path("/proc/self/task").is_dir(), reason="processes are counted in /proc")


@needs_proc
@pytest.mark.slow
def test_interrupt_leaves_whole_packets_and_no_process(many: Path, tmp_path: Path) -> None:
    """Ctrl-C, as a terminal sends it to all: words, exit 1, nothing half done; the next run goes on."""
    out = tmp_path / "out"
    for process in started(many, out):
        workers = children(process.pid)
        os.killpg(process.pid, signal.SIGINT)
        stdout, stderr = process.communicate(timeout=60)
        assert process.returncode == 1
        assert stdout == ""
        assert "of 40 plans are done; the same command goes on from there" in stderr
        assert "Traceback" not in stderr
        assert gone(workers)
    packets = [path for path in out.iterdir() if path.is_dir()]
    assert 1 <= len(packets) < 40
    assert all(map(whole, packets))
    assert not [path for path in out.iterdir() if path.name.startswith(".p")]
    done = run("batch", str(many), "-o", str(out), "--jobs", "2")
    assert done.exit_code == 0
    assert list(states(out).values()).count("kept") == len(packets)


@needs_proc
@pytest.mark.slow
def test_killed_run_leaves_whole_packets_and_no_process(many: Path, tmp_path: Path) -> None:
    """Killed outright: every packet is whole, the processes end by themselves, the next run tidies up."""
    out = tmp_path / "out"
    for process in started(many, out):
        workers = children(process.pid)
        process.kill()
        process.wait()
        assert gone(workers)
    packets = [path for path in out.iterdir() if path.is_dir() and not path.name.startswith(".")]
    assert packets
    assert all(map(whole, packets))
    half = out / ".p00.abc.part"
    half.mkdir()
    (half / "made-from.json").write_text("{}")
    assert run("batch", str(many), "-o", str(out), "--jobs", "2").exit_code == 0
    assert len(states(out)) == 40
    assert sorted(p.name for p in out.iterdir() if p.name.startswith(".")) == [".batch.lock"]


@needs_proc
@pytest.mark.slow
def test_killed_process_of_a_run_costs_no_plan(many: Path, tmp_path: Path) -> None:
    """One of the working processes is killed, as for want of memory: every plan gets its packet."""
    out = tmp_path / "out"
    for process in started(many, out):
        os.kill(children(process.pid)[-1], signal.SIGKILL)
        stdout, stderr = process.communicate(timeout=300)
        assert process.returncode == 0, stderr
        assert "40 plans: 40 made, 0 kept, 0 with faults" in stdout


def test_old_packet_moved_away_by_a_killed_run_comes_back(jobs: Path, tmp_path: Path) -> None:
    """Killed between the two renames: the old packet is put back, with what others had put into it."""
    out = tmp_path / "out"
    arguments = ("batch", str(jobs), "-o", str(out), "--jobs", "1")
    run(*arguments)
    (out / "a" / "note.txt").write_text("ring twice")
    (out / "a").rename(out / ".a.xyz.old")
    assert run(*arguments).exit_code == 0
    assert states(out)["a.toml"] == "kept"
    assert (out / "a" / "note.txt").read_text() == "ring twice"
