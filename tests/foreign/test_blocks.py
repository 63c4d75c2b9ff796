"""Blocks: nested, turned, mirrored, stretched, in rows, missing, cyclic, and bombs; against ezdxf."""

from __future__ import annotations

import math
import time
from typing import Any

import ezdxf
import numpy as np
import pytest
from foreign.made import areas, entities, pairs, written

from floorplan.errors import DrawingFileError
from floorplan.foreign.drawing import find_loops
from floorplan.foreign.model import Source
from floorplan.foreign.reader import read_source
from floorplan.geometry.rings import Ring


def _document() -> Any:
    document: Any = ezdxf.new("R2010", units=6)
    block = document.blocks.new("PART", base_point=(1, 1))
    block.add_lwpolyline([(0, 0, 0), (4, 0, 0), (4, 2, 0.5), (0, 2, 0)], format="xyb", close=True)
    block.add_circle((10, 10), 1, dxfattribs={"layer": "POST"})
    block.add_text("part").set_placement((1, 1))
    return document


def _read(document: Any) -> Source:
    return read_source(written(document), "blocks.dxf")


def _exploded_areas(document: Any) -> list[float]:
    """Areas of polylines, circles and ellipses as ezdxf explodes them."""
    found = []
    waiting = list(document.modelspace())
    while waiting:
        entity = waiting.pop()
        kind = entity.dxftype()
        if kind == "INSERT":
            waiting += list(entity.multi_insert()) if entity.mcount > 1 else list(entity.virtual_entities())
        elif kind == "LWPOLYLINE":
            rows = entity.get_points("xyb")
            found.append(Ring([r[:2] for r in rows], [r[2] for r in rows]).area_m2)
        elif kind == "CIRCLE":
            found.append(math.pi * entity.dxf.radius**2)
        elif kind == "ELLIPSE":
            found.append(math.pi * entity.dxf.major_axis.magnitude**2 * entity.dxf.ratio)
    return sorted(found, reverse=True)


@pytest.mark.parametrize(
    "attributes",
    [
        {},
        {"rotation": 30},
        {"xscale": 2.5, "yscale": 2.5, "zscale": 2.5},
        {"xscale": -1},
        {"xscale": -2, "yscale": 2, "rotation": 75},
        {"extrusion": (0, 0, -1)},
        {"column_count": 3, "row_count": 2, "column_spacing": 30, "row_spacing": 40, "rotation": 20},
    ],
    ids=str,
)
def test_placed_block_agrees_with_reference(attributes: dict[str, Any]) -> None:
    """Areas of a placed block are those that ezdxf's explosion has."""
    document = _document()
    document.modelspace().add_blockref("PART", (7, -3), dxfattribs=attributes)
    assert areas(find_loops(_read(document))) == pytest.approx(_exploded_areas(document), rel=1e-9)


def test_uneven_scale_makes_ellipses() -> None:
    """A block stretched 3 by 2 has six times the area, arcs and circles included."""
    document = _document()
    once = areas(find_loops(read_source(written(_placed(_document(), {})), "a.dxf")))
    document.modelspace().add_blockref("PART", (0, 0), dxfattribs={"xscale": 3, "yscale": 2})
    assert areas(find_loops(_read(document))) == pytest.approx([6 * a for a in once], rel=2e-5)


def _placed(document: Any, attributes: dict[str, Any]) -> Any:
    document.modelspace().add_blockref("PART", (0, 0), dxfattribs=attributes)
    return document


def test_z_scale_of_zero_is_read_as_one() -> None:
    """Some exporters write a z scale of 0; the block is not lost."""
    document = _placed(_document(), {"zscale": 0})
    assert len(areas(find_loops(_read(document)))) == 2


def test_nested_blocks_and_layers() -> None:
    """Layer 0 in a block is the insert's layer, however deep; a named layer stays."""
    document = _document()
    outer = document.blocks.new("OUTER")
    outer.add_blockref("PART", (5, 5), dxfattribs={"rotation": 45})
    document.modelspace().add_blockref(
        "OUTER", (1, 1), dxfattribs={"layer": "SLAB", "xscale": 2, "yscale": 2}
    )
    drawing = find_loops(_read(document))
    assert sorted(drawing.layer_name(k) for k in drawing.outlines()) == ["POST", "SLAB"]
    assert areas(drawing) == pytest.approx(_exploded_areas(document), rel=1e-9)
    assert [label.layer for label in drawing.source.labels] == ["SLAB"]


def test_attributes_of_an_insert_are_texts() -> None:
    """The words filled into a block's form name the ring that they stand in."""
    document = _document()
    document.modelspace().add_blockref("PART", (1, 1)).add_attrib("NAME", "Porch", (1, 1))
    drawing = find_loops(_read(document))
    assert any("Porch" in name for name in drawing.names)


