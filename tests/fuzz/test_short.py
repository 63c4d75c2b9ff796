"""A short run of every fuzz target, the same cases each time; `tests/fuzz/run.py` makes the long one."""

from __future__ import annotations

import random
from pathlib import Path

import pytest
from fuzz.run import fuzz
from fuzz.targets import LENGTHS, TARGETS, quiet
from hypothesis import given, settings
from hypothesis import strategies as st

# Seconds matter here: so many cases of each target take about as long as those of any other.
CASES = {"lengths": 1500, "plan": 250, "dxf": 60, "job": 12}


@pytest.mark.parametrize("name", TARGETS)
def test_changed_examples_end_in_values_or_words(name: str, tmp_path: Path) -> None:
    """Examples changed at random give a value or a fault in words: no traceback, no warning of a library."""
    assert fuzz(name, TARGETS[name], CASES.get(name, 300), 8, tmp_path) == 0


NUMBERS = st.sampled_from(
    ["1", "-1", "0", "12.11", "1/2", "6½", "1e9", "007", ".5", "5.", "1,234.5", "1,5", "9" * 40]
)
MARKS = st.sampled_from(
    ["'", '"', "′", "″", "’", "”", "ft", "in", "m", "mm", "cm", "yd", "-", "–", " ", "", "x", "°"]
)


@given(st.lists(st.one_of(NUMBERS, MARKS, st.sampled_from(LENGTHS), st.text(max_size=3)), max_size=9))
@settings(max_examples=300)
def test_lengths_of_any_parts_end_in_values_or_words(parts: list[str]) -> None:
    """Numbers, marks and words in any order are read or refused."""
    quiet(TARGETS["lengths"], "".join(parts))


@given(st.text(max_size=200))
@settings(max_examples=150)
@pytest.mark.parametrize("name", ["plan", "systems", "prices", "stock", "forecast"])
def test_any_text_ends_in_values_or_words(name: str, text: str) -> None:
    """A text that is nothing at all is refused in words."""
    quiet(TARGETS[name], text)


@given(st.binary(max_size=400))
def test_any_bytes_are_no_drawing(data: bytes) -> None:
    """Bytes that are no drawing are refused in words."""
    quiet(TARGETS["dxf"], data)


def test_same_seed_gives_same_cases() -> None:
    """A finding can be made again from its seed."""
    target = TARGETS["plan"]
    first, second = (target.case(random.Random("1 plan")) for _ in range(2))
    assert first == second
