"""A drawing that floorplan itself made, known by its layers: what each is for, unless the plan says else.

Layers: `FLOOR-OUTLINE`, `FLOOR-CUTOUT-kind`, `FLOOR-EDGE-kind`, `FLOOR-JOINT-treatment`, `FLOOR-NAME`; kinds
and treatments in capitals, spaces as underscores. Outline and cut-outs are found by nesting as everywhere.
"""

from __future__ import annotations

from ..foreign.model import Source
from ..values import replace
from .edge_kinds import SHIPPED
from .model import DxfSource, Treatment

OUTLINE = "FLOOR-OUTLINE"
NAME = "FLOOR-NAME"
EDGE, CUTOUT, JOINT = "FLOOR-EDGE-", "FLOOR-CUTOUT-", "FLOOR-JOINT-"


def as_ours(asked: DxfSource, source: Source) -> DxfSource:
    """What is asked of a drawing, with the layers of one of our own where nothing is said of them."""
    layers = [layer.name for layer in source.layers]
    if OUTLINE not in layers or asked.outline:
        return asked
    kinds = {_typed(kind): kind for kind in SHIPPED}
    edges = [
        (layer, kinds[layer.removeprefix(role)])
        for role in (EDGE, CUTOUT)
        for layer in layers
        if layer.startswith(role) and layer.removeprefix(role) in kinds
    ]
    return replace(
        asked,
        joints=asked.joints or ((JOINT + "*",) if any(layer.startswith(JOINT) for layer in layers) else ()),
        text=asked.text or ((NAME,) if NAME in layers else ()),
        edges=(*asked.edges, *edges),
    )


def treatment_of(layer: str, usual: Treatment) -> Treatment:
    """What the crew does with joints on a layer: what a layer of ours says, else as usual."""
    named = {JOINT + _typed(treatment.value): treatment for treatment in Treatment}
    return named.get(layer, usual)


def _typed(word: str) -> str:
    return word.replace(" ", "_").upper()
