"""Planes and placements agree with ezdxf's own matrices."""

from __future__ import annotations

import numpy as np
import pytest
from ezdxf.math import OCS, Vec3

from floorplan.foreign.planes import (
    STRAIGHT_UP,
    placed_block,
    plane_of,
    similarity,
    stands_upright,
    then,
    unmoved,
)

DICE = np.random.default_rng(20270504)
NORMALS = [
    (0.0, 0.0, 1.0),
    (0.0, 0.0, -1.0),
    (1e-3, 0.0, 1.0),
    (0.02, 0.0, 1.0),
    *DICE.normal(size=(30, 3)).tolist(),
]


@pytest.mark.parametrize("normal", NORMALS)
def test_plane_agrees_with_reference(normal: tuple[float, float, float]) -> None:
    """The arbitrary axis algorithm gives what ezdxf gives, near the axis and far from it."""
    point = (3.0, -2.0, 5.0)
    ours = plane_of(tuple(normal))[:, :3] @ point
    assert ours == pytest.approx(tuple(OCS(Vec3(normal)).to_wcs(Vec3(point))), abs=1e-12)


def test_placed_block_agrees_with_reference() -> None:
    """Base point, scale, turn, shift and tilt of an INSERT come in the order that ezdxf has."""
    import ezdxf

    document = ezdxf.new()
    document.blocks.new("B", base_point=(1.0, 2.0, 0.5)).add_point((0, 0))
    for _ in range(20):
        at, scale = DICE.normal(size=3), DICE.uniform(0.2, 3.0, size=3) * DICE.choice((-1.0, 1.0), size=3)
        turn, normal = float(DICE.uniform(-180, 180)), DICE.normal(size=3)
        insert = document.modelspace().add_blockref(
            "B",
            tuple(at),
            dxfattribs={
                "xscale": scale[0],
                "yscale": scale[1],
                "zscale": scale[2],
                "rotation": turn,
                "extrusion": tuple(normal),
            },
        )
        placed = placed_block(
            at=tuple(at), base=(1.0, 2.0, 0.5), scale=tuple(scale), turn_deg=turn, normal=tuple(normal)
        )
        point = DICE.normal(size=3)
        ours = placed[:, :3] @ point + placed[:, 3]
        assert ours == pytest.approx(tuple(insert.matrix44().transform(Vec3(tuple(point)))), abs=1e-9)


def test_circles_stay_round_only_under_even_scale() -> None:
    """Even scale keeps circles, a mirror turns their bulges round, uneven scale makes ellipses."""
    assert similarity(unmoved()) == 1.0
    assert similarity(_scaled(2.0, 2.0, 1.0)) == 1.0
    assert similarity(_scaled(-2.0, 2.0, 1.0)) == -1.0
    assert similarity(_scaled(2.0, 2.001, 1.0)) == 0.0
    assert similarity(plane_of((0.0, 0.0, -1.0))) == -1.0
    assert similarity(plane_of((1.0, 0.0, 1.0))) == 0.0


def test_plane_seen_edge_on() -> None:
    """A plane that stands on edge encloses nothing on the plan."""
    assert stands_upright(plane_of((1.0, 0.0, 0.0)))
    assert not stands_upright(plane_of((1.0, 0.0, 0.01)))


def test_placements_join() -> None:
    """Doing one placement after the other is doing their join."""
    one, other = _scaled(2.0, 3.0, 4.0), plane_of((0.3, 0.2, 0.9))
    point = np.array((1.0, 2.0, 3.0))
    inner = one[:, :3] @ point + one[:, 3]
    assert then(other, one)[:, :3] @ point + then(other, one)[:, 3] == pytest.approx(
        other[:, :3] @ inner + other[:, 3]
    )


def _scaled(x: float, y: float, z: float) -> np.ndarray:
    return placed_block(
        at=(0.0, 0.0, 0.0), base=(0.0, 0.0, 0.0), scale=(x, y, z), turn_deg=25.0, normal=STRAIGHT_UP
    )
