"""Regular expressions that are compiled when they are first used.

A run uses a third of the patterns that its modules declare, and compiling them all took as long as reading a
plan. To a type checker and to whoever calls it, `pattern` is `re.compile`.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

_METHODS = ("match", "fullmatch", "search", "sub", "finditer", "findall", "split", "pattern")


class _Waiting:
    """Stands for a compiled pattern and takes its methods when the first is asked for."""

    def __init__(self, text: str, flags: int = 0) -> None:
        self._asked = (text, flags)

    def __getattr__(self, name: str) -> Any:
        made = re.compile(*self._asked)
        self.__dict__ |= {method: getattr(made, method) for method in _METHODS}
        return getattr(made, name)


if TYPE_CHECKING:
    pattern = re.compile
else:
    pattern = _Waiting
