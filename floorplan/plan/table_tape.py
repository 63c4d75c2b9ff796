"""`[slab.tape]`: a slab by its sides and diagonals."""

from __future__ import annotations

from .accuracy import ACCURACY_DOC, read_accuracy
from .asked import Asked
from .job import Job, counted, did_you_mean
from .keys import Holds, Key, Keys
from .model import TapeShape, Turning
from .spots import Names
from .tape_lines import read_labels, read_on_side, read_ties

LEAST_CORNERS = 3

KEYS = Keys(
    "slab.tape",
    "sides and diagonals, solved for the corners; more lengths than needed check each other",
    (
        Key(
            "corners",
            Holds.TEXT,
            "the letters in order around the slab",
            required=True,
            example='corners = "A B C D"',
        ),
        Key(
            "turning",
            Holds.CHOICE,
            "the way round that they are listed; A goes to the origin, A-B along the sheet",
            required=True,
            choices=tuple(turning.value for turning in Turning),
        ),
        Key(
            "lengths",
            Holds.BLOCK,
            "taped lengths; `?` for a side not taped",
            required=True,
            example="A-B   26' 0 1/8\"   | wall",
        ),
        Key("accuracy", Holds.LENGTH, ACCURACY_DOC, "blade tape", or_text=True),
        Key("square", Holds.TEXT, "corners checked square", example='square = "A B"'),
        Key(
            "inward",
            Holds.TEXT,
            "corners that stand in, or none: settles mirror solutions",
            "asked where it matters",
        ),
        Key("points", Holds.TEXT, "letters of points that are no corners, such as the middle of a post"),
        Key("on_side", Holds.BLOCK, "points that lie along a side", example="P   A-B"),
    ),
)


def read_tape(job: Job, asked: Asked, who: str) -> tuple[TapeShape | None, Names]:
    """A tape sheet, None after a fault, and the letters of its corners and points."""
    before = len(job.faults)
    labels = {name: _labels(job, asked, name, who) for name in ("corners", "square", "points")}
    names = Names(labels["corners"], labels["points"])
    turning = asked.choice("turning", Turning)
    inward = _inward(job, asked, who)
    _check_labels(asked, names, {"square": labels["square"], "inward": inward or ()}, who)
    ties, untaped = read_ties(job, asked.lines("lengths"), names, who)
    on_side = read_on_side(job, asked.lines("on_side"), names, who)
    accuracy, instrument = read_accuracy(asked)
    asked.finish()
    if len(job.faults) > before or turning is None:
        return None, names
    shape = TapeShape(
        corners=names.corners,
        turning=turning,
        ties=ties,
        squares=labels["square"],
        points=names.points,
        accuracy=accuracy,
        instrument=instrument,
        on_side=on_side,
        untaped=untaped,
        inward=inward,
        place=asked.place,
    )
    return shape, names


def _inward(job: Job, asked: Asked, who: str) -> tuple[str, ...] | None:
    """Corners that stand in; () where the plan says that none does, None where it says nothing."""
    if "inward" not in asked:
        return None
    return () if asked.text("inward").lower() == "none" else _labels(job, asked, "inward", who)


def _labels(job: Job, asked: Asked, name: str, who: str) -> tuple[str, ...]:
    return tuple(label for cell in asked.cells(name) for label in read_labels(job, cell, f"{who}: {name}"))


def _check_labels(asked: Asked, names: Names, lists: dict[str, tuple[str, ...]], who: str) -> None:
    if "corners" in asked and len(names.corners) < LEAST_CORNERS:
        asked.fault(
            "outline-too-short",
            f"{who}: {counted(len(names.corners), 'corner')} cannot make a floor",
            "corners",
            "name every corner",
        )
    for key, labels in lists.items():
        for label in labels:
            if label not in names.corners:
                asked.fault(
                    "corner-unknown",
                    f"{who}: {key}: no corner is called {label}",
                    key,
                    did_you_mean(label, names.corners),
                )
    for label in names.points:
        if label in names.corners:
            asked.fault(
                "corner-label-repeated", f"{who}: the point {label} is a corner too", "points", "rename it"
            )
