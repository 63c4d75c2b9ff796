"""Rows of the outside checks: figures from published sources, each with its source and tolerance."""

from __future__ import annotations

import tomllib
from functools import cache
from pathlib import Path
from typing import Any

DATA = Path(__file__).parent / "data"


@cache
def _rows(file: str) -> dict[str, dict[str, Any]]:
    table = tomllib.loads((DATA / "checks" / f"{file}.toml").read_text(encoding="utf-8"))
    rows = next(value for value in table.values() if isinstance(value, list))
    return {row["id"]: row for row in rows}


def row(file: str, id_: str) -> dict[str, Any]:
    """One row of `tests/data/checks/FILE.toml`; its `source` says where the figure comes from."""
    return _rows(file)[id_]


def rows(file: str, prefix: str = "") -> list[dict[str, Any]]:
    """Rows whose id starts with `prefix`, without those only remembered, which must not be asserted."""
    return [r for id_, r in _rows(file).items() if id_.startswith(prefix) and r["status"] != "from memory"]
