"""A plan written as a plan file: commented TOML that reads back as the same plan.

Lengths stand as the user typed them; what was worked out is written in metres with every digit. Arcs of a
drawing file are written by their rise.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path

from ..system.model import CoatingSystem
from ..system.reader import shipped
from ..units.factors import SQFT_M2
from ..units.length import Length
from .edge_kinds import SHIPPED, blank
from .model import (
    Cutout,
    EdgeKind,
    Face,
    Grinder,
    Joint,
    JointAlong,
    JointGrid,
    OutlineShape,
    Plan,
    Rectangle,
    Round,
    SheetInfo,
    Slab,
    Spot,
    Steps,
)
from .reader import IGNORE_BELOW_SQFT
from .table_grinder import default_grinder
from .table_sheet import north_text
from .toml_text import block, key, length, listed, number, pairs, quoted
from .treatments import usual
from .write_shapes import outline_block, spot, write_shape
from .write_work import write_conditions, write_work

_FLAGS = ("hand_grind", "mask", "brush", "face", "drop")
_LENGTHS = ("gap", "overhang", "band", "mask_height")


def write_plan(plan: Plan, notes: Iterable[str] = ()) -> str:
    """The plan as text.

    Args:
        plan: what to write.
        notes: lines of a comment at the top, such as where the plan came from.
    """
    parts = [
        [f"# {note}" for note in notes],
        _top(plan),
        _grinder(plan.grinder),
        _sheet(plan.sheet),
        write_work(plan.work),
        write_conditions(plan.conditions),
        *_edge_kinds(plan),
        *(part for slab in plan.slabs for part in _slab(slab, plan)),
        *(_steps(steps, plan) for steps in plan.steps),
    ]
    return "\n\n".join("\n".join(part) for part in parts if part) + "\n"


def _top(plan: Plan) -> list[str]:
    lines = pairs(
        [("title", quoted(plan.title)), ("site", quoted(plan.site)), ("units", quoted(plan.units.value))]
    )
    rules = []
    if plan.ignore_below_m2 != IGNORE_BELOW_SQFT * SQFT_M2:
        rules.append(("ignore_below", quoted(f"{number(plan.ignore_below_m2)} m2")))
    if plan.origin is not None:
        rules.append(("origin", quoted(plan.origin.value)))
    return [*lines, "", "[rules]", *pairs(rules)] if rules else lines


def _grinder(grinder: Grinder) -> list[str]:
    usual = default_grinder()
    rows = [
        (name, quoted(length(getattr(grinder, name))))
        for name in ("head", "overall", "gap", "overhang", "band")
        if getattr(grinder, name) != getattr(usual, name)
    ]
    # The overall width follows the head when it is left out, so it must stand beside a head.
    if grinder.head != usual.head and grinder.overall == usual.overall:
        rows.append(("overall", quoted(length(grinder.overall))))
    return ["[grinder]", *pairs(rows)] if rows else []


def _sheet(sheet: SheetInfo) -> list[str]:
    words = ("paper", "scale", "house", "revision", "date", "drawn_by", "firm", "logo")
    rows = [(name, quoted(getattr(sheet, name))) for name in words if getattr(sheet, name)]
    if sheet.north_deg is not None:
        rows.append(("north", quoted(north_text(sheet.north_deg))))
    for name in ("address", "notes"):
        if getattr(sheet, name):
            rows.append((name, _texts(getattr(sheet, name))))
    return ["[sheet]", *pairs(rows)] if rows else []


def _texts(texts: tuple[str, ...]) -> str:
    return "[" + ", ".join(quoted(text) for text in texts) + "]"


def _edge_kinds(plan: Plan) -> Iterator[list[str]]:
    for name, kind in plan.edge_kinds.items():
        start = SHIPPED.get(name, blank(name))
        if kind != start or name not in SHIPPED:
            yield [f"[edge_kind.{key(name)}]", *pairs(_changes(kind, start))]


def _changes(kind: EdgeKind, start: EdgeKind) -> Iterator[tuple[str, str]]:
    for name in _FLAGS:
        if getattr(kind, name) != getattr(start, name):
            yield name, "true" if getattr(kind, name) else "false"
    for name in _LENGTHS:
        value: Length | None = getattr(kind, name)
        if value is not None and value != getattr(start, name):
            yield name, quoted(length(value))
    if kind.note != start.note:
        yield "note", quoted(kind.note)


def _slab(slab: Slab, plan: Plan) -> Iterator[list[str]]:
    own, below = write_shape(slab.shape, plan.sheet.north_deg)
    rows = [("name", quoted(slab.name)), ("system", quoted(_system(slab.system, plan.path)))]
    if slab.surface:
        rows.append(("surface", quoted(slab.surface)))
    if slab.entry is not None:
        rows.append(("entry", quoted(_place(slab.entry))))
    if slab.exits:
        rows.append(("exits", listed([_place(place) for place in slab.exits])))
    if slab.notes:
        rows.append(("notes", _texts(slab.notes)))
    yield ["[[slab]]", *pairs(rows), *own]
    yield below
    yield from map(_cutout, slab.cutouts)
    yield from (_joint(joint, outdoors=slab.system.outdoors) for joint in slab.joints)
    yield from map(_face, slab.faces)


def _system(system: CoatingSystem, plan_path: str) -> str:
    """A shipped name, or the path of the system's file beside the plan."""
    if all(part.strip() in shipped() for part in system.name.split("+")):
        return system.name
    source, folder = Path(system.source), Path(plan_path).parent
    return source.relative_to(folder).as_posix() if source.is_relative_to(folder) else system.name


