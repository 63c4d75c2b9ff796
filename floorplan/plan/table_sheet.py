"""`[sheet]`: what the plan says of its drawings."""

from __future__ import annotations

from ..errors import PlanError
from ..files.text import read_bytes
from ..units.notation import Unreadable
from ..units.reading import read_angle
from .asked import Asked
from .keys import Holds, Key, Keys
from .model import SheetInfo
from .toml_text import number

KEYS = Keys(
    "sheet",
    "what the drawings say and how they are printed; nothing is taken from the clock",
    (
        Key(
            "paper",
            Holds.TEXT,
            "size of the paper",
            "letter or A4 where readable; one for all pages",
            'paper = "letter"',
        ),
        Key("scale", Holds.TEXT, "scale of the drawing", "the largest that fits", 'scale = "1:48"'),
        Key(
            "north",
            Holds.ANGLE,
            "where north lies: up, down, left, right, or degrees clockwise from straight up",
            example='north = "30 deg"',
        ),
        Key("house", Holds.TEXT, "the side of the house, as A-B, or words for it"),
        Key("revision", Holds.TEXT, "revision of the drawing"),
        Key("date", Holds.TEXT, "date of the drawing", example='date = "2027-05-04"'),
        Key("drawn_by", Holds.TEXT, "who drew it"),
        Key("firm", Holds.TEXT, "name of the firm"),
        Key("address", Holds.TEXTS, "lines of the firm's address"),
        Key("logo", Holds.TEXT, "picture file (SVG, PNG) beside the plan"),
        Key("notes", Holds.TEXTS, "notes for the sheets, a line each"),
    ),
)

LOGO_BYTES = 2_000_000
_UP_DEG = 90.0
_CIRCLE_DEG = 360.0
_DIGITS = 9
_NORTH = {"up": 90.0, "left": 180.0, "down": 270.0, "right": 0.0}


def read_sheet(asked: Asked | None) -> SheetInfo:
    """Sheet data; empty where the table is left out."""
    if asked is None:
        return SheetInfo()
    words = ("paper", "scale", "house", "revision", "date", "drawn_by", "firm", "logo")
    sheet = SheetInfo(
        **{name: asked.text(name) for name in words},
        north_deg=_north(asked),
        logo_data=_logo(asked),
        address=asked.texts("address"),
        notes=asked.texts("notes"),
    )
    asked.finish()
    return sheet


def _logo(asked: Asked) -> bytes:
    """What the logo's file holds; nothing without one."""
    path = asked.file("logo")
    if path is None:
        return b""
    try:
        return read_bytes(path, LOGO_BYTES, error=PlanError)
    except PlanError as problem:
        for fault in problem.faults:
            asked.fault(fault.code, f"logo: {fault.text}", "logo", hint=fault.hint)
        return b""


def north_text(north_deg: float) -> str:
    """The direction of north as a plan gives it: degrees clockwise from straight up."""
    return f"{number(_turned(north_deg))} deg"


def _turned(degrees: float) -> float:
    """From counter-clockwise from the right to clockwise from up, or back; clear of float dust."""
    return round((_UP_DEG - degrees) % _CIRCLE_DEG, _DIGITS) % _CIRCLE_DEG


def _north(asked: Asked) -> float | None:
    """Direction of north, counter-clockwise from the sheet's right."""
    return asked.read("north", _north_deg)


def _north_deg(text: str) -> float:
    word = text.strip().lower()
    if word in _NORTH:
        return _NORTH[word]
    try:
        return _turned(read_angle(text))
    except Unreadable as problem:
        hint = "write up, down, left, right, or degrees clockwise from straight up, as 30 deg"
        raise Unreadable(problem.code, problem.text, hint, start=problem.start, end=problem.end) from problem
