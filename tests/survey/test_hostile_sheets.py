"""Nonsense sheets end in words, in bounded time, without a warning from the numbers."""

from __future__ import annotations

import random
import warnings

import pytest

import floorplan
from floorplan.errors import FloorplanError
from floorplan.measure.tape_needs import needs

HEAD = 'units = "ft"\n[[slab]]\nname = "P"\nsystem = "outdoor-full-flake"\n'
_LENGTHS = ("0.01", "1", "10", "10", "14.142", "20", "999")
_HEADINGS = (
    "right",
    "up",
    "left",
    "down",
    "N",
    "S 35 E",
    "turn left",
    "turn right 45",
    "inside 90",
    "inside 270",
    "?",
)
_ARCS = ("", "", "", "| open, arc rise 1 out", "| open, arc radius 20 in")


def _length(chance: random.Random) -> str:
    return chance.choice((*_LENGTHS, f"{chance.uniform(0.1, 40.0):.2f}"))


def tape_sheet(chance: random.Random) -> str:
    """A tape sheet of 3 to 7 corners with lengths that need not fit."""
    corners = [chr(65 + k) for k in range(chance.randint(3, 7))]
    n = len(corners)
    points = ["Q"] if chance.random() < 0.3 else []
    pairs = [(corners[k], corners[(k + 1) % n]) for k in range(n)]
    pairs += [tuple(chance.sample(corners + points, 2)) for _ in range(chance.randint(0, 2 * n))]
    kept = {frozenset(pair): pair for pair in pairs if chance.random() < 0.9}
    lines = "\n".join(f"{a}-{b} {_length(chance)}" for a, b in kept.values())
    keys = [f'square = "{chance.choice(corners)}"'] if chance.random() < 0.3 else []
    keys += [f'points = "{points[0]}"'] if points else []
    keys += [f'on_side = """\nQ {corners[0]}-{corners[1]}\n"""'] if points and chance.random() < 0.5 else []
    keys += ['inward = "none"'] if chance.random() < 0.3 else []
    turning = chance.choice(("clockwise", "counter-clockwise"))
    head = f'[slab.tape]\ncorners = "{" ".join(corners)}"\nturning = "{turning}"\n'
    return HEAD + head + "\n".join(keys) + f'\nlengths = """\n{lines}\n"""\n'


def walk(chance: random.Random) -> str:
    """A walk of 2 to 8 legs that need not close."""
    rows = []
    for _ in range(chance.randint(2, 8)):
        length = chance.choice(("?", _length(chance), _length(chance)))
        rows.append(f"{chance.choice(_HEADINGS)} {length} {chance.choice(_ARCS)}")
    return HEAD + 'walk = """\n' + "\n".join(rows) + '\n"""\n'


def offsets(chance: random.Random) -> str:
    """Stations and offsets of any size."""
    at, rows = 0.0, []
    for _ in range(chance.randint(1, 9)):
        rows.append(f"{at:.2f}   {chance.choice(('0', _length(chance), _length(chance)))}")
        at += chance.choice((0.01, 1.0, 5.0))
    edge = chance.choice(("smooth", "straight"))
    body = "\n".join(rows)
    return (
        HEAD + f'[slab.offsets]\nbaseline = "{max(at, 1.0)}"\nedge = "{edge}"\nstations = """\n{body}\n"""\n'
    )


@pytest.mark.parametrize("make", [tape_sheet, walk, offsets])
@pytest.mark.parametrize("seed", range(12))
def test_nonsense_ends_in_words(make, seed: int) -> None:  # type: ignore[no-untyped-def]
    """Random lengths give a takeoff or faults in words, and a site sheet either way."""
    for k in range(4):
        text = make(random.Random(1000 * seed + k))
        with warnings.catch_warnings():
            warnings.simplefilter("error")
            try:
                plan = floorplan.read(text)
                assert needs(plan)
                assert floorplan.takeoff(plan).slabs[0].gross_area_m2 > 0.0
            except FloorplanError as error:
                assert all(fault.text and fault.place for fault in error.faults), text
