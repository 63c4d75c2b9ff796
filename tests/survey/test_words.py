"""Every finding has its words, and the words have their figures."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import floorplan.survey
from floorplan.survey.findings import Finding, Unsolved
from floorplan.survey.words import WORDS, in_words
from floorplan.units.figures import Figures
from floorplan.units.length import UnitStyle

HERE = Path(floorplan.survey.__file__).parent
US, METRIC = Figures(UnitStyle.FT_IN), Figures(UnitStyle.M)


def _codes_in_the_code() -> set[str]:
    """Codes that the solvers can name, read off their text."""
    text = "\n".join(
        path.read_text(encoding="utf-8") for path in HERE.glob("*.py") if path.name != "words.py"
    )
    return set(re.findall(r'"((?:walk|tape|offsets)-[a-z-]+)"', text))


def test_every_code_has_words() -> None:
    """No solver can say something that has no sentence, and no sentence is without use."""
    made_up = {f"walk-two-shapes-{kind}" for kind in ("lengths", "length-heading", "headings", "areas")}
    made_up |= {f"{code}-simpson" for code in ("offsets-smooth", "offsets-straight")}
    assert _codes_in_the_code() | made_up == set(WORDS)


@pytest.mark.parametrize("code", sorted(WORDS))
def test_words_read_as_a_sentence(code: str) -> None:
    """Lower case, no full stop, every figure filled in, in either system of units."""
    names = re.findall(r"{(\w+)}", "".join(WORDS[code]))
    figures: dict[str, float | str] = {}
    for name in names:
        source = name.replace("_azimuth", "_deg")
        figures[source] = 1.25 if re.search(r"_(m|m2|deg)$", source) else "X"
    for shown in (US, METRIC):
        text, hint = in_words(Finding(code=code, figures=figures), shown)
        assert "{" not in text + hint
        assert text[0].islower() or text[0] in "X3"
        assert not text.endswith(".")
        assert not hint.endswith(".")


def test_suspect_in_words() -> None:
    """A suspect names the length as taped, as it should be, and the likely mistake, in the user's units."""
    finding = Finding(
        code="tape-suspect",
        about=("A", "C"),
        figures={
            "tie": "A-C",
            "taped_m": 8.556625,
            "expected_m": 8.8636,
            "off_m": 0.307,
            "why": "a foot misread",
        },
    )
    text, hint = in_words(finding, US)
    assert text == (
        "A-C was taped 28'-0 7/8\", but the other lengths say 29'-1\", 1'-0 1/8\" off: a foot misread;"
        " tape it again"
    )
    assert hint == ""
    assert "8.557 m" in in_words(finding, METRIC)[0]


def test_unsolved_needs_a_reason() -> None:
    """A refusal without a finding is a mistake of the caller."""
    with pytest.raises(ValueError, match="at least one"):
        Unsolved([])
    assert str(Unsolved(Finding(code="walk-open"))) == "walk-open"
