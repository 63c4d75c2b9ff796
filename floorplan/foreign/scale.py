"""How long a drawing unit is: stated, known from one taped length, or as the file says; else asked.

A third of all drawings say nothing, and some say the wrong thing: so a slab of an unlikely size is asked
about too, with its size in every unit, and dimensions that state their length are held against it.
"""

from __future__ import annotations

from collections import Counter
from typing import Final

from ..errors import DrawingFileError, Fault, Notice
from ..units.factors import FOOT_M, INCH_M, SQFT_M2
from ..units.figures import Figures
from ..units.length import UnitStyle
from ..units.reading import Unreadable, read_length
from ..values import dataclass
from .drawing_units import UNITS
from .model import DimensionText, Source

LEAST_SQFT: Final = 40.0
MOST_SQFT: Final = 10_000.0
"""A slab outside these is asked about: common practice, no source."""

NEAR_SHARE: Final = 0.02
"""A taped length tells one unit from another when it agrees this well; a tape or a drawing is no better."""

_AGREES: Final = 0.01
_STYLES: Final = {
    "ft": UnitStyle.FT_IN,
    "in": UnitStyle.FT_IN,
    "yd": UnitStyle.FT_IN,
    "us-survey-ft": UnitStyle.FT_IN,
    "m": UnitStyle.M,
    "cm": UnitStyle.M,
    "mm": UnitStyle.M,
}


@dataclass(frozen=True, slots=True)
class Size:
    """What is to be scaled, in drawing units: area and box of the outline."""

    area: float
    width: float
    depth: float


@dataclass(frozen=True, slots=True)
class Known:
    """A length that was checked with a tape: what it is of, in the drawing and truly."""

    what: str
    drawn: float
    true_m: float
    text: str


@dataclass(frozen=True, slots=True)
class Scale:
    """Metres for one drawing unit, how it is known, and what there is to warn about."""

    unit_m: float
    how: str
    notices: tuple[Notice, ...] = ()


def scale_of(source: Source, size: Size, *, units: str = "", known: Known | None = None) -> Scale:
    """Metres for one drawing unit.

    Args:
        source: what the file says, and its dimensions.
        size: of the outline, to judge by.
        units: stated by the user, a key of `UNITS`; wins over the file.
        known: a taped length; wins over everything.

    Raises:
        DrawingFileError: nothing says the unit, or the slab would be of an unlikely size.
    """
    if known is not None:
        return _from_known(source, known, units)
    if units:
        return Scale(UNITS[units], f"{units}, as stated", tuple(_against(source, UNITS[units], units)))
    if source.unit_m is None:
        raise DrawingFileError(_unit_missing(source, size))
    if not LEAST_SQFT <= size.area * source.unit_m**2 / SQFT_M2 <= MOST_SQFT:
        raise DrawingFileError(_size_odd(source, size))
    return Scale(source.unit_m, source.unit_said, tuple(_dimensions_against(source, source.unit_m)))


def unit_of_dimensions(dimensions: tuple[DimensionText, ...]) -> tuple[str, DimensionText] | None:
    """The unit that most dimensions with a stated length agree with, and one of them; None when none do."""
    found: Counter[str] = Counter()
    example: dict[str, DimensionText] = {}
    for dimension in dimensions:
        try:
            true_m = read_length(dimension.text, UnitStyle.FT_IN).m
        except Unreadable:
            continue
        # A bare number says nothing about its unit.
        if dimension.text.replace(".", "").replace(",", "").strip().isdigit():
            continue
        name = _nearest(true_m / dimension.measured, _AGREES)
        if name:
            found[name] += 1
            example.setdefault(name, dimension)
    if not found:
        return None
    name = found.most_common(1)[0][0]
    return name, example[name]


def sizes(size: Size) -> list[str]:
    """The size of an outline in every unit that may be stated, one line each, likely ones marked."""
    lines = []
    for name, unit_m in UNITS.items():
        if name == "us-survey-ft":
            continue
        figures = Figures(_STYLES[name])
        square = size.area * unit_m * unit_m
        mark = "  <- likely" if LEAST_SQFT <= square / SQFT_M2 <= MOST_SQFT else ""
        box = f"{figures.length(size.width * unit_m)} x {figures.length(size.depth * unit_m)}"
        lines.append(f"{name:<3} {box}, {figures.area(square)}{mark}")
    return lines


