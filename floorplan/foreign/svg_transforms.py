"""`transform` attributes of SVG as placements. Source: SVG 1.1, 7.6."""

from __future__ import annotations

import math
from typing import Final

import numpy as np

from ..patterns import pattern
from .planes import Placement, then, turn_rad, unmoved

_CALL: Final = pattern(r"(matrix|translate|scale|rotate|skewX|skewY)\s*\(([^)]*)\)")
_NUMBER: Final = pattern(r"[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?")


_LARGEST: Final = 1e12
"""Beyond this no number is a place on a drawing; sums of squares stay far below the largest float."""


def svg_number(text: str) -> float:
    """A number of an SVG; not a number where it is beyond all drawings."""
    number = float(text)
    return number if abs(number) <= _LARGEST else math.nan


def matrix_of(text: str) -> Placement:
    """What a transform list does, the last one first; calls that cannot be read change nothing."""
    placed = unmoved()
    for name, inside in _CALL.findall(text):
        numbers = [svg_number(n) for n in _NUMBER.findall(inside)]
        placed = then(placed, _one(name, numbers))
    return placed


def _one(name: str, n: list[float]) -> Placement:
    if name == "matrix" and len(n) == 6:
        return _flat(*n)
    if name == "translate" and n:
        return _flat(1.0, 0.0, 0.0, 1.0, n[0], n[1] if len(n) > 1 else 0.0)
    if name == "scale" and n:
        return _flat(n[0], 0.0, 0.0, n[1] if len(n) > 1 else n[0], 0.0, 0.0)
    if name == "rotate" and n:
        cos, sin = math.cos(turn_rad(n[0])), math.sin(turn_rad(n[0]))
        x, y = (n[1], n[2]) if len(n) > 2 else (0.0, 0.0)
        return _flat(cos, sin, -sin, cos, x - cos * x + sin * y, y - sin * x - cos * y)
    if name == "skewX" and n:
        return _flat(1.0, 0.0, math.tan(turn_rad(n[0])), 1.0, 0.0, 0.0)
    if name == "skewY" and n:
        return _flat(1.0, math.tan(turn_rad(n[0])), 0.0, 1.0, 0.0, 0.0)
    return unmoved()


def _flat(a: float, b: float, c: float, d: float, e: float, f: float) -> Placement:
    placed = np.eye(3, 4)
    placed[:2, 0], placed[:2, 1], placed[:2, 3] = (a, b), (c, d), (e, f)
    return placed
