"""The edge-kind table: what stands along an edge, and what that means for grinding, masking and brushing.

Every value is common practice, no source. A gap, overhang or band that is not given here is the grinder's
own; only a kind where the trade differs carries one. A plan overrides a row, or adds a kind, with
`[edge_kind.NAME]`. To ship a new kind, add a row.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from ..units.length import Length, UnitStyle
from ..units.reading import read_length
from .model import EdgeKind

UNKNOWN = "unknown"


def _length(text: str) -> Length:
    return read_length(text, UnitStyle.IN)


_ROWS = (
    EdgeKind(
        name="wall",
        hand_grind=True,
        mask=True,
        mask_height=_length("6 in"),
        brush=True,
        note="keep weep holes and screeds clear; look for an isolation strip in the line",
    ),
    EdgeKind(
        name="siding",
        hand_grind=True,
        mask=True,
        mask_height=_length("36 in"),
        brush=True,
        note="keep the shroud off the metal; film it, loose flake and overspray stick; measure under the lip",
    ),
    EdgeKind(
        name="open",
        hand_grind=False,
        mask=True,
        brush=True,
        note="ease the arris by hand; do not coat below grade; a wheel can drop",
    ),
    EdgeKind(
        name="step up",
        hand_grind=True,
        brush=True,
        face=True,
        note="grind the riser and the inside corner by hand; tape the top edge if it is not coated",
    ),
    EdgeKind(
        name="step down",
        hand_grind=True,
        brush=True,
        face=True,
        drop=True,
        note="fall edge, keep the machine back; nosing with more grit, in contrast",
    ),
    EdgeKind(
        name="garage door",
        hand_grind=False,
        mask=True,
        brush=True,
        note="stop line under the seal; check the lip; the sun reaches this strip",
    ),
    EdgeKind(
        name="threshold",
        hand_grind=True,
        mask=True,
        brush=True,
        note="check the clearance of the door over the finished floor",
    ),
    EdgeKind(
        name="slab",
        hand_grind=False,
        mask=True,
        brush=True,
        note="stop on a straight line, best a saw cut; match the height",
    ),
    EdgeKind(
        name="post",
        hand_grind=True,
        mask=True,
        mask_height=_length("6 in"),
        brush=True,
        note="grind all round; the gap to the next obstacle decides whether the machine gets in",
    ),
    EdgeKind(
        name="fence",
        hand_grind=True,
        gap=_length("6 in"),
        band=_length("10 in"),
        mask=True,
        brush=True,
        note="rails stand over the floor: reach under them",
    ),
    EdgeKind(name="low wall", hand_grind=True, mask=True, brush=True, note="mask the face if uncoated"),
    EdgeKind(
        name="stem wall",
        hand_grind=True,
        mask=True,
        brush=True,
        face=True,
        note="grind the face too; thickened coat, flake thrown by hand",
    ),
    EdgeKind(
        name="coping",
        hand_grind=True,
        mask=True,
        brush=True,
        drop=True,
        note="nothing into the water, cover the pool; the joint behind the coping stays open",
    ),
    EdgeKind(
        name="drain",
        hand_grind=True,
        mask=True,
        brush=True,
        drop=True,
        note="never bridge the joint of the frame; keep the fall; a wheel can drop",
    ),
    EdgeKind(
        name=UNKNOWN,
        hand_grind=True,
        mask=True,
        brush=True,
        note="ASK: what stands here was not stated, so it counts as in the way",
    ),
)

SHIPPED: Mapping[str, EdgeKind] = MappingProxyType({row.name: row for row in _ROWS})


def blank(name: str) -> EdgeKind:
    """What a kind that the plan adds starts from: in the way, masked and brushed, until it says otherwise."""
    return EdgeKind(name=name, hand_grind=True, mask=True, brush=True)