def _place(place: tuple[str, str] | Spot) -> str:
    return "-".join(place) if isinstance(place, tuple) else spot(place)


def _cutout(cutout: Cutout) -> list[str]:
    rows = [("name", quoted(cutout.name)), ("kind", quoted(cutout.kind))]
    if cutout.at:
        rows.append(("at", listed([spot(at) for at in cutout.at])))
    match cutout.form:
        case Rectangle(width=width, depth=depth):
            rows.append(("size", quoted(f"{length(width)} x {length(depth)}")))
        case Round(diameter=diameter):
            rows.append(("round", quoted(length(diameter))))
        case OutlineShape() as outline:
            rows.append(("outline", outline_block(outline)))
    if cutout.turn_deg:
        rows.append(("turn", number(cutout.turn_deg)))
    if cutout.face is not None:
        rows.append(("face", quoted(length(cutout.face))))
    return ["[[slab.cutout]]", *pairs(rows)]


def _joint(joint: Joint, *, outdoors: bool) -> list[str]:
    """A joint; a usual treatment is left out, so that it follows the system when another is chosen."""
    rows = [("name", quoted(joint.name)), ("kind", quoted(joint.kind.value))]
    if joint.treatment != usual(joint.kind, outdoors=outdoors):
        rows.append(("treatment", quoted(joint.treatment.value)))
    sizes = (("width", joint.width), ("depth", joint.depth))
    rows += [(name, quoted(length(value))) for name, value in sizes if value is not None]
    return ["[[slab.joint]]", *pairs(rows), *_joint_form(joint)]


def _joint_form(joint: Joint) -> list[str]:
    form = joint.form
    if isinstance(form, JointGrid):
        spacing = " x ".join(
            "none" if value is None else length(value) for value in (form.spacing_x, form.spacing_y)
        )
        rows = [("spacing", quoted(spacing)), ("from", quoted(spot(form.origin)))]
        return pairs([*rows, ("turn", number(form.turn_deg))] if form.turn_deg else rows)
    if isinstance(form, JointAlong):
        return [f"along = {listed(['-'.join(side) for side in form.sides])}"]
    return [f"lines = {block(' -> '.join(spot(at) for at in line) for line in form.lines)}"]


def _face(face: Face) -> list[str]:
    if isinstance(face.side, str):
        target = ("cutout", quoted(face.side))
    else:
        target = ("side", quoted("-".join(face.side)))
    return ["[[slab.face]]", *pairs([target, ("height", quoted(length(face.height)))])]


def _steps(steps: Steps, plan: Plan) -> list[str]:
    rows = [("name", quoted(steps.name))]
    rows += [(name, quoted(length(getattr(steps, name)))) for name in ("width", "tread", "riser")]
    rows.append(("treads", str(steps.treads)))
    if steps.risers != steps.treads:
        rows.append(("risers", str(steps.risers)))
    if steps.slab:
        rows.append(("slab", quoted(plan.slabs[steps.slab].name)))
    if steps.side is not None:
        rows.append(("side", quoted("-".join(steps.side))))
    if steps.open_sides:
        rows.append(("open_sides", str(steps.open_sides)))
    return ["[[steps]]", *pairs(rows)]
