"""The edge-kind table gives the lengths of two estimates worked by hand, and a plan can change it."""

from __future__ import annotations

import math

import pytest

from floorplan.plan.edge_kinds import SHIPPED
from floorplan.plan.reader import read_plan

# Both estimates: invented jobs worked by hand in feet (common practice, no source).
# Patio: a siding wall, a door-side slab, open sides (one an arc of chord 20.5, rise 3), two posts.
PATIO_FT = (
    ("siding", 31.5),
    ("open", 13.0 + 12.5 + 9.0 + 21.6511),
    ("slab", math.hypot(1.5, 22.0)),
    ("post", 4 * 16 / 12),
    ("post", math.pi * 1.0),
)
# Garage: stem walls, the door with two jambs of 6 in, a pad, the foot of a step, a drain, a column.
GARAGE_FT = (
    ("stem wall", 3 + 3 + 19 + 4 + 3.5 + 3 + 5 + math.hypot(3, 3) + 22.5),
    ("garage door", 16.0),
    ("wall", 1.0),
    ("low wall", 6.0),
    ("step up", 4 + 2 * 11 / 12),
    ("drain", 4.0),
    ("post", math.pi / 3),
)

SQUARE = '[[slab]]\noutline = """\nA 0, 0 | wall\nB 10, 0 | glass  Wall\nC 10, 10\n"""\n'


def total(edges: tuple[tuple[str, float], ...], flag: str) -> float:
    """Length of the edges whose kind has a flag set."""
    return sum(length for kind, length in edges if getattr(SHIPPED[kind], flag))


def test_patio_mask_and_hand_grind() -> None:
    """The whole outline and both posts are masked; the siding and the posts are ground by hand."""
    assert total(PATIO_FT, "mask") == pytest.approx(118.18, abs=0.01)
    assert total(PATIO_FT, "hand_grind") == pytest.approx(39.98, abs=0.01)


def test_garage_mask_and_hand_grind() -> None:
    """All but the coated step is masked; the estimate adds 4 ft of wall above the step."""
    assert total(GARAGE_FT, "mask") + 4.0 == pytest.approx(99.29, abs=0.01)
    assert total(GARAGE_FT, "hand_grind") == pytest.approx(85.12, abs=0.01)


def test_unknown_counts_as_in_the_way() -> None:
    """A side that nobody described is ground by hand and masked, never taken for open."""
    assert SHIPPED["unknown"].hand_grind
    assert SHIPPED["unknown"].mask


def test_kinds_of_the_design_are_all_there() -> None:
    """Each kind that a plan may name has its row, under its own name."""
    names = (
        "wall, siding, open, step up, step down, garage door, threshold, slab, post, fence, low wall, "
        "stem wall, coping, drain, unknown"
    )
    assert tuple(SHIPPED) == tuple(names.split(", "))
    assert all(kind.name == name for name, kind in SHIPPED.items())


def test_only_the_fence_has_its_own_gap_and_band() -> None:
    """Everywhere else the grinder's gap and band hold, so that changing them changes the takeoff."""
    own = {name for name, kind in SHIPPED.items() if kind.gap or kind.band or kind.overhang}
    assert own == {"fence"}


def test_plan_adds_and_changes_kinds() -> None:
    """A new kind starts in the way and masked; a changed row keeps what is not typed."""
    plan = read_plan(
        SQUARE
        + '[edge_kind."Glass wall"]\nbrush = false\nmask_height = "8 ft"\n[edge_kind.wall]\ngap = "3 in"\n'
    )
    glass, wall = plan.edge_kinds["glass wall"], plan.edge_kinds["wall"]
    assert (glass.hand_grind, glass.mask, glass.brush) == (True, True, False)
    assert glass.mask_height is not None
    assert glass.mask_height.m == pytest.approx(8 * 0.3048)
    assert wall.gap is not None
    assert wall.gap.m == pytest.approx(3 * 0.0254)
    assert wall.note == SHIPPED["wall"].note
    assert plan.slabs[0].shape.sides[1].kind == "glass wall"  # type: ignore[union-attr]
    assert "glass wall" not in SHIPPED


def test_plan_kinds_cannot_be_changed_later() -> None:
    """The table of a plan is closed."""
    plan = read_plan(SQUARE.replace("| glass  Wall", ""))
    with pytest.raises(TypeError):
        plan.edge_kinds["wall"] = SHIPPED["open"]  # type: ignore[index]