def _from_known(source: Source, known: Known, units: str) -> Scale:
    if not known.drawn > 0.0:
        raise ValueError(f"drawn must be > 0, got {known.drawn!r}")
    unit_m = known.true_m / known.drawn
    name = _nearest(unit_m, NEAR_SHARE)
    how = f"{known.what} = {known.text}"
    if not name:
        text = (
            f"by {how} one drawing unit is {unit_m:.6g} m, which is no usual unit; measured so all the same"
        )
        return Scale(unit_m, how, (Notice(code="drawing-unit-odd", text=text, where=source.name),))
    exact = UNITS[name]
    notices = []
    off = known.drawn * exact - known.true_m
    if abs(off) > INCH_M / 8.0:
        figures = Figures(UnitStyle.FT_IN if exact in (FOOT_M, INCH_M) else UnitStyle.M)
        text = (
            f"{known.what} is {figures.length(known.drawn * exact)} in the drawing and {known.text} by tape"
        )
        notices.append(
            Notice(code="drawing-known-off", text=f"{text}; the drawing was used", where=source.name)
        )
    stated = UNITS.get(units, source.unit_m)
    if stated is not None and abs(stated - exact) > 1e-6 * exact:
        said = f"{units} was stated" if units else f"the file says {source.unit_said}"
        text = f"{said}, but {how} makes the unit {name}; read as {name}"
        notices.append(Notice(code="drawing-units-wrong", text=text, where=source.name))
    return Scale(exact, f"{name}, by {how}", tuple(notices))


def _against(source: Source, unit_m: float, units: str) -> list[Notice]:
    notices = []
    if source.unit_m is not None and abs(source.unit_m - unit_m) > 1e-6 * unit_m:
        text = f"the file says {source.unit_said}; read as {units}, as stated"
        notices.append(Notice(code="drawing-units-overruled", text=text, where=source.name))
    return notices + _dimensions_against(source, unit_m)


def _dimensions_against(source: Source, unit_m: float) -> list[Notice]:
    told = unit_of_dimensions(source.dimensions)
    if told is None or abs(UNITS[told[0]] - unit_m) <= NEAR_SHARE * unit_m:
        return []
    name, dimension = told
    text = f"its dimension {dimension.text} measures {dimension.measured:g} units, which speaks for {name}"
    return [Notice(code="drawing-dimensions-differ", text=text, where=source.name)]


def _unit_missing(source: Source, size: Size) -> Fault:
    return Fault(
        code="drawing-units-missing",
        text=f"{source.name}: the file does not say its unit; its largest outline is {_drawn(size)}",
        hint=_choices(source, size),
    )


def _size_odd(source: Source, size: Size) -> Fault:
    square = size.area * (source.unit_m or 1.0) ** 2
    shown = Figures(UnitStyle.FT_IN).area(square)
    return Fault(
        code="drawing-size-odd",
        text=f"{source.name}: by its header ({source.unit_said}) the slab would be {shown}, outside"
        f" {LEAST_SQFT:g} to {MOST_SQFT:,.0f} sq ft",
        hint=_choices(source, size),
    )


def _choices(source: Source, size: Size) -> str:
    """What the unit may be, and how to say it."""
    lines = [
        'say the unit (in a plan units = "ft", on the command line --units ft), or one taped length'
        ' (known = "A-B = 24\'", or --known "A-B=24\'"); it would be'
    ]
    lines += [f"  {line}" for line in sizes(size)]
    told = unit_of_dimensions(source.dimensions)
    if told:
        name, dimension = told
        lines.append(f"its dimension {dimension.text} over {dimension.measured:g} units speaks for {name}")
    return "\n".join(lines)


def _drawn(size: Size) -> str:
    return f"{size.width:g} x {size.depth:g} drawing units"


def _nearest(unit_m: float, share: float) -> str:
    """The unit within that share, "" for none; survey feet are too near to feet to be told by a tape."""
    for name, value in UNITS.items():
        if name != "us-survey-ft" and abs(unit_m - value) <= share * value:
            return name
    return ""
