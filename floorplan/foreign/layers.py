"""Choosing layers by name: case ignored, with wildcards, several by commas."""

from __future__ import annotations

from difflib import get_close_matches
from fnmatch import fnmatchcase

import numpy as np
from numpy.typing import NDArray

from ..errors import DrawingFileError, Fault
from .model import Layer, Source


def patterns(choice: str) -> tuple[str, ...]:
    """The names of a choice: `SLAB*, PATIO` is two."""
    return tuple(part.strip().casefold() for part in choice.split(",") if part.strip())


def fits(name: str, choice: str) -> bool:
    """Whether a layer is one of the choice."""
    return any(fnmatchcase(name.casefold(), pattern) for pattern in patterns(choice))


def picked(source: Source, choice: str, what: str) -> NDArray[np.bool_]:
    """(layers,) which layers a choice names; hidden ones only when named without wildcards.

    Raises:
        DrawingFileError: it names none; the nearest names are offered, with their counts.
    """
    exact = set(patterns(choice))
    chosen = np.array(
        [
            fits(layer.name, choice) and (not layer.hidden or layer.name.casefold() in exact)
            for layer in source.layers
        ],
        dtype=np.bool_,
    )
    if not chosen.any():
        raise DrawingFileError(_none(source, choice, what))
    return chosen


def visible(layers: tuple[Layer, ...]) -> NDArray[np.bool_]:
    """(layers,) which are neither off nor frozen."""
    return np.array([not layer.hidden for layer in layers], dtype=np.bool_)


def counts(source: Source) -> list[int]:
    """Strokes on each layer, in the order of the layers."""
    return np.bincount(source.strokes.layer, minlength=len(source.layers)).tolist() if source.layers else []


def _none(source: Source, choice: str, what: str) -> Fault:
    names = {
        layer.name.casefold(): (layer, n) for layer, n in zip(source.layers, counts(source), strict=True)
    }
    hidden = [layer.name for layer, _ in names.values() if layer.hidden and fits(layer.name, choice)]
    if hidden:
        return Fault(
            code="layer-hidden",
            text=f"{source.name}: {what} = {choice!r} names only layers that are off or frozen:"
            f" {', '.join(hidden[:5])}",
            hint="write such a layer's full name to use it all the same",
        )
    near = [
        names[n] for p in patterns(choice) for n in get_close_matches(p.strip("*?"), names, n=3, cutoff=0.5)
    ]
    if not near:
        near = sorted(names.values(), key=lambda pair: -pair[1])[:5]
    told = ", ".join(f"{layer.name} ({n})" for layer, n in dict.fromkeys(near))
    return Fault(
        code="layer-unknown",
        text=f"{source.name}: no layer is named {choice!r} ({what})",
        hint=f"layers with their counts of line work: {told}" if told else "the file has no layers",
    )
