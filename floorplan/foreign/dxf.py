"""A DXF file, text or binary, of any version: line work, layers, texts, and what was left out.

Only the model space is read; paper space, hidden layers' line work and everything that is no line work is
counted. A damaged entity is left out and named. Traps met in real files: headers that lack a version, unit or
layer table; entities without subclass marks; group codes in the order 10 11 20 21; a z scale of 0 in an
INSERT.
"""

from __future__ import annotations

import itertools
from collections import Counter
from typing import Final

import numpy as np

from ..errors import Notice
from . import blocks as b
from .curves import Chains
from .drawing_units import INSUNITS
from .dxf_report import (
    REFUSED,
    Where,
    bomb_notice,
    form_of,
    header_number,
    losses_of,
    notices_of,
    refused_notice,
)
from .entities import SHAPES, WHY_LEFT_OUT, NothingDrawn, normal_of
from .layer_table import LayerTable
from .model import DimensionText, Label, LeftOut, Source
from .planes import STRAIGHT_UP, Placement, Vector, plane_of, unmoved
from .shapes import Nurbs, Shape, flat_spline, height_of, is_upright, put_down, spline_down
from .splines import Spline, spline_chains
from .strokes import StrokeBook, Strokes, sound
from .tags import Damage, Group, GroupStream, groups
from .texts import codec_of, decoded, plain, printable

_TEXTS: Final = ("TEXT", "MTEXT", "ATTRIB")
_KINDS: Final = (*SHAPES, "HATCH")
_KIND_INDEX: Final = {kind: i for i, kind in enumerate(_KINDS)}
_MOST_LABELS: Final = 20_000
_MOST_DIMENSIONS: Final = 200
_SPLINES_AT_ONCE: Final = 2_000


def read_dxf(data: bytes, name: str) -> Source:
    """Everything that a DXF file holds in its model space; never a fault, see `Source.damage`."""
    # Numbers beyond all reach are sorted out at the end; on the way they may overflow.
    with np.errstate(all="ignore"):
        return _Reader(data, name).source()


