"""`[[slab.joint]]`: grooves, saw cuts, construction and isolation joints, cracks."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from ..files.cells import Cell
from ..patterns import pattern
from ..units.factors import INCH_M
from ..units.length import Length
from ..values import replace
from .asked import Asked
from .job import Job
from .keys import Holds, Key, Keys
from .model import Joint, JointAlong, JointGrid, JointKind, JointLines, Spot, Treatment
from .spots import Names, read_side_name, read_spot
from .table_cutouts import split_by
from .treatments import DOUBTFUL, NEVER, NEVER_HINT, WIDE_CRACK_IN, usual

KEYS = Keys(
    "slab.joint",
    "joints treated alike: typed lines, a grid, or along sides",
    (
        Key("name", Holds.TEXT, "name on sheets and lists", "its kind"),
        Key(
            "kind",
            Holds.CHOICE,
            "what the joint is in the slab",
            required=True,
            choices=tuple(kind.value for kind in JointKind),
        ),
        Key(
            "treatment",
            Holds.CHOICE,
            "what the crew does with it",
            "groove: brush out; saw cut, construction: fill indoors, leave outdoors; isolation: seal; "
            "crack: fill",
            choices=tuple(treatment.value for treatment in Treatment),
        ),
        Key("width", Holds.LENGTH, "width of the joint", "typical of its kind"),
        Key("depth", Holds.LENGTH, "depth of the joint", "typical of its kind"),
        Key("lines", Holds.BLOCK, "lines between two or more points", example="0, 7' -> 26', 7'"),
        Key(
            "spacing",
            Holds.LENGTHS,
            "a grid: across the sheet x up the sheet; `none` for no lines",
            example="spacing = \"8' x 7'\"",
        ),
        Key("from", Holds.SPOT, "where a line of each set passes through", "the first corner", 'from = "A"'),
        Key("turn", Holds.ANGLE, "the grid turned counter-clockwise", "0"),
        Key("along", Holds.SIDES, "along whole sides", example='along = ["A-B"]'),
    ),
    many=True,
    one_of=("lines", "spacing", "along"),
)

_ARROW = pattern(r"->|→|➔|⟶|=>")
_LONGEST_LINE = 1_000_000
_NONE = ("none", "-", "–", "")


def read_joints(
    job: Job, tables: Iterable[Asked], names: Names, *, outdoors: bool, slab: str
) -> tuple[Joint, ...]:
    """Every joint without faults, in the order of the file.

    Args:
        job: takes faults and notices.
        tables: the `[[slab.joint]]` tables.
        names: the letters of the slab.
        outdoors: True under the sky; decides the usual treatment.
        slab: name of the slab, for notices.
    """
    seen: Counter[str] = Counter()
    joints = []
    for asked in tables:
        joint = _read_joint(job, asked, names, outdoors=outdoors, slab=slab)
        asked.finish()
        if joint is None:
            continue
        name = joint.name or joint.kind.value
        seen[name] += 1
        repeated = not joint.name and seen[name] > 1
        joints.append(replace(joint, name=f"{name} {seen[name]}" if repeated else name))
    return tuple(joints)


def _read_joint(job: Job, asked: Asked, names: Names, *, outdoors: bool, slab: str) -> Joint | None:
    name = asked.text("name")
    who = f"joint {name}" if name else "joint"
    kind = asked.choice("kind", JointKind)
    treatment = asked.choice("treatment", Treatment)
    form = _read_form(job, asked, names, who)
    width, depth = asked.length("width"), asked.length("depth")
    if kind is None:
        return None
    if treatment is None:
        treatment = usual(kind, outdoors=outdoors)
    _check(job, asked, kind, treatment, width, slab)
    if form is None:
        return None
    return Joint(
        name=name, kind=kind, treatment=treatment, form=form, width=width, depth=depth, place=asked.place
    )


def _check(
    job: Job, asked: Asked, kind: JointKind, treatment: Treatment, width: Length | None, slab: str
) -> None:
    if (kind, treatment) in NEVER:
        asked.fault("joint-treatment-never", NEVER[kind, treatment], "treatment", NEVER_HINT)
    if (kind, treatment) in DOUBTFUL:
        job.notice("joint-treatment-doubtful", DOUBTFUL[kind, treatment], slab)
    if kind is JointKind.CRACK and width is not None and width.m > WIDE_CRACK_IN * INCH_M:
        job.notice(
            "crack-wide",
            f"a crack {width.text} wide is a structural or drainage question first: stop and ask",
            slab,
        )


def _read_form(job: Job, asked: Asked, names: Names, who: str) -> JointLines | JointGrid | JointAlong | None:
    """The form; where several are given `finish` says so."""
    if "lines" not in asked and "along" not in asked:
        return _grid(job, asked, names, who)
    for name in asked.given(("from", "turn")):
        asked.fault("key-unused", f"{who}: {name} goes with spacing only", name, "leave it out")
    if "lines" in asked:
        return _lines(job, asked, names, who)
    sides = [read_side_name(job, cell, names, who) for cell in asked.lines("along")]
    good = tuple(side for side in sides if side is not None)
    return JointAlong(sides=good) if good else None


def _lines(job: Job, asked: Asked, names: Names, who: str) -> JointLines | None:
    rows = asked.lines("lines", _LONGEST_LINE)
    if not rows:
        asked.fault("joint-empty", f"{who}: no line is given", "lines", "write lines like 0, 7' -> 26', 7'")
    lines = [_line(job, row, names, who) for row in rows]
    good = tuple(line for line in lines if line is not None)
    return JointLines(lines=good) if good else None


def _line(job: Job, row: Cell, names: Names, who: str) -> tuple[Spot, ...] | None:
    cells, start = [], 0
    for match in _ARROW.finditer(row.text):
        cells.append(row.slice(start, match.start()).strip())
        start = match.end()
    cells.append(row.slice(start, len(row.text)).strip())
    if len(cells) < 2:
        job.fault(
            "joint-line-unreadable",
            f"{who}: cannot read the line {row.text[:60]}",
            row.place,
            "write two points with an arrow between, as 0, 7' -> 26', 7'",
        )
        return None
    spots = [read_spot(job, cell, names, who) for cell in cells]
    good = tuple(spot for spot in spots if spot is not None)
    if len(good) == 2 and good[0] == good[1]:
        job.fault(
            "joint-line-short",
            f"{who}: the line starts and ends at one point",
            row.place,
            "check its numbers",
        )
    return good if len(good) == len(spots) else None


def _grid(job: Job, asked: Asked, names: Names, who: str) -> JointGrid | None:
    cell = asked.cell("spacing")
    origin_cell = asked.cell("from")
    turn_deg = asked.angle("turn") or 0.0
    first: Spot = names.corners[0] if names.corners else "A"
    origin = first if origin_cell is None else read_spot(job, origin_cell, names, who)
    if cell is None:
        return None
    halves = split_by(cell) or (cell, cell)
    spacing = [_spacing(job, half, who) for half in halves]
    if all(length is None for length in spacing):
        if all(half.text.lower() in _NONE for half in halves):
            asked.fault("joint-empty", f"{who}: a grid without lines", "spacing", "give one spacing at least")
        return None
    return (
        None
        if origin is None
        else JointGrid(spacing_x=spacing[0], spacing_y=spacing[1], origin=origin, turn_deg=turn_deg)
    )


def _spacing(job: Job, cell: Cell, who: str) -> Length | None:
    if cell.text.lower() in _NONE:
        return None
    return job.positive(cell, f"{who}: spacing")
