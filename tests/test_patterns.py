"""Patterns that wait behave as compiled ones; the standard library is the reference."""

from __future__ import annotations

import re

import pytest

from floorplan.patterns import pattern


def test_a_waiting_pattern_answers_as_a_compiled_one() -> None:
    """Every method gives what `re.compile` gives, first use or later."""
    text, flags, words = r"(\d+) *FT", re.IGNORECASE, "12 ft and 3ft"
    ours, theirs = pattern(text, flags), re.compile(text, flags)
    for _ in range(2):
        assert ours.sub("x", words) == theirs.sub("x", words)
        assert ours.findall(words) == theirs.findall(words)
        assert ours.split(words) == theirs.split(words)
        assert [m.span() for m in ours.finditer(words)] == [m.span() for m in theirs.finditer(words)]
        for method in ("match", "search", "fullmatch"):
            mine, its = getattr(ours, method)(words), getattr(theirs, method)(words)
            assert (mine and mine.groups()) == (its and its.groups())
    assert ours.pattern == text and ours.groups == 1


def test_nothing_is_compiled_before_it_is_used() -> None:
    """A pattern that is wrong says so when it is used."""
    wrong = pattern("(")
    with pytest.raises(re.error):
        wrong.match("")
