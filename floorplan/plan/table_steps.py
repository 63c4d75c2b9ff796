"""`[[steps]]`: flights of steps coated with the floor."""

from __future__ import annotations

from collections.abc import Sequence

from .asked import Asked
from .job import Job, did_you_mean
from .keys import Holds, Key, Keys
from .model import Slab, Steps
from .spots import names_of, read_side_name

MOST_TREADS = 200

KEYS = Keys(
    "steps",
    "a flight of steps coated with the floor",
    (
        Key("name", Holds.TEXT, "name on sheets and lists", "Steps"),
        Key("width", Holds.LENGTH, "width of the flight", required=True),
        Key("treads", Holds.COUNT, "number of treads coated", required=True),
        Key("tread", Holds.LENGTH, "depth of a tread", required=True),
        Key("riser", Holds.LENGTH, "height of a riser", required=True),
        Key("risers", Holds.COUNT, "number of risers coated", "as many as treads"),
        Key(
            "slab",
            Holds.TEXT,
            "name of the slab that they are coated with, in its system",
            "the first",
            example='slab = "Porch"',
        ),
        Key(
            "side",
            Holds.TEXT,
            "the side of the slab where they stand",
            "the cut-out of their name, or the only edge that is a step",
            example='side = "D-E"',
        ),
        Key("open_sides", Holds.COUNT, "how many side faces (cheeks) are coated: 0, 1 or 2", "0"),
    ),
    many=True,
)


def read_steps(job: Job, tables: tuple[Asked, ...], slabs: Sequence[Slab]) -> tuple[Steps, ...]:
    """Every flight without faults, in the order of the file; `slabs` are those read."""
    flights = (_flight(job, asked, number, slabs) for number, asked in enumerate(tables, 1))
    return tuple(steps for steps in flights if steps is not None)


def _flight(job: Job, asked: Asked, number: int, slabs: Sequence[Slab]) -> Steps | None:
    name = asked.text("name", "Steps" if number == 1 else f"Steps {number}")
    width, tread, riser = (asked.length(key) for key in ("width", "tread", "riser"))
    treads = asked.count("treads", 1, MOST_TREADS)
    risers = asked.count("risers", 0, MOST_TREADS)
    open_sides = asked.count("open_sides", 0, 2) or 0
    slab = _slab(job, asked, name, [slab.name for slab in slabs])
    side = _side(job, asked, name, slabs[slab] if slabs else None)
    asked.finish()
    if width is None or tread is None or riser is None or treads is None:
        return None
    return Steps(
        name=name,
        width=width,
        treads=treads,
        tread=tread,
        riser=riser,
        risers=treads if risers is None else risers,
        open_sides=open_sides,
        slab=slab,
        side=side,
        place=asked.place,
    )


def _slab(job: Job, asked: Asked, name: str, slabs: Sequence[str]) -> int:
    """The place of the slab named; the first where none is."""
    cell, wanted = asked.cell("slab"), asked.text("slab")
    known = [slab.casefold() for slab in slabs]
    if wanted.casefold() in known:
        return known.index(wanted.casefold())
    if cell is not None and not job.faults.found:  # a slab with faults of its own is not among those read
        text = f"{name}: no slab is called {wanted}"
        job.fault("steps-slab", text, cell.place, did_you_mean(wanted, slabs))
    return 0


def _side(job: Job, asked: Asked, name: str, slab: Slab | None) -> tuple[str, str] | None:
    cell = asked.cell("side")
    if cell is None or slab is None or job.faults.found:
        return None
    return read_side_name(job, cell, names_of(slab.shape), name)
