"""What a packet was made from, kept beside its files, so that a later run knows whether it is still good.

A packet is still good when the program, the options and every file that was looked at are what they were, and
the packet's own files are as they were written.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import asdict
from pathlib import Path
from typing import Any, Final

from ..values import dataclass

RECORD_NAME: Final = "made-from.json"
_FORM: Final = 1
# No figure of a floor comes near this, in metres or square metres.
_MOST: Final = 1e15


@dataclass(frozen=True, slots=True, kw_only=True)
class Record:
    """One packet: its plan, what it was made from, and its figures for the summary.

    Attributes:
        plan: path of the plan below the folder of plans.
        title: of the job.
        units: name of the plan's units.
        version: of the program.
        options: as the user gave them, by name.
        inputs: fingerprint of every file looked at, by path; "" for one that was not there. A path below the
            folder of plans starts there.
        files: fingerprint of every file of the packet, by name.
        figures: of the takeoff, by the keys of its JSON document.
        warnings: rows of code, text and where.
    """

    plan: str
    title: str
    units: str
    version: str
    options: Mapping[str, Any]
    inputs: Mapping[str, str]
    files: Mapping[str, str]
    figures: Mapping[str, float]
    warnings: tuple[Mapping[str, str], ...]


def input_names(inputs: Mapping[Path, str], root: Path, left_out: Path) -> dict[str, str]:
    """Fingerprints by the paths of a record: those below `root` from there, none below `left_out`.

    Args:
        inputs: fingerprints by path.
        root: the folder of plans.
        left_out: the program's own data, which its version stands for.
    """
    named = {}
    for path, print_ in inputs.items():
        if path.is_relative_to(left_out):
            continue
        named[path.relative_to(root).as_posix() if path.is_relative_to(root) else str(path)] = print_
    return dict(sorted(named.items()))


def record_text(record: Record) -> str:
    """The record as JSON; in plain ASCII, so that any file name can stand in it."""
    document = {"made_by": "floorplan", "form": _FORM, **asdict(record)}
    return json.dumps(document, indent=1, allow_nan=False) + "\n"


def read_record(text: str) -> Record | None:
    """The record in a text; None for anything else, which is then not taken for a packet of ours."""
    try:
        document = json.loads(text)
        if document.pop("made_by") != "floorplan" or document.pop("form") != _FORM:
            return None
        record = Record(**{**document, "warnings": tuple(document["warnings"])})
    except (ValueError, TypeError, KeyError, AttributeError, RecursionError):
        return None
    return record if _well_formed(record) else None


def _well_formed(record: Record) -> bool:
    """Every part is of its kind; a file of this name may hold anything."""
    words = (record.plan, record.title, record.units, record.version)
    tables = (record.inputs, record.files, *record.warnings)
    return (
        all(isinstance(word, str) for word in words)
        and all(map(_texts, tables))
        and isinstance(record.options, dict)
        and isinstance(record.figures, dict)
        and all(
            isinstance(value, int | float) and -_MOST < value < _MOST for value in record.figures.values()
        )
    )


def _texts(values: object) -> bool:
    return isinstance(values, dict) and all(isinstance(value, str) for value in values.values())


def why_anew(
    record: Record | None,
    *,
    version: str,
    options: Mapping[str, Any],
    now: Callable[[str], str],
    packed: Callable[[str], str],
) -> str:
    """Why a packet has to be made anew, in words; "" for one that is still good.

    Args:
        record: of the packet; None where there is none.
        version: of the program now.
        options: of this run.
        now: fingerprint of an input as it is now, "" for a missing one.
        packed: likewise of a file of the packet.
    """
    if record is None:
        return "not made yet"
    if record.version != version:
        return "made by another version of the program"
    if dict(record.options) != dict(options):
        return "made with other options"
    changed = next((name for name, print_ in record.inputs.items() if now(name) != print_), None)
    if changed is not None:
        return f"{changed} has changed"
    lost = next((name for name, print_ in record.files.items() if packed(name) != print_), None)
    return "" if lost is None else f"{lost} of the packet has changed"