class _Reader:
    """State of one reading: what was collected so far."""

    def __init__(self, data: bytes, name: str) -> None:
        self._name = name
        self._data = data
        self._damage = Damage()
        self._header: dict[str, str] = {}
        self._layers = LayerTable()
        self._blocks: dict[str, b.Block] = {}
        self._inserts: list[b.Insert] = []
        self._book, self._hatch_book = StrokeBook(), StrokeBook()
        self._splines: list[tuple[Spline, int, int]] = []
        self._labels: list[Label] = []
        self._left_out: Counter[tuple[str, int, str]] = Counter()
        self._dimensions: list[DimensionText] = []
        self._losses: list[Notice] = []
        self._told: list[Notice] = []
        self._low, self._high = float("inf"), float("-inf")
        self._section, self._sections = "", 0
        self._entities, self._whole = 0, False

    # -- the file, section by section -----------------------------------------------------------------------

    def source(self) -> Source:
        stream = GroupStream(groups(self._data, self._damage))
        for group in stream:
            if group.kind == "SECTION":
                self._begin(group)
            elif group.kind == "ENDSEC":
                self._whole = self._whole or self._section == "ENTITIES"
                self._section = ""
            elif self._section == "TABLES":
                if group.kind == "LAYER":
                    self._layers.declare(group)
            elif self._section == "BLOCKS":
                if group.kind == "BLOCK":
                    self._block(group, stream)
            elif self._section == "ENTITIES":
                self._entity(group, stream, None)
        binary = self._data[:22].startswith(b"AutoCAD Binary")
        self._data = b""
        self._put_down_blocks()
        self._draw_splines()
        return self._finished(binary)

    def _begin(self, group: Group) -> None:
        self._section = group.raw(2).decode("latin-1").upper()
        self._sections += 1
        if self._section == "HEADER":
            self._read_header(group)

    def _read_header(self, group: Group) -> None:
        wanted = {b"$ACADVER", b"$DWGCODEPAGE", b"$INSUNITS", b"$MEASUREMENT"}
        variable = b""
        for code, value in zip(group.codes, group.values, strict=True):
            if code == 9 and isinstance(value, bytes):
                variable = value.strip().upper()
            elif variable in wanted:
                shown = value.strip().decode("latin-1") if isinstance(value, bytes) else str(value)
                self._header.setdefault(variable.decode(), printable(shown))
        self._layers.codec = codec_of(self._header.get("$DWGCODEPAGE", ""))

    def _block(self, group: Group, stream: GroupStream) -> None:
        name = self._layers.text(group.raw(2)) or self._layers.text(group.raw(3))
        outside = self._layers.text(group.raw(1)) if group.whole(70) & (4 | 8) else ""
        reference = outside or ("?" if group.whole(70) & (4 | 8) else "")
        block = b.Block(name, (group.number(10), group.number(20), group.number(30)), reference)
        # The sheets' own blocks are no part of the model; that of the model stands in ENTITIES.
        kept = not name.upper().startswith(("*PAPER_SPACE", "$PAPER_SPACE"))
        for inner in stream:
            if inner.kind == "ENDBLK":
                break
            if inner.kind in ("ENDSEC", "SECTION", "BLOCK"):
                stream.put_back(inner)
                break
            if kept:
                self._entity(inner, stream, block)
        if kept:
            self._blocks[name.upper()] = block

    # -- entities -------------------------------------------------------------------------------------------

    def _entity(self, group: Group, stream: GroupStream, block: b.Block | None) -> None:
        kind = group.kind
        if kind in ("ATTRIB", "SEQEND", "VERTEX", "ENDBLK", "EOF"):
            return
        vertices: list[Group] = []
        attributes: list[Group] = []
        if kind == "POLYLINE" or (kind == "INSERT" and group.whole(66)):
            followers = vertices if kind == "POLYLINE" else attributes
            for follower in stream:
                if follower.kind not in ("VERTEX", "ATTRIB"):
                    if follower.kind != "SEQEND":
                        stream.put_back(follower)
                    break
                followers.append(follower)
        if block is None:
            self._entities += 1
        layer = group.raw(8)
        if 67 in group.codes and group.whole(67) == 1 and block is None:
            self._leave_out(kind, layer, "on a sheet (paper space), not in the model")
            return
        if group.broken:
            self._leave_out(kind, layer, "damaged")
            return
        if 60 in group.codes and group.whole(60) == 1:
            self._leave_out(kind, layer, "made invisible")
            return
        try:
            self._usable(group, vertices, block)
            for attribute in attributes:
                self._usable(attribute, [], block)
        except NothingDrawn as error:
            self._leave_out(kind, layer, str(error))
        except (ValueError, OverflowError, ArithmeticError):
            self._leave_out(kind, layer, "numbers unreadable")

    def _usable(self, group: Group, vertices: list[Group], block: b.Block | None) -> None:
        kind = group.kind
        if kind in SHAPES:
            shape = SHAPES[kind](group, vertices)
            item = b.Item(group.raw(8), _KIND_INDEX[kind], shape)
            if block is not None:
                block.items.append(item)
            else:
                self._put(item, None, b"")
        elif kind in _TEXTS:
            self._label(group, block)
        elif kind == "INSERT":
            (self._inserts if block is None else block.inserts).append(self._insert(group))
        elif kind == "HATCH" and block is None:
            self._leave_out(kind, group.raw(8), WHY_LEFT_OUT[kind])
            from .hatches import boundaries

            for shape in boundaries(group):
                self._put(b.Item(group.raw(8), _KIND_INDEX["HATCH"], shape), None, b"")
        else:
            if kind == "DIMENSION" and len(self._dimensions) < _MOST_DIMENSIONS:
                self._dimension(group)
            why = WHY_LEFT_OUT.get(kind, "not known as line work")
            if block is None:
                self._leave_out(kind, group.raw(8), why)
            else:
                block.others.append(b.Other(group.raw(8), kind, why))

    def _dimension(self, group: Group) -> None:
        words, measured = plain(self._layers.text(group.raw(1)), many_lines=True), group.number(42)
        if words and words != "<>" and measured > 0.0:
            self._dimensions.append(DimensionText(words, measured))

    def _label(self, group: Group, block: b.Block | None) -> None:
        if group.kind == "MTEXT":
            raw = b"".join(
                v.rstrip(b"\r\n")
                for c, v in zip(group.codes, group.values, strict=True)
                if c in (1, 3) and isinstance(v, bytes)
            )
            words = plain(decoded(raw, self._layers.codec), many_lines=True)
            at = (group.number(10), group.number(20), group.number(30))
        else:
            words = plain(self._layers.text(group.raw(1)))
            # A justified text is placed by its second point.
            second = 11 in group.codes and (group.whole(72) or group.whole(73) or group.whole(74))
            at = tuple(group.number((11 if second else 10) + k) for k in (0, 10, 20))  # type: ignore[assignment]
            normal = normal_of(group)
            if normal != STRAIGHT_UP:
                x, y, z = plane_of(normal)[:, :3] @ at
                at = (float(x), float(y), float(z))
        if not words:
            return
        text = b.Text(group.raw(8), words, at)
        if block is not None:
            block.texts.append(text)
        else:
            self._put_text(text, unmoved(), b"")

    def _insert(self, group: Group) -> b.Insert:
        # A scale of 0 is written by some exporters for "not scaled"; read so it keeps the block.
        scale: Vector = tuple(group.number(code, 1.0) or 1.0 for code in (41, 42, 43))  # type: ignore[assignment]
        at: Vector = tuple(group.number(code) for code in (10, 20, 30))  # type: ignore[assignment]
        return b.Insert(
            group.raw(8),
            self._layers.text(group.raw(2)).upper(),
            at,
            scale,
            group.number(50),
            normal_of(group),
            max(1, group.whole(70, 1)),
            max(1, group.whole(71, 1)),
            group.number(44),
            group.number(45),
        )

    # -- putting down ---------------------------------------------------------------------------------------

    def _put(self, item: b.Item, placement: Placement | None, insert_layer: bytes) -> None:
        layer = insert_layer if insert_layer and item.layer in (b"", b"0") else item.layer
        kind = _KINDS[item.kind]
        try:
            if is_upright(item.shape, placement):
                self._leave_out(kind, layer, "stands upright, seen edge-on")
                return
            if isinstance(item.shape, Nurbs):
                self._splines.append(
                    (flat_spline(item.shape, placement), self._layers.index(layer), item.kind)
                )
                if placement is None:
                    self._note_height(item.shape)
                return
            drawn = put_down(item.shape, placement)
        except (ValueError, OverflowError) as error:
            known = isinstance(error, NothingDrawn) or type(error) is ValueError
            self._leave_out(kind, layer, str(error) if known else "numbers unreadable")
            return
        if placement is None:
            self._note_height(item.shape)
        book = self._hatch_book if kind == "HATCH" else self._book
        book.add(
            drawn.points, drawn.bulges, closed=drawn.closed, layer=self._layers.index(layer), kind=item.kind
        )

    def _note_height(self, shape: Shape) -> None:
        low, high = height_of(shape)
        self._low, self._high = min(self._low, low), max(self._high, high)

    def _put_text(self, text: b.Text, placement: Placement, insert_layer: bytes) -> None:
        if len(self._labels) >= _MOST_LABELS:
            return
        layer = insert_layer if insert_layer and text.layer in (b"", b"0") else text.layer
        x, y, _ = placement[:, :3] @ text.at + placement[:, 3]
        self._labels.append(
            Label(text.text, float(x), float(y), self._layers[self._layers.index(layer)].name)
        )

    def _put_other(self, other: b.Other, insert_layer: bytes) -> None:
        layer = insert_layer if insert_layer and other.layer in (b"", b"0") else other.layer
        self._leave_out(other.kind, layer, other.why)

    def _put_down_blocks(self) -> None:
        census = b.Census(self._blocks)
        total = sum(max(1, i.columns * i.rows) * (census.of(i.name) + 1) for i in self._inserts)
        if total > b.MOST_PUT_DOWN:
            self._losses.append(bomb_notice(total))
            return
        sink = b.Sink(self._put, self._put_text, self._put_other)
        usable = {name: block for name, block in self._blocks.items() if name not in census.refused}
        for refusal in census.refused.values():
            self._told.append(refused_notice(refusal, self._blocks))
        for insert in self._inserts:
            if insert.name in census.refused:
                why = f"block {insert.name} {REFUSED[census.refused[insert.name].why]}"
                self._leave_out("INSERT", insert.layer, why)
            b.put_down_block(insert, usable, sink)

    def _draw_splines(self) -> None:
        """Splines come last, many at once: one by one they take longer than all else together."""
        self._splines.sort(key=lambda row: row[0].degree)
        for _, group in itertools.groupby(self._splines, key=lambda row: row[0].degree):
            rows = list(group)
            for start in range(0, len(rows), _SPLINES_AT_ONCE):
                some = rows[start : start + _SPLINES_AT_ONCE]
                drawn = spline_chains([spline for spline, _, _ in some])
                for k, (_, layer, kind) in enumerate(some):
                    self._add_spline(drawn, k, layer, kind)
        self._splines.clear()

    def _add_spline(self, drawn: Chains, k: int, layer: int, kind: int) -> None:
        try:
            on_plan = spline_down(*drawn.one(k))
        except ValueError as error:
            self._left_out[_KINDS[kind], layer, str(error)] += 1
            return
        book = self._hatch_book if _KINDS[kind] == "HATCH" else self._book
        book.add(on_plan.points, on_plan.bulges, closed=on_plan.closed, layer=layer, kind=kind)

    def _leave_out(self, kind: str, layer: bytes, why: str) -> None:
        self._left_out[printable(kind)[:40], self._layers.index(layer), why] += 1

    def _where(self) -> Where:
        return Where(self._sections, self._section, self._entities, self._whole)

    # -- the end --------------------------------------------------------------------------------------------

    def _finished(self, binary: bool) -> Source:
        strokes = self._checked(self._book.strokes())
        hatches = self._checked(self._hatch_book.strokes())
        code = header_number(self._header, "$INSUNITS")
        said = INSUNITS.get(code) if code is not None else None
        return Source(
            name=self._name,
            form=form_of(self._header, binary=binary),
            strokes=strokes,
            layers=self._layers.rows(),
            kinds=_KINDS,
            labels=tuple(self._labels),
            left_out=tuple(
                LeftOut(kind, self._layers[layer].name, count, why)
                for (kind, layer, why), count in self._left_out.items()
            ),
            unit_m=said[1] if said else None,
            unit_said=f"{said[0]} ($INSUNITS {code})" if said else "",
            dimensions=tuple(self._dimensions),
            hatches=hatches if len(hatches) else None,
            notices=(
                *notices_of(self._name, self._header, (self._low, self._high), self._damage),
                *self._told,
            ),
            damage=(*self._losses, *losses_of(self._name, self._damage, self._where())),
            header=self._header,
        )

    def _checked(self, strokes: Strokes) -> Strokes:
        """Without strokes whose numbers are no places on a drawing."""
        good = sound(strokes)
        for k in (~good).nonzero()[0]:
            key = (_KINDS[int(strokes.kind[k])], int(strokes.layer[k]), "coordinates out of all reach")
            self._left_out[key] += 1
        return strokes.chosen(good)
