"""`[edge_kind.NAME]`: a plan's own edge kinds, and changes to the shipped ones."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

from ..patterns import pattern
from ..values import replace
from .asked import Asked
from .edge_kinds import SHIPPED, blank
from .job import Job
from .keys import Holds, Key, Keys
from .model import EdgeKind
from .sides import tidy_kind

KEYS = Keys(
    "edge_kind.NAME",
    "changes a row of the edge-kind table, or adds a kind; what is left out stays as it is",
    (
        Key("hand_grind", Holds.FLAG, "true when it stands in the way of the walk-behind", "true"),
        Key("gap", Holds.LENGTH, "what the walk-behind leaves uncut along it", "the grinder's gap"),
        Key(
            "overhang",
            Holds.LENGTH,
            "how far the cut may run past it when it is not in the way",
            "the grinder's",
        ),
        Key("band", Holds.LENGTH, "width ground by hand along it", "the grinder's band"),
        Key("mask", Holds.FLAG, "true when it is taped or filmed", "true"),
        Key("mask_height", Holds.LENGTH, "height to mask above the floor", "a tape line"),
        Key("brush", Holds.FLAG, "true when coats are brushed along it", "true"),
        Key("face", Holds.FLAG, "true when the vertical face is usually coated", "false"),
        Key("drop", Holds.FLAG, "true when a person can fall or a wheel can drop there", "false"),
        Key("note", Holds.TEXT, "what the crew must know"),
    ),
)

_NAME = pattern(r"[^,|#?\x00-\x1f\x7f]+")
_FLAGS = ("hand_grind", "mask", "brush", "face", "drop")
_LENGTHS = ("gap", "overhang", "band", "mask_height")


def read_edge_kinds(job: Job, tables: Mapping[str, Asked]) -> Mapping[str, EdgeKind]:
    """The shipped table with the plan's rows over it."""
    kinds = dict(SHIPPED)
    for typed, asked in tables.items():
        name = tidy_kind(typed)
        if not _NAME.fullmatch(name) or name.startswith("arc "):
            asked.fault(
                "edge-kind-name",
                f"an edge kind cannot be called {typed!r}",
                hint="use words without , | # and ?, not starting with arc",
            )
        kinds[name] = _row(asked, kinds.get(name, blank(name)))
        asked.finish()
    return MappingProxyType(kinds)


def _row(asked: Asked, start: EdgeKind) -> EdgeKind:
    changes: dict[str, Any] = {name: asked.flag(name, getattr(start, name)) for name in _FLAGS}
    changes |= {name: asked.length_or_nothing(name) for name in _LENGTHS if name in asked}
    if "note" in asked:
        changes["note"] = asked.text("note")
    return replace(start, **changes)
