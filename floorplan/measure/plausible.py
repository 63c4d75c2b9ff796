"""Measures that can be but rarely are: asked about, never changed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from ..errors import Notice
from ..plan.model import Slab
from ..units.factors import FOOT_M, SQFT_M2
from ..units.figures import Figures
from .model import Edge, MeasuredFace
from .solved import SolvedShape

SMALLEST_M2: Final = 40 * SQFT_M2
LARGEST_M2: Final = 10_000 * SQFT_M2
"""A slab is rarely outside these, a plan in the wrong unit nearly always (common practice, no source)."""

TALL_M: Final = 3 * FOOT_M
"""A coated face of a slab, a step or a stem wall is rarely higher (common practice, no source)."""

HAIR: Final = 1e-9


def area_notice(slab: Slab, net_m2: float, figures: Figures) -> Iterator[Notice]:
    """An area that says a unit was missed."""
    if SMALLEST_M2 <= net_m2 <= LARGEST_M2:
        return
    size = "small" if net_m2 < SMALLEST_M2 else "large"
    text = (
        f"it has {figures.area(net_m2)} of floor, which is very {size}; look at the units, and at one length"
        " that you know"
    )
    yield Notice(code=f"area-{size}", text=text, where=f"slab {slab.name}")


def face_notices(slab: Slab, faces: Sequence[MeasuredFace], figures: Figures) -> Iterator[Notice]:
    """Faces so high that inches were probably meant."""
    for face in faces:
        if face.height_m > TALL_M:
            text = f"the face along {face.label} is {figures.length(face.height_m)} high; look at its unit"
            yield Notice(code="face-tall", text=text, where=f"slab {slab.name}")


def unknown_notices(slab: Slab, edges: Sequence[Edge], figures: Figures) -> Iterator[Notice]:
    """Edges of which nobody said what stands there."""
    unknown = [edge for edge in edges if edge.kind == "unknown" and edge.length_m > 0.0]
    if not unknown:
        return
    names = ", ".join(edge.label for edge in unknown[:12]) + (", …" if len(unknown) > 12 else "")
    length = figures.run(sum(edge.length_m for edge in unknown))
    text = f"ASK: what stands along {names} was not stated ({length}); it is counted as in the machine's way"
    yield Notice(code="edge-unknown", text=text, where=f"slab {slab.name}")


def foot_notices(slab: Slab, shape: SolvedShape, figures: Figures) -> Iterator[Notice]:
    """Opposite sides of a four-cornered slab that differ by a foot to the hair: a foot misread or dropped.

    Source: trade brief 2.4, common practice, no source.
    """
    ring = shape.ring
    if len(ring) != 4 or not figures.is_us or shape.survey is not None:
        return
    lengths = ring.side_lengths_m
    for i in (0, 1):
        one, two = float(lengths[i]), float(lengths[i + 2])
        if abs(abs(one - two) - FOOT_M) <= HAIR * max(one, two):
            a, b = shape.side_label(i), shape.side_label(i + 2)
            text = (
                f"sides {a} ({figures.length(one)}) and {b} ({figures.length(two)}) differ by exactly one"
                " foot; look whether a foot was misread"
            )
            yield Notice(code="foot-apart", text=text, where=f"slab {slab.name}, side {a}")
