"""`floorplan batch`: the packets of many plans, on all cores."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator, Mapping, Sequence
from contextlib import closing, contextmanager, nullcontext
from pathlib import Path
from typing import Any

import click

import floorplan
from floorplan.errors import Fault, FloorplanError, PlanError, visible
from floorplan.files.lock import take_lock
from floorplan.files.noted import MISSING, fingerprint, noting
from floorplan.files.text import read_bytes, read_text
from floorplan.report.batch import (
    Row,
    State,
    holds_slabs,
    packet_folders,
    summary_csv,
    summary_document,
    summary_text,
)
from floorplan.report.documents import json_text
from floorplan.report.packet_record import RECORD_NAME, Record, read_record, why_anew

from .batch_run import cores, run_tasks
from .batch_work import Done, Task
from .folders import tidy, write_folder
from .options import force_option, formats_option, paper_option, scale_option, strict_option
from .output import OutputRefused, emit, refused, say, show_faults, write_files
from .user_files import firm_path, users_firm

LOCK_NAME = ".batch.lock"
_LARGEST_RECORD = 4_000_000


@click.command("batch", epilog="Example: floorplan batch sample_plans -o packets")
@click.argument("folder", metavar="DIR", type=click.Path(path_type=Path))
@click.option(
    "-o",
    "--output",
    required=True,
    metavar="DIR",
    type=click.Path(path_type=Path),
    help="Folder for the packets.",
)
@formats_option
@click.option(
    "--jobs", type=click.IntRange(1, 256), metavar="N", help="Plans at a time; left out: all cores."
)
@click.option("--again", is_flag=True, help="Make every packet anew, those that are still good too.")
@paper_option
@scale_option
@force_option
@strict_option
def command(
    folder: Path,
    output: Path,
    formats: tuple[str, ...],
    jobs: int | None,
    again: bool,
    paper: str | None,
    scale: str | None,
    force: bool,
    strict: bool,
) -> None:
    """Write the packet of every plan in a folder and the folders below it, and a summary of all.

    A plan with faults stops no other. A packet whose plan, files named by the plan, options and program are
    what they were is kept, so that a run that was stopped goes on where it stood.
    """
    options = {"formats": list(dict.fromkeys(formats)), "paper": paper, "scale": scale, "strict": strict}
    plans, passed_over = find_plans(folder)
    folders = packet_folders(plans)
    with noting() as common:
        firm = users_firm() and firm_path()
    tasks = [Task(root=folder, plan=plan, options=options, firm=firm, common=dict(common)) for plan in plans]
    with _alone(output):
        tidy((output / name for name in folders.values()), RECORD_NAME)
        rows = _work(tasks, output, folders, jobs=jobs or cores(), again=again, force=force)
        summary = {
            output / "summary.csv": summary_csv(rows).encode(),
            output / "summary.json": json_text(summary_document(rows, passed_over)).encode(),
        }
        write_files(summary, force=force)
        good = sum(row.state is not State.FAULTS for row in rows)
        say(f"packets in {visible(str(output))}: {good} of {len(rows)} plans")
    show_faults(fault for row in rows for fault in row.faults)
    emit(summary_text(rows, passed_over))
    if any(row.faults for row in rows):
        click.get_current_context().exit(1)


def find_plans(folder: Path) -> tuple[list[str], list[str]]:
    """Plans below a folder, and other TOML files, by their paths from there, in alphabetical order.

    Hidden files and folders are left out, and links to folders are not followed.

    Raises:
        PlanError: there is no such folder, or no plan in it.
    """
    if not folder.is_dir():
        raise PlanError(Fault(code="folder-missing", text=f"there is no folder {folder}"))
    found = []
    for place, inner, names in os.walk(folder):
        inner[:] = sorted(name for name in inner if not name.startswith("."))
        found += [Path(place) / n for n in names if n.lower().endswith(".toml") and not n.startswith(".")]
    # A pipe would be waited for without end.
    by_name = {path.relative_to(folder).as_posix(): path for path in found if path.is_file()}
    plans = [name for name in sorted(by_name) if _may_be_plan(by_name[name])]
    if not plans:
        hint = "a plan is a file NAME.toml with a [[slab]]; floorplan new writes one"
        raise PlanError(Fault(code="plans-missing", text=f"there is no plan in {folder}", hint=hint))
    return plans, sorted(set(by_name) - set(plans))


def _may_be_plan(path: Path) -> bool:
    try:
        return holds_slabs(read_text(path))
    except FloorplanError:
        return True  # working it will say what is wrong


def _work(
    tasks: Sequence[Task], output: Path, folders: Mapping[str, str], *, jobs: int, again: bool, force: bool
) -> list[Row]:
    """Keep what is good, make the rest; a row a plan, in the order of the tasks."""
    rows: dict[str, Row] = {}
    old = {task.plan: _record_in(output / folders[task.plan]) for task in tasks}
    due = []
    for task in tasks:
        record = old[task.plan]
        if record is None or again or _why(record, task, output / folders[task.plan]):
            due.append(task)
        else:
            rows[task.plan] = Row(plan=task.plan, state=State.KEPT, packet=folders[task.plan], record=record)
    try:
        with _progress(len(due)) as step, closing(run_tasks(due, jobs)) as finished:
            for task, done in finished:
                rows[task.plan] = _put(task, done, output, folders[task.plan], old[task.plan], force=force)
                step()
    except KeyboardInterrupt:
        say(f"stopped: {len(rows)} of {len(tasks)} plans are done; the same command goes on from there")
        click.get_current_context().exit(1)
    return [rows[task.plan] for task in tasks]


def _why(record: Record, task: Task, packet: Path) -> str:
    return why_anew(
        record,
        version=floorplan.__version__,
        options=task.options,
        now=lambda name: _fingerprint(task.root / name),
        packed=lambda name: _fingerprint(packet / name),
    )


def _put(task: Task, done: Done, output: Path, name: str, old: Record | None, *, force: bool) -> Row:
    """Write a packet; the row says what became of the plan."""
    faults = done.faults
    if not faults:
        try:
            ours = old.files if old is not None else {}
            outdated = [n for n, print_ in ours.items() if _fingerprint(output / name / n) == print_]
            write_folder(output / name, done.files, force=force, outdated=[*outdated, RECORD_NAME])
            return Row(plan=task.plan, state=State.MADE, packet=name, record=done.record)
        except OutputRefused as problem:
            faults = (Fault(code="packet-refused", text=str(problem)),)
    if old is not None:
        say(
            visible(
                f"{task.plan}: has faults; the packet in {output / name} is of an earlier state of the plan"
            )
        )
    return Row(plan=task.plan, state=State.FAULTS, packet="", faults=faults)


def _record_in(packet: Path) -> Record | None:
    try:
        return read_record(read_text(packet / RECORD_NAME, _LARGEST_RECORD))
    except FloorplanError:
        return None


def _fingerprint(path: Path) -> str:
    try:
        return fingerprint(read_bytes(path, 1_000_000_000))
    except FloorplanError:
        return MISSING


@contextmanager
def _alone(output: Path) -> Iterator[None]:
    """Keep a second run away from the same output folder."""
    try:
        output.mkdir(parents=True, exist_ok=True)
        handle = (output / LOCK_NAME).open("a+b")
    except OSError as error:
        raise refused(error, output) from error
    with handle:
        if not take_lock(handle):
            raise OutputRefused(f"another run is writing to {visible(str(output))}; wait until it has ended")
        yield


def _progress(count: int) -> Any:
    """A bar on a terminal, nothing elsewhere; gives what is called after each plan."""
    if count == 0 or not sys.stderr.isatty():
        return nullcontext(lambda: None)
    return _bar(count)


@contextmanager
def _bar(count: int) -> Iterator[Any]:
    with click.progressbar(length=count, label="plans", file=sys.stderr, show_pos=True) as bar:
        yield lambda: bar.update(1)
