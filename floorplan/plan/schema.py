"""The plan file described: a JSON Schema for editors, and a reference in Markdown.

Both are made from the keys that the reader itself goes by, so neither can say anything else.
"""

from __future__ import annotations

from typing import Any

from .edge_kinds import SHIPPED
from .keys import Holds, Key, Keys
from .model import EdgeKind
from .reader import KEYS

DIALECT = "https://json-schema.org/draft/2020-12/schema"
IDENTITY = "urn:floorplan:plan"

_TEXT = {"type": ["string", "number"]}
_LIST = {
    "anyOf": [{"type": ["string", "number"]}, {"type": "array", "items": {"type": ["string", "number"]}}]
}
_LINES = {"anyOf": [{"type": "string"}, {"type": "array", "items": {"type": "string"}}]}
_TYPES: dict[Holds, dict[str, Any]] = {
    Holds.TEXT: _TEXT,
    Holds.TEXTS: _LIST,
    Holds.LENGTH: {"$ref": "#/$defs/length"},
    Holds.LENGTHS: _TEXT,
    Holds.ANGLE: {"$ref": "#/$defs/angle"},
    Holds.AREA: {"type": "string"},
    Holds.COUNT: {"type": "integer"},
    Holds.FLAG: {"type": "boolean"},
    Holds.BLOCK: _LINES,
    Holds.SPOT: {"type": "string"},
    Holds.SPOTS: _LINES,
    Holds.SIDES: _LINES,
    Holds.KIND: {"type": "string"},
    Holds.PAIRS: {"type": "object", "additionalProperties": {"type": "string"}},
}
_DEFS = {
    "length": {
        "description": 'a length as on a tape sheet: 12\' 6 1/2", 150", 3.81 m; bare numbers are in units',
        "type": ["string", "number"],
    },
    "angle": {"description": "degrees, 30 deg or 12°30'", "type": ["string", "number"]},
}


def schema() -> dict[str, Any]:
    """JSON Schema (draft 2020-12) of a plan file."""
    return {
        "$schema": DIALECT,
        "$id": IDENTITY,
        "title": "floor plan file",
        **_table(KEYS),
        "$defs": _DEFS,
    }


def _table(keys: Keys) -> dict[str, Any]:
    described: dict[str, Any] = {
        "description": keys.doc,
        "type": "object",
        "properties": {key.name: _key(key) for key in keys.keys},
        "additionalProperties": False,
    }
    required = [key.name for key in keys.keys if key.required]
    if required:
        described["required"] = required
    if keys.one_of:
        described["oneOf"] = [{"required": [name]} for name in keys.one_of]
    return described


def _key(key: Key) -> dict[str, Any]:
    described = {"description": _sentence(key), **_type(key)}
    if key.holds is Holds.KIND:
        described["examples"] = list(SHIPPED)
    elif key.suggest is not None:
        described["examples"] = list(key.suggest())
    return described


def _type(key: Key) -> dict[str, Any]:
    if key.holds is Holds.CHOICE:
        return {"enum": list(key.choices)}
    if key.keys is None:
        return dict(_TYPES[key.holds])
    below = _table(key.keys)
    if key.holds is Holds.TABLE:
        return {name: value for name, value in below.items() if name != "description"}
    if key.holds is Holds.NAMED:
        return {"type": "object", "additionalProperties": below}
    return {"type": "array", "items": below, "minItems": 1}


def _sentence(key: Key) -> str:
    parts = [key.doc]
    if key.example:
        parts.append(f"for example {key.example}")
    if key.default:
        parts.append(f"left out: {key.default}")
    return "; ".join(parts)


def reference() -> str:
    """Every key of a plan file in one Markdown table."""
    rows = ["| key | holds | what it says | left out |", "| --- | --- | --- | --- |"]
    for keys in KEYS.walk():
        rows.append(_row(f"**{_code(keys.header()) or 'top of the file'}**", "", f"**{keys.doc}**", ""))
        rows += [_key_row(key) for key in keys.keys if key.keys is None]
    return "\n".join(rows) + "\n"


def edge_kind_reference() -> str:
    """The edge-kind table in Markdown: typical values, common practice, no source."""
    rows = [
        "| edge kind | ground by hand | mask | brush | face | note |",
        "| --- | --- | --- | --- | --- | --- |",
    ]
    rows += [
        _row(kind.name, _yes(kind.hand_grind), _mask(kind), _yes(kind.brush), _yes(kind.face), kind.note)
        for kind in SHIPPED.values()
    ]
    return "\n".join(rows) + "\n"


def _key_row(key: Key) -> str:
    says = key.doc + (f"; {_code(key.example)}" if key.example else "")
    return _row(_code(key.name), _holds(key), says, "must stand" if key.required else key.default)


def _holds(key: Key) -> str:
    if key.holds is Holds.CHOICE:
        return ", ".join(key.choices)
    return f"{key.holds.value} or a word" if key.or_text else key.holds.value


def _row(*cells: str) -> str:
    return "| " + " | ".join(cell.replace("|", "\\|") for cell in cells) + " |"


def _code(text: str) -> str:
    return f"`{text}`" if text else ""


def _yes(flag: bool) -> str:
    return "yes" if flag else "no"


def _mask(kind: EdgeKind) -> str:
    if not kind.mask:
        return "no"
    return f"{kind.mask_height.text} high" if kind.mask_height else "tape line"
