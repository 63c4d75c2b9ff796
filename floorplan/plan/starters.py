"""New plans with comments, one for each way to start, read without a fault as they stand."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType

from ..files.text import read_text

_DATA = Path(__file__).parent / "data"

SHAPES: Mapping[str, str] = MappingProxyType(
    {
        "rectangle": "a slab of four corners, typed",
        "l-shape": "six corners, with posts and a grid of grooves",
        "curved": "a side that is an arc, by its rise",
        "garage": "stem walls, a door line, a drain, saw cuts",
        "ring": "floor round a pool",
        "walk": "directions and lengths as one walks the edge",
        "tape": "sides and diagonals from a tape",
        "offsets": "a baseline with offsets to a free-form edge",
        "metric": "metres and millimetres",
    }
)
"""The starters and what each is for, in the order to offer them."""


def starter(shape: str) -> str:
    """The text of a new plan.

    Raises:
        KeyError: no such starter.
    """
    if shape not in SHAPES:
        raise KeyError(shape)
    return read_text(_DATA / f"{shape}.toml")