def test_random_placements_agree_with_reference() -> None:
    """Nested random placements of one scale each have the areas of ezdxf's explosion."""
    dice = np.random.default_rng(9)
    for _ in range(10):
        document = _document()
        outer = document.blocks.new("OUTER", base_point=tuple(dice.uniform(-5, 5, 2)))
        for name, space in (("PART", outer), ("OUTER", document.modelspace())):
            scale = float(dice.uniform(0.5, 2))
            space.add_blockref(
                name,
                tuple(dice.uniform(-20, 20, 2)),
                dxfattribs={
                    "xscale": scale * float(dice.choice((-1, 1))),
                    "yscale": scale,
                    "zscale": scale,
                    "rotation": float(dice.uniform(0, 360)),
                },
            )
        assert areas(find_loops(_read(document))) == pytest.approx(_exploded_areas(document), rel=1e-9)


def test_missing_block_is_told() -> None:
    """An INSERT of a block that is not there is left out, with a warning that names it."""
    source = read_source(entities((0, "INSERT"), (2, "NOWHERE"), (10, 0), (20, 0)), "x.dxf")
    assert [notice.text for notice in source.notices] == ["block NOWHERE is missing"]
    assert [left.why for left in source.left_out] == ["block NOWHERE is missing"]


def _blocks(*blocks: list[tuple[int, object]], model: list[tuple[int, object]]) -> bytes:
    tags = [tag for block in blocks for tag in block]
    head = pairs((0, "SECTION"), (2, "BLOCKS"), *tags, (0, "ENDSEC"))
    return head + entities(*model)


def _block(name: str, *content: tuple[int, object]) -> list[tuple[int, object]]:
    return [(0, "BLOCK"), (2, name), (10, 0), (20, 0), *content, (0, "ENDBLK")]


def _insert(name: str) -> list[tuple[int, object]]:
    return [(0, "INSERT"), (2, name), (10, 0), (20, 0)]


def test_blocks_that_hold_themselves() -> None:
    """A cycle of blocks is told by name, in no time, and what is outside it is read."""
    data = _blocks(
        _block("A", *_insert("B") * 10),
        _block("B", *_insert("A") * 10, (0, "CIRCLE"), (10, 0), (20, 0), (40, 1)),
        model=[*_insert("A"), (0, "CIRCLE"), (10, 9), (20, 9), (40, 2)],
    )
    start = time.perf_counter()
    source = read_source(data, "x.dxf")
    assert time.perf_counter() - start < 1.0
    assert {notice.code for notice in source.notices} == {"drawing-block-cyclic"}
    assert areas(find_loops(source)) == pytest.approx([4 * math.pi])


def test_block_bomb_is_refused() -> None:
    """Nine levels of ten inserts each would be 10^9 circles: refused at once, with the limit."""
    blocks = [_block("B0", (0, "CIRCLE"), (10, 0), (20, 0), (40, 1))]
    blocks += [_block(f"B{k}", *_insert(f"B{k - 1}") * 10) for k in range(1, 10)]
    start = time.perf_counter()
    with pytest.raises(DrawingFileError, match="above the limit of 500,000"):
        read_source(_blocks(*blocks, model=_insert("B9")), "x.dxf")
    assert time.perf_counter() - start < 1.0


def test_rows_and_columns_without_end_are_refused() -> None:
    """An INSERT of 30,000 by 30,000 copies is a bomb too, even of an empty block."""
    insert = [*_insert("E"), (70, 30000), (71, 30000), (44, 1), (45, 1)]
    with pytest.raises(DrawingFileError, match="above the limit"):
        read_source(_blocks(_block("E"), model=insert), "x.dxf")


def test_blocks_stand_too_deep() -> None:
    """A chain of a thousand blocks is refused without running out of stack."""
    blocks = [_block("B0", (0, "CIRCLE"), (10, 0), (20, 0), (40, 1))]
    blocks += [_block(f"B{k}", *_insert(f"B{k - 1}")) for k in range(1, 1000)]
    source = read_source(_blocks(*blocks, model=_insert("B999")), "x.dxf")
    assert [notice.code for notice in source.notices] == ["drawing-block-deep"]


def test_external_reference_is_told() -> None:
    """A block that is another file is named with its path."""
    block = [(0, "BLOCK"), (2, "SITE"), (70, 4), (1, "site/base.dxf"), (10, 0), (20, 0), (0, "ENDBLK")]
    (notice,) = read_source(_blocks(block, model=_insert("SITE")), "x.dxf").notices
    assert notice.code == "drawing-reference"
    assert "site/base.dxf" in notice.text


def test_what_a_block_holds_besides_lines_is_counted() -> None:
    """A hatch inside a placed block is left out and counted, once for each copy."""
    document = _document()
    document.blocks["PART"].add_solid([(0, 0), (1, 0), (0, 1)])
    for x in (0, 20):
        document.modelspace().add_blockref("PART", (x, 0))
    source = _read(document)
    assert [(left.kind, left.count) for left in source.left_out] == [("SOLID", 2)]
