"""`[[slab.face]]`: vertical faces coated with the floor."""

from __future__ import annotations

from collections.abc import Iterable

from .asked import Asked
from .job import Job, did_you_mean
from .keys import Holds, Key, Keys
from .model import Cutout, Face
from .spots import Names, read_side_name, split_pair

KEYS = Keys(
    "slab.face",
    "a vertical face coated with the floor, along a side or round a cut-out",
    (
        Key("side", Holds.TEXT, "the side by its corners", example='side = "D-E"'),
        Key("cutout", Holds.TEXT, "or the name of a cut-out, all round", example='cutout = "planter"'),
        Key("height", Holds.LENGTH, "height of the face", required=True),
    ),
    many=True,
    one_of=("side", "cutout"),
)


def read_faces(
    job: Job, tables: Iterable[Asked], names: Names, cutouts: tuple[Cutout, ...]
) -> tuple[Face, ...]:
    """Every face without faults, in the order of the file."""
    faces = []
    for asked in tables:
        target = _target(job, asked, names, [cutout.name for cutout in cutouts])
        height = asked.length("height")
        asked.finish()
        if target is not None and height is not None:
            faces.append(Face(side=target, height=height, place=asked.place))
    return tuple(faces)


def _target(job: Job, asked: Asked, names: Names, cutouts: list[str]) -> tuple[str, str] | str | None:
    """A side, or the name of a cut-out, which may stand under `side` too."""
    cell = asked.cell("cutout" if "cutout" in asked else "side")
    if cell is None:
        return None
    name = cell.text.strip()
    if name in cutouts:
        return name
    if "cutout" in asked or split_pair(cell) is None:
        hint = did_you_mean(name, cutouts, otherwise="" if cutouts else "name a side by its corners, as A-B")
        asked.fault("cutout-unknown", f"face: no cut-out is called {name[:60]}", hint=hint)
        return None
    return read_side_name(job, cell, names, "face")
