"""Corner letters: A, B, C … Z, AA, AB …, as a spreadsheet counts its columns."""

from __future__ import annotations

import itertools
import re
import string
from collections.abc import Collection, Iterator

LABEL = re.compile(r"\w+")
"""What a label may be: word characters of any script, so that a side can be named A-B."""


def letters() -> Iterator[str]:
    """A, B … Z, AA, AB … without end."""
    for width in itertools.count(1):
        for parts in itertools.product(string.ascii_uppercase, repeat=width):
            yield "".join(parts)


def lettered(labels: Collection[str]) -> tuple[str, ...]:
    """The labels with each empty one replaced by the next letter that is not typed anywhere.

    >>> lettered(["", "B", ""])
    ('A', 'B', 'C')
    """
    typed = set(labels)
    free = (letter for letter in letters() if letter not in typed)
    return tuple(label or next(free) for label in labels)
