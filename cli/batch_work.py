"""One plan of a batch, worked in a process of its own: from its file to the finished packet in memory.

Nothing is written here. Everything handed over and back is plain, so that any way of starting a process does.
"""

from __future__ import annotations

import os
import signal
import threading
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from traceback import extract_tb
from typing import TYPE_CHECKING, Any

import floorplan
from floorplan.errors import Fault, FloorplanError, Place
from floorplan.files.noted import fingerprint, noting
from floorplan.report.batch import FIGURES
from floorplan.report.contract import notices, takeoff_document
from floorplan.report.packet_record import RECORD_NAME, Record, input_names, record_text
from floorplan.values import dataclass

from .options import measure, refuse_notices
from .packet import packet_files

if TYPE_CHECKING:
    from floorplan.measure.model import Takeoff
    from floorplan.order.firm import Firm
    from floorplan.order.model import MaterialList

PROGRAM = Path(floorplan.__file__).parent


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """A plan to work.

    Attributes:
        root: the folder of plans.
        plan: path below it.
        options: formats, paper, scale and strict, by name.
        firm: the firm's file, None for none.
        common: fingerprints of files that every plan depends on.
    """

    root: Path
    plan: str
    options: Mapping[str, Any]
    firm: Path | None
    common: Mapping[Path, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Done:
    """A worked plan: the files of its packet and their record, or its faults."""

    files: Mapping[str, bytes]
    record: Record | None
    faults: tuple[Fault, ...] = ()


def begin() -> None:
    """Prepare a process for work: it ends when the program that started it is gone."""
    # An interrupt is for the program that started this one; it decides what becomes of the work.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    from multiprocessing import parent_process

    parent = parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)


def work(task: Task) -> Done:
    """The packet of a plan, or why there is none; a defect of the program is a fault of this plan alone."""
    try:
        return _packet(task)
    except FloorplanError as error:
        return Done(files={}, record=None, faults=error.faults)
    except Exception as error:
        return Done(files={}, record=None, faults=(defect(task, error),))


def defect(task: Task, error: BaseException) -> Fault:
    """What is said when the program itself fails on a plan."""
    frames = extract_tb(error.__traceback__)
    where = f" in {Path(frames[-1].filename).name}:{frames[-1].lineno}" if frames else ""
    return Fault(
        code="program-failed",
        text=f"the program failed on this plan: {type(error).__name__}: {str(error)[:200]}{where}",
        place=Place(file=str(task.root / task.plan)),
        hint="please report it with the plan",
    )


def _packet(task: Task) -> Done:
    options = task.options
    with noting() as inputs:
        takeoff = measure(str(task.root / task.plan), strict=options["strict"], firm=_firm(task.firm))
        order = floorplan.materials(takeoff.plan, takeoff)
        refuse_notices(order.notices, strict=options["strict"])
        files = packet_files(
            takeoff, order, formats=options["formats"], paper=options["paper"], scale=options["scale"]
        )
    names = input_names({**task.common, **inputs}, task.root, PROGRAM)
    record = _record(task, takeoff, order, names, files)
    # The record comes first, so that a folder in the making shows at once whose it is.
    return Done(files={RECORD_NAME: record_text(record).encode(), **files}, record=record)


def _record(
    task: Task, takeoff: Takeoff, order: MaterialList, inputs: Mapping[str, str], files: Mapping[str, bytes]
) -> Record:
    totals = takeoff_document(takeoff)["totals"]
    return Record(
        plan=task.plan,
        title=takeoff.plan.title,
        units=takeoff.plan.units.value,
        version=floorplan.__version__,
        options=dict(task.options),
        inputs=inputs,
        files={name: fingerprint(data) for name, data in files.items()},
        figures={name: totals[name] for name in FIGURES},
        warnings=tuple(notices(takeoff.notices + order.notices)),
    )


@cache
def _firm(path: Path | None) -> Firm:
    from floorplan.order.firm import Firm
    from floorplan.order.firm_reader import load_firm

    return Firm() if path is None else load_firm(path)
