"""`[[steps]]`: flights of steps coated with the floor."""

from __future__ import annotations

from .asked import Asked
from .keys import Holds, Key, Keys
from .model import Steps

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
        Key("open_sides", Holds.COUNT, "how many side faces (cheeks) are coated: 0, 1 or 2", "0"),
    ),
    many=True,
)


def read_steps(tables: tuple[Asked, ...]) -> tuple[Steps, ...]:
    """Every flight without faults, in the order of the file."""
    flights = (_flight(asked, number) for number, asked in enumerate(tables, 1))
    return tuple(steps for steps in flights if steps is not None)


def _flight(asked: Asked, number: int) -> Steps | None:
    name = asked.text("name", "Steps" if number == 1 else f"Steps {number}")
    width, tread, riser = (asked.length(key) for key in ("width", "tread", "riser"))
    treads = asked.count("treads", 1, MOST_TREADS)
    risers = asked.count("risers", 0, MOST_TREADS)
    open_sides = asked.count("open_sides", 0, 2) or 0
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
        place=asked.place,
    )
