"""New plans read without a fault or a warning and show each way to give a shape."""

from __future__ import annotations

import pytest

from floorplan.plan.model import OffsetsShape, OutlineShape, TapeShape, WalkShape
from floorplan.plan.reader import read_plan
from floorplan.plan.starters import SHAPES, starter
from floorplan.units.length import UnitStyle


@pytest.mark.parametrize("shape", SHAPES)
def test_starter_reads_clean(shape: str) -> None:
    """No fault, no warning, no side left unknown, and a comment that says how to go on."""
    text = starter(shape)
    plan = read_plan(text, f"{shape}.toml")
    assert plan.notices == ()
    assert plan.title
    assert text.startswith("#")
    found = plan.slabs[0].shape
    if isinstance(found, OutlineShape):
        assert all(side.kind != "unknown" for side in found.sides)


def test_starters_show_every_shape() -> None:
    """Typed, walked, taped, by offsets; and one in metres."""
    found = {shape: read_plan(starter(shape)) for shape in SHAPES}
    assert isinstance(found["rectangle"].slabs[0].shape, OutlineShape)
    assert isinstance(found["walk"].slabs[0].shape, WalkShape)
    assert isinstance(found["tape"].slabs[0].shape, TapeShape)
    assert isinstance(found["offsets"].slabs[0].shape, OffsetsShape)
    assert found["metric"].units is UnitStyle.M


def test_unknown_starter() -> None:
    """A name that is not offered is the caller's mistake."""
    with pytest.raises(KeyError):
        starter("../rectangle")
