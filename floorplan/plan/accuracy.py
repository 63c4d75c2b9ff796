"""How well lengths were taped: a standard error, or the name of an instrument."""

from __future__ import annotations

from ..patterns import pattern
from ..survey.instruments import INSTRUMENTS
from ..units.length import Length
from ..units.notation import shown
from .asked import Asked
from .job import did_you_mean

ACCURACY_DOC = "one standard error of a length, or an instrument: " + ", ".join(INSTRUMENTS)

_NUMBER = pattern(r"\s*[0-9.½⅓⅔¼¾⅛⅜⅝⅞+-]")


def read_accuracy(asked: Asked) -> tuple[Length | None, str]:
    """(one standard error, name of an instrument): one of them, or neither."""
    cell = asked.cell("accuracy")
    if cell is None:
        return None, ""
    name = " ".join(cell.text.lower().split())
    if name in INSTRUMENTS:
        return None, name
    if not _NUMBER.match(cell.text):
        asked.fault(
            "instrument-unknown",
            f"accuracy: no instrument is called {shown(cell.text)}",
            "accuracy",
            did_you_mean(name, INSTRUMENTS),
        )
        return None, ""
    return asked.job.positive(cell, "accuracy"), ""
