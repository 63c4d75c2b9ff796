"""Sketches for the survey tests: the worked tape sheet, published courses, random slabs with simulated
tape error."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np

from floorplan.survey.headings import Leg, Said
from floorplan.survey.network import Network, Tie
from floorplan.units.factors import FOOT_M, INCH_M, SQFT_M2

EIGHTH_M = INCH_M / 8


def feet(whole: float, inches: float = 0.0) -> float:
    """A length in feet and inches, metres."""
    return whole * FOOT_M + inches * INCH_M


def sq_ft(area_m2: float) -> float:
    """An area in square feet."""
    return area_m2 / SQFT_M2


# The tape sheet of the worked L-shaped patio (invented slab, trade brief 10A): sides, fan from corner 1, and
# four lengths across. The area comes from true corners by the shoelace formula: 597.00 sq ft without the arc.
PATIO_SIDES = {
    "1-2": feet(31, 6),
    "2-3": feet(13),
    "3-4": feet(12, 6),
    "4-5": feet(9),
    "5-6": feet(20, 6),
    "6-1": feet(22, 5 / 8),
}
PATIO_FAN = {"1-3": feet(34, 7 / 8), "1-4": feet(23, 1 / 4), "1-5": feet(29, 7 / 8)}
PATIO_ACROSS = {
    "2-6": feet(39, 7 + 7 / 8),
    "3-6": feet(34, 2 + 1 / 2),
    "2-4": feet(18, 3 / 8),
    "3-5": feet(15, 4 + 7 / 8),
}


def network(
    lengths: Mapping[str, float], corners: Iterable[str], std_m: float = EIGHTH_M, **more: object
) -> Network:
    """A network from lengths by name ("A-B")."""
    ties = [Tie(start=a, end=b, length_m=length, std_m=std_m) for (a, b), length in _pairs(lengths)]
    return Network(corners=tuple(corners), ties=tuple(ties), **more)  # type: ignore[arg-type]


def _pairs(lengths: Mapping[str, float]) -> list[tuple[tuple[str, str], float]]:
    out = []
    for name, length in lengths.items():
        start, end = name.split("-")
        out.append(((start, end), length))
    return out


def courses(row: Mapping[str, object], *, std: float = 0.01) -> list[Leg]:
    """Legs of a published traverse; its unit is taken as the metre."""
    given = row["inputs"]["courses"]  # type: ignore[index]
    return [
        Leg(
            name=chr(ord("A") + k),
            said=Said.ABSOLUTE,
            degrees=_heading(course["bearing"]),
            length_m=course["length"],
            length_std_m=std,
        )
        for k, course in enumerate(given)
    ]


def _heading(bearing: str) -> float:
    if bearing.startswith("AZ"):
        return (90.0 - _degrees(bearing[2:])) % 360.0
    angle = _degrees(bearing[1:-1])
    azimuth = {"NE": angle, "SE": 180.0 - angle, "SW": 180.0 + angle, "NW": 360.0 - angle}
    return (90.0 - azimuth[bearing[0] + bearing[-1]]) % 360.0


def _degrees(text: str) -> float:
    degrees, minutes, seconds = (float(part) for part in text.split("-"))
    return degrees + minutes / 60.0 + seconds / 3600.0


@dataclass(frozen=True)
class Drawn:
    """A slab whose true corners are known."""

    corners: np.ndarray

    @property
    def names(self) -> tuple[str, ...]:
        """Corner names."""
        return tuple(f"P{k}" for k in range(len(self.corners)))

    @property
    def area_m2(self) -> float:
        """True area, shoelace formula."""
        x, y = self.corners.T
        return 0.5 * abs(float(x @ np.roll(y, -1) - y @ np.roll(x, -1)))

    def distance(self, i: int, j: int) -> float:
        """True distance between two corners."""
        return math.dist(self.corners[i], self.corners[j])


def random_slab(chance: np.random.Generator, count: int) -> Drawn:
    """A simple outline of 4 to 12 m across, counter-clockwise, some corners standing in."""
    turn = 2.0 * np.pi * (np.arange(count) + chance.uniform(-0.3, 0.3, count)) / count
    reach = chance.uniform(2.0, 6.0) * chance.uniform(0.6, 1.0, count)
    return Drawn(np.column_stack((1.3 * reach * np.cos(turn), reach * np.sin(turn))))


def braced(slab: Drawn, chance: np.random.Generator, extra: int) -> list[tuple[int, int]]:
    """Sides, a fan from one corner, and `extra` lengths across, two at every other corner as far as they
    reach."""
    n = len(slab.corners)
    pairs = [(i, (i + 1) % n) for i in range(n)] + [(0, k) for k in range(2, n - 1)]
    rest = [(i, j) for i in range(1, n) for j in range(i + 2, n) if (i, j) not in pairs]
    chance.shuffle(rest)
    seen = dict.fromkeys(range(n), 0)
    chosen: list[tuple[int, int]] = []
    while rest and len(chosen) < extra:
        i, j = min(rest, key=lambda pair: (min(seen[pair[0]], seen[pair[1]]), seen[pair[0]] + seen[pair[1]]))
        rest.remove((i, j))
        chosen.append((i, j))
        seen[i] += 1
        seen[j] += 1
    return pairs + chosen


def taped(
    slab: Drawn, pairs: list[tuple[int, int]], chance: np.random.Generator | None, std_m: float = EIGHTH_M
) -> Network:
    """A network of true lengths with normal errors (none without `chance`)."""
    ties = []
    for i, j in pairs:
        length = slab.distance(i, j) + (0.0 if chance is None else float(chance.normal(0.0, std_m)))
        ties.append(Tie(start=slab.names[i], end=slab.names[j], length_m=length, std_m=std_m))
    return Network(corners=slab.names, ties=tuple(ties))


def noisy_fan(corners: int, step_deg: float, seed: int) -> tuple[np.ndarray, Network]:
    """Corners a fine step apart on a round of 9 m, taped from two of them and along the round to 3 mm."""
    turn = np.radians([0.0, 45.0, 90.0, 135.0, *(172.0 + step_deg * np.arange(corners - 5))])
    at = np.vstack(([[0.0, 0.0]], 9.0 * np.column_stack((np.cos(turn), np.sin(turn)))))
    chance = np.random.default_rng(seed)
    pairs = {(0, k) for k in range(1, corners)} | {(1, k) for k in range(2, corners)}
    pairs |= {(k, k + 1) for k in range(1, corners - 1)}
    names = tuple(f"C{k}" for k in range(corners))
    ties = tuple(
        Tie(
            start=names[i],
            end=names[j],
            length_m=math.dist(at[i], at[j]) + chance.normal(0.0, 0.003),
            std_m=0.003,
        )
        for i, j in sorted(pairs)
    )
    return at, Network(corners=names, ties=ties)
