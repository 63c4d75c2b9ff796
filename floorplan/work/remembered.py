"""Answers kept for floors that are asked about again.

The ways to divide a floor are compared for every coat and share most of their cuts, so that the same piece is
cut along the same line up to ten times.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache, wraps
from typing import Final, TypeVar

import shapely
from shapely import Polygon

MOST_CORNERS: Final = 2000
"""A floor with more corners is worked out anew each time, so that what is kept stays small."""
MOST_ANSWERS: Final = 256

Answer = TypeVar("Answer")


def remembered(work: Callable[..., Answer]) -> Callable[..., Answer]:
    """A function of a floor and of hashable values, with its last answers kept."""
    kept = lru_cache(maxsize=MOST_ANSWERS)(work)

    @wraps(work)
    def answer(floor: Polygon, *more: object) -> Answer:
        return (kept if shapely.get_num_coordinates(floor) <= MOST_CORNERS else work)(floor, *more)

    return answer
