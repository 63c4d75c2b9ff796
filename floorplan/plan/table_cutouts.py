"""`[[slab.cutout]]`: floor that is not coated."""

from __future__ import annotations

from collections import Counter

from ..files.cells import Cell
from ..patterns import pattern
from ..units.length import Length
from ..values import replace
from .asked import Asked
from .edge_kinds import UNKNOWN
from .job import Job
from .keys import Holds, Key, Keys
from .model import Cutout, OutlineShape, Rectangle, Round, Side, Spot
from .outline_lines import read_outline
from .sides import read_kind
from .spots import Names, read_spot

KEYS = Keys(
    "slab.cutout",
    "floor that is not coated: a post, a planter, a drain, a pool",
    (
        Key("name", Holds.TEXT, "name of its edges on sheets and lists", "its kind"),
        Key("kind", Holds.KIND, "edge kind all round it", "unknown", 'kind = "post"'),
        Key(
            "at",
            Holds.SPOTS,
            "its middle, one place for each copy",
            example="at = [\"6', 20'\", \"12', 20'\"]",
        ),
        Key(
            "size",
            Holds.LENGTHS,
            "a rectangle: width across the sheet x depth",
            example='size = "10 in x 10 in"',
        ),
        Key("round", Holds.LENGTH, "a circle: its diameter", example='round = "12 in"'),
        Key("outline", Holds.BLOCK, "any other form: its corners, as for a slab; `at` then shifts them"),
        Key("turn", Holds.ANGLE, "turned counter-clockwise about its middle", "0", 'turn = "30 deg"'),
        Key("face", Holds.LENGTH, "height of a vertical face coated all round", "none"),
    ),
    many=True,
    one_of=("size", "round", "outline"),
)

_BY = pattern(r"\s*[x×X]\s*|\s+by\s+")


def read_cutouts(job: Job, tables: tuple[Asked, ...], names: Names) -> tuple[Cutout, ...]:
    """Every cut-out without faults, in the order of the file."""
    seen: Counter[str] = Counter()
    cutouts = []
    for asked in tables:
        cutout = _read_cutout(job, asked, names)
        asked.finish()
        if cutout is not None:
            cutouts.append(_named(cutout, seen))
    return tuple(cutouts)


def _named(cutout: Cutout, seen: Counter[str]) -> Cutout:
    """A cut-out without a name takes its kind, numbered on from earlier copies of that name."""
    name = cutout.name or (cutout.kind if cutout.kind != UNKNOWN else "cut-out")
    if not cutout.name and seen[name]:
        numbered = f"{name} {seen[name] + 1}"
        seen[name] += max(1, len(cutout.at))
        return replace(cutout, name=numbered)
    seen[name] += max(1, len(cutout.at))
    return replace(cutout, name=name)


def _read_cutout(job: Job, asked: Asked, names: Names) -> Cutout | None:
    name = asked.text("name")
    who = f"cut-out {name}" if name else "cut-out"
    kind_cell = asked.cell("kind")
    kind = read_kind(job, kind_cell, who) if kind_cell is not None else UNKNOWN
    form = _read_form(job, asked, kind, who)
    at = _places(job, asked, names, who)
    turn_deg, face = asked.angle("turn") or 0.0, asked.length("face")
    if form is None:
        return None
    if not at and not isinstance(form, OutlineShape):
        if "at" not in asked:
            asked.fault(
                "key-missing", f"{who}: at is missing", hint="say where its middle is: at = [\"6', 20'\"]"
            )
        return None
    return Cutout(
        name=name,
        kind=kind,
        form=form,
        at=at,
        turn_deg=turn_deg,
        face=face,
        place=asked.place,
    )


def _places(job: Job, asked: Asked, names: Names, who: str) -> tuple[Spot, ...]:
    spots = (read_spot(job, cell, names, who) for cell in asked.lines("at"))
    return tuple(spot for spot in spots if spot is not None)


def _read_form(job: Job, asked: Asked, kind: str, who: str) -> Rectangle | Round | OutlineShape | None:
    """The form; where several are given `finish` says so."""
    if "outline" in asked:
        return _outline(job, asked, kind, who)
    if "round" in asked:
        diameter = asked.length("round")
        return None if diameter is None else Round(diameter=diameter)
    cell = asked.cell("size")
    if cell is None:
        return None
    pair = read_pair(job, cell, f"{who}: size")
    return None if pair is None else Rectangle(width=pair[0], depth=pair[1])


def read_pair(job: Job, cell: Cell, who: str) -> tuple[Length, Length] | None:
    """Two lengths `A x B`; None after a fault."""
    halves = split_by(cell)
    if halves is None:
        job.fault(
            "size-unreadable",
            f"{who}: cannot read {cell.text[:60]}",
            cell.place,
            "write two lengths with x between, as 10 in x 12 in",
        )
        return None
    first, second = (job.positive(half, who) for half in halves)
    return None if first is None or second is None else (first, second)


def split_by(cell: Cell) -> tuple[Cell, Cell] | None:
    """The cells before and after the one `x`; None where there is not just one."""
    found = list(_BY.finditer(cell.text))
    if len(found) != 1:
        return None
    match = found[0]
    return cell.slice(0, match.start()).strip(), cell.slice(match.end(), len(cell.text)).strip()


def _outline(job: Job, asked: Asked, kind: str, who: str) -> OutlineShape | None:
    shape = read_outline(job, asked.lines("outline"), who, asked.place_of("outline"))
    if shape is None:
        return None
    for side in shape.sides:
        if side.kind not in (UNKNOWN, kind):
            job.fault(
                "cutout-side-kind",
                f"{who}: one kind stands all round a cut-out, {side.kind} along one side cannot be kept",
                side.place,
                f'leave it out and write kind = "{side.kind}" in the table of the cut-out',
            )
    sides = tuple(Side(kind=kind, arc=side.arc, place=side.place) for side in shape.sides)
    return replace(shape, sides=sides)
