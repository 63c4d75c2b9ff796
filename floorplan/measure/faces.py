"""Vertical faces coated with the floor: length of the edge times height."""

from __future__ import annotations

from collections.abc import Sequence

from ..errors import Fault, Place
from ..plan.model import Face, Slab
from ..units.length import Length
from .cutouts import Placed
from .model import Edge, MeasuredFace
from .solved import SolvedShape, fault
from .spots import unknown_side


def measure_faces(
    slab: Slab, shape: SolvedShape, placed: Sequence[Placed], edges: Sequence[Edge]
) -> tuple[tuple[MeasuredFace, ...], list[Fault]]:
    """Faces of cut-outs that carry one, then those listed; a face runs as far as floor lies beside it."""
    sides = len(shape.labels)
    found: list[tuple[Edge, Length, Place | None]] = [
        (edge, copy.cutout.face, copy.cutout.place)
        for edge, copy in zip(edges[sides:], placed, strict=True)
        if copy.cutout.face is not None
    ]
    faults = []
    for face in slab.faces:
        along = [edges[i] for i in _edges_of(face, shape, placed)]
        found += [(edge, face.height, face.place) for edge in along]
        if not along:
            faults.append(_unknown(face, shape, placed))
    faces = []
    seen: set[str] = set()
    for edge, height, place in found:
        if edge.label in seen:
            said = f"{edge.label} carries two faces, so its height would be counted twice"
            faults.append(fault("face-twice", said, place, "keep one of them"))
        seen.add(edge.label)
        faces.append(MeasuredFace(label=edge.label, length_m=edge.length_m, height_m=height.m))
    return tuple(faces), faults


def _edges_of(face: Face, shape: SolvedShape, placed: Sequence[Placed]) -> list[int]:
    """One side by its corners, every copy of a cut-out by the common name, or one copy by its own name."""
    if isinstance(face.side, tuple):
        side = shape.side_between(face.side)
        return [] if side is None else [side]
    sides = len(shape.labels)
    common = [sides + k for k, copy in enumerate(placed) if copy.cutout.name == face.side]
    return common or [sides + k for k, copy in enumerate(placed) if copy.name == face.side]


def _unknown(face: Face, shape: SolvedShape, placed: Sequence[Placed]) -> Fault:
    if isinstance(face.side, tuple):
        return unknown_side(face.side, shape, "face", face.place)
    names = list(dict.fromkeys(copy.cutout.name for copy in placed))
    hint = f"cut-outs are {', '.join(names)}" if names else "the slab has no cut-outs; name a side as A-B"
    return fault("cutout-unknown", f"face: there is no cut-out {face.side}", face.place, hint)
