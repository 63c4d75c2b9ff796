"""JSON documents as text: one form for all of them."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any


def json_text(document: Mapping[str, Any]) -> str:
    """The document as indented JSON, keys in their given order, ending in a line end.

    Raises:
        ValueError: a number that is not finite, which JSON has no word for.
    """
    return json.dumps(document, indent=2, ensure_ascii=False, allow_nan=False) + "\n"
