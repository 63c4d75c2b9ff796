"""`[[slab]]`: one slab, its shape and all that is on it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable

from ..errors import DataFileError, FloorplanError, Place
from ..files.cells import Cell
from ..system.model import CoatingSystem
from ..system.reader import grades, is_path, load_system, shipped
from ..units.notation import shown
from ..values import dataclass
from . import table_cutouts, table_dxf, table_faces, table_joints, table_offsets, table_tape
from .accuracy import read_accuracy
from .asked import Asked
from .job import Job, did_you_mean
from .keys import Holds, Key, Keys
from .model import Drawn, Shape, Slab, Spot
from .outline_lines import CORNER_EXAMPLE, read_outline, typed_labels
from .spots import Names, names_of, read_side_name, read_spot, split_pair
from .walk_lines import WALK_EXAMPLE, read_walk, walked_labels

DEFAULT_SYSTEM = "outdoor-full-flake"

KEYS = Keys(
    "slab",
    "one slab; its shape is given in exactly one of five ways",
    (
        Key("name", Holds.TEXT, "name on sheets and lists", "Slab 1, Slab 2, …", 'name = "Patio"'),
        Key(
            "system",
            Holds.TEXT,
            "coating system: a shipped name, or the path of a system file beside the plan",
            "the plan's system",
            'system = "outdoor-full-flake"',
            suggest=shipped,
        ),
        Key(
            "surface",
            Holds.TEXT,
            "how rough the slab is after grinding",
            "the system's own",
            'surface = "broom"',
            suggest=lambda: tuple(grade.name for grade in grades()),
        ),
        Key(
            "outline",
            Holds.BLOCK,
            "typed corners: [letter] x, y | what stands along the side",
            example=CORNER_EXAMPLE,
        ),
        Key("walk", Holds.BLOCK, "directions and lengths as one walks the edge", example=WALK_EXAMPLE),
        Key("tape", Holds.TABLE, "sides and diagonals", keys=table_tape.KEYS),
        Key("offsets", Holds.TABLE, "a baseline with offsets", keys=table_offsets.KEYS),
        Key("dxf", Holds.TABLE, "a drawing file", keys=table_dxf.KEYS),
        Key(
            "accuracy",
            Holds.LENGTH,
            "for a walk: one standard error of a length, or an instrument",
            "blade tape",
            or_text=True,
        ),
        Key("angle_accuracy", Holds.ANGLE, "for a walk: one standard error of a direction", "half a degree"),
        Key(
            "entry",
            Holds.SPOT,
            "where the grinder comes in: a side A-B, a corner or a point",
            example='entry = "C-D"',
        ),
        Key("exits", Holds.SPOTS, "where people leave", "the entry", 'exits = ["C-D"]'),
        Key("notes", Holds.TEXTS, "notes for the sheets, a line each"),
        Key("cutout", Holds.TABLES, "floor that is not coated", keys=table_cutouts.KEYS),
        Key("joint", Holds.TABLES, "joints", keys=table_joints.KEYS),
        Key("face", Holds.TABLES, "vertical faces coated with the floor", keys=table_faces.KEYS),
    ),
    many=True,
    one_of=("outline", "walk", "tape", "offsets", "dxf"),
)


_Named = tuple[Shape | None, Names]
"""A shape, None after a fault, and the letters that its lines give all the same."""


@dataclass(frozen=True, slots=True)
class _Whose:
    """Which slab is read: its name and its system."""

    name: str
    system: CoatingSystem

    def __str__(self) -> str:
        return f"slab {self.name}"


def read_slabs(job: Job, tables: tuple[Asked, ...], system: Cell | None) -> tuple[Slab, ...]:
    """Every slab without faults, in the order of the file.

    Args:
        job: takes faults and notices.
        tables: the `[[slab]]` tables.
        system: the plan's own system, for slabs that name none.
    """
    rows = (_read_slab(job, asked, number, system) for number, asked in enumerate(tables, 1))
    slabs = tuple(slab for slab in rows if slab is not None)
    for name, count in Counter(slab.name for slab in slabs).items():
        if count > 1:
            job.notice("slab-name-repeated", f"{count} slabs are called {name}: give each its own name", name)
    return slabs


def _read_slab(job: Job, asked: Asked, number: int, default: Cell | None) -> Slab | None:
    name = asked.text("name", f"Slab {number}")
    system = _system(job, asked, default, name)
    whose = _Whose(name, system)
    drawn = _drawn(job, asked, whose) if "dxf" in asked else None
    shape, names = (drawn.shape, names_of(drawn.shape)) if drawn else _shape(job, asked, whose)
    cutouts = table_cutouts.read_cutouts(job, asked.tables("cutout"), names)
    joints = table_joints.read_joints(job, asked.tables("joint"), names, outdoors=system.outdoors, slab=name)
    if drawn:
        cutouts, joints = drawn.cutouts + cutouts, drawn.joints + joints
        job.notices.extend(drawn.notices)
    faces = table_faces.read_faces(job, asked.tables("face"), names, cutouts)
    entry_cell = asked.cell("entry")
    entry = None if entry_cell is None else _place(job, entry_cell, names, f"{whose}: entry")
    exits = (_place(job, cell, names, f"{whose}: exits") for cell in asked.lines("exits"))
    surface, notes = _surface(asked, system), asked.texts("notes")
    asked.finish()
    if shape is None:
        return None
    return Slab(
        name=name,
        system=system,
        shape=shape,
        cutouts=cutouts,
        joints=joints,
        faces=faces,
        surface=surface,
        entry=entry,
        exits=tuple(place for place in exits if place is not None),
        notes=notes,
        place=asked.place,
    )


def _place(job: Job, cell: Cell, names: Names, who: str) -> tuple[str, str] | Spot | None:
    """A side A-B, or a spot."""
    if "," not in cell.text and split_pair(cell) is not None:
        return read_side_name(job, cell, names, who)
    return read_spot(job, cell, names, who)


def _system(job: Job, asked: Asked, default: Cell | None, slab: str) -> CoatingSystem:
    """The coating system; the usual one after a fault or where none is stated, which the user is told."""
    cell = asked.cell("system") if "system" in asked else default
    if cell is None:
        job.notice("system-missing", f"no coating system is stated: {DEFAULT_SYSTEM} is taken", slab)
        return load_system(DEFAULT_SYSTEM)
    # A system and its add-ons may each be a file.
    paths = [part for part in cell.split("+") if is_path(part.text)]
    if any(asked.path_beside(part, "system") is None for part in paths):
        return load_system(DEFAULT_SYSTEM)
    try:
        return load_system(cell.text.strip(), job.beside, job.folders)
    except DataFileError as problem:
        _pass_on(job, problem, cell.place)
        return load_system(DEFAULT_SYSTEM)


def _pass_on(job: Job, problem: FloorplanError, place: Place | None) -> None:
    """Keep the faults of a file that the plan names; one without a place stands where it was named."""
    for fault in problem.faults:
        job.fault(fault.code, fault.text, fault.place or place, fault.hint)


def _surface(asked: Asked, system: CoatingSystem) -> str:
    surface = asked.text("surface")
    known = [grade.name for grade in system.grades]
    if surface and surface not in known:
        asked.fault(
            "surface-unknown",
            f"surface: {shown(surface)} is not known",
            "surface",
            did_you_mean(surface, known),
        )
    return surface


def _drawn(job: Job, asked: Asked, whose: _Whose) -> Drawn | None:
    table, before = asked.table("dxf"), len(job.faults)
    if table is None:
        return None
    source = table_dxf.read_source(job, table, str(whose), outdoors=whose.system.outdoors)
    if source is None or len(job.faults) > before:
        return None
    from .from_drawing import resolve  # the drawing reader is heavy, and most plans need none

    try:
        return resolve(source)
    except FloorplanError as problem:
        _pass_on(job, problem, source.place)
        return None


def _shape(job: Job, asked: Asked, whose: _Whose) -> _Named:
    """The shape by the first way given; where several are given `finish` says so."""
    given = asked.given(tuple(_WAYS))
    if given != ["walk"]:
        for name in asked.given(("accuracy", "angle_accuracy")):
            asked.fault("key-unused", f"{whose}: {name} goes with a walk", name, "leave it out here")
    return _WAYS[given[0]](job, asked, whose) if given else (None, Names())


def _outline(job: Job, asked: Asked, whose: _Whose) -> _Named:
    lines = asked.lines("outline")
    shape = read_outline(job, lines, str(whose), asked.place_of("outline"))
    return shape, names_of(shape) if shape else Names(typed_labels(job, lines))


def _walk(job: Job, asked: Asked, whose: _Whose) -> _Named:
    accuracy, instrument = read_accuracy(asked)
    lines = asked.lines("walk")
    shape = read_walk(
        job,
        lines,
        str(whose),
        accuracy=accuracy,
        instrument=instrument,
        angle_accuracy_deg=asked.angle("angle_accuracy"),
        place=asked.place_of("walk"),
    )
    return shape, names_of(shape) if shape else Names(walked_labels(lines))


def _tape(job: Job, asked: Asked, whose: _Whose) -> _Named:
    table = asked.table("tape")
    return (None, Names()) if table is None else table_tape.read_tape(job, table, str(whose))


def _offsets(job: Job, asked: Asked, whose: _Whose) -> _Named:
    table = asked.table("offsets")
    return None if table is None else table_offsets.read_offsets(job, table, str(whose)), Names()


_WAYS: dict[str, Callable[[Job, Asked, _Whose], _Named]] = {
    "outline": _outline,
    "walk": _walk,
    "tape": _tape,
    "offsets": _offsets,
}
