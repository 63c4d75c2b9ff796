"""What stands on a page of its own slabs, and what belongs to another page."""

from __future__ import annotations

import pytest
import shapes

import floorplan
from floorplan.drawing.job import Job
from floorplan.errors import Notice
from floorplan.units.figures import Figures
from floorplan.values import replace


def two_slabs(*group: int) -> Job:
    """A page with some slabs of a plan that has "Porch" and "Porch roof"."""
    porch = replace(shapes.slab(shapes.rectangle(20, 10)), name="Porch")
    roof = replace(shapes.slab(shapes.rectangle(5, 4)), name="Porch roof")
    plan = shapes.plan(porch, roof)
    return Job(plan=plan, takeoff=floorplan.takeoff(plan), figures=Figures(plan.units), group=group)


@pytest.mark.parametrize(
    ("where", "group", "elsewhere"),
    [
        ("slab Porch", (0,), False),
        ("slab Porch, side A-B", (0,), False),
        ("slab Porch", (1,), True),
        ("slab Porch, side A-B", (1,), True),
        ("slab Porch roof", (0,), True),
        ("slab Porch roof", (1,), False),
        ("", (0,), False),
        ("slab Porch roof", (), False),
    ],
)
def test_warning_stands_on_the_page_of_its_slab(where: str, group: tuple[int, ...], elsewhere: bool) -> None:
    """What is said of a slab stands on its page alone, of none on every page; names are taken whole."""
    assert two_slabs(*group).is_elsewhere(Notice(code="x", text="y", where=where)) is elsewhere


def test_edges_are_named_with_their_slab_where_a_page_has_several() -> None:
    """Letters alone on a page of one slab."""
    for group, text in (((0,), "A-B"), ((), "Porch A-B"), ((0, 1), "Porch A-B")):
        job = two_slabs(*group)
        assert job.label(job.slabs[0], "A-B") == text
