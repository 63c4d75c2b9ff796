"""The schema and the reference say what the reader reads: no key more, no key less."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from floorplan.plan.edge_kinds import SHIPPED
from floorplan.plan.keys import Keys
from floorplan.plan.model import JointKind, Treatment
from floorplan.plan.reader import KEYS
from floorplan.plan.schema import edge_kind_reference, reference, schema
from floorplan.plan.starters import SHAPES, starter
from floorplan.system.reader import shipped

SAMPLES = sorted((Path(__file__).parents[2] / "sample_plans").glob("*.toml"))
VALIDATOR = jsonschema.Draft202012Validator(schema())


def table(path: str) -> dict[str, Any]:
    """The schema of a table by its dotted name."""
    found = schema()
    for name in path.split(".") if path else ():
        found = found["properties"][name]
        found = found.get("items", found)
        more = found.get("additionalProperties")
        found = more if isinstance(more, dict) else found
    return found


def test_schema_is_one() -> None:
    """It is valid by the meta-schema of its draft."""
    jsonschema.Draft202012Validator.check_schema(schema())


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_samples_are_valid(path: Path) -> None:
    """Every sample plan passes."""
    VALIDATOR.validate(tomllib.loads(path.read_text()))


@pytest.mark.parametrize("shape", SHAPES)
def test_starters_are_valid(shape: str) -> None:
    """So does every starter."""
    VALIDATOR.validate(tomllib.loads(starter(shape)))


@pytest.mark.parametrize(
    "text",
    [
        "titel = 'x'",
        "",
        "slab = []",
        "[[slab]]\nname = 'no shape'",
        "[[slab]]\noutline = ''\nwalk = ''",
        "units = 'feet'\n[[slab]]\noutline = ''",
        "[[slab]]\noutline = ''\n[[slab.joint]]\nlines = ''",
        "[[slab]]\noutline = ''\n[[slab.joint]]\nkind = 'grove'\nlines = ''",
        "[[slab]]\noutline = ''\n[[slab.cutout]]\nround = '1'\nsize = '1 x 1'",
        "[[slab]]\noutline = ''\n[edge_kind.wall]\nmask = 'yes'",
    ],
)
def test_mistakes_are_not_valid(text: str) -> None:
    """An editor marks unknown keys, missing ones, and those that shut each other out."""
    assert not VALIDATOR.is_valid(tomllib.loads(text))


@pytest.mark.parametrize("keys", list(KEYS.walk()), ids=lambda keys: keys.name or "top")
def test_every_key_is_in_the_schema_and_the_reference(keys: Keys) -> None:
    """Each declared key has its description and its row."""
    described = table(keys.name.replace("edge_kind.NAME", "edge_kind"))
    assert list(described["properties"]) == [key.name for key in keys.keys]
    assert described["additionalProperties"] is False
    assert all(value["description"] for value in described["properties"].values())
    text = reference()
    assert all(f"| `{key.name}` |" in text for key in keys.keys if key.keys is None)
    assert not keys.name or keys.header() in text


def test_words_that_an_editor_offers() -> None:
    """Joint kinds and treatments are closed lists; edge kinds and systems are offered, others allowed."""
    joint = table("slab.joint")["properties"]
    assert joint["kind"]["enum"] == [kind.value for kind in JointKind]
    assert joint["treatment"]["enum"] == [treatment.value for treatment in Treatment]
    assert table("slab.cutout")["properties"]["kind"]["examples"] == list(SHIPPED)
    assert table("slab")["properties"]["system"]["examples"] == list(shipped())
    assert "broom" in table("slab")["properties"]["surface"]["examples"]


@pytest.mark.parametrize("text", [reference(), edge_kind_reference()])
def test_reference_is_one_table(text: str) -> None:
    """Every line of the Markdown has as many cells as the first."""
    rows = [line.replace("\\|", "").count("|") for line in text.splitlines()]
    assert len(set(rows)) == 1


def test_edge_kinds_have_their_rows() -> None:
    """Each shipped kind has a row with what it means."""
    text = edge_kind_reference()
    assert "| wall | yes | 6 in high | yes | no |" in text
    assert "| step up | yes | no | yes | yes |" in text
    assert text.count("\n") == len(SHIPPED) + 2
