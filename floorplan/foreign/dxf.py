"""A DXF file, text or binary, of any version: line work, layers, texts, and what was left out.

Only the model space is read; paper space, hidden layers' line work and everything that is no line work is
counted. A damaged entity is left out and named. Traps met in real files: headers that lack a version, unit or
layer table; entities without subclass marks; group codes in the order 10 11 20 21; a z scale of 0 in an
INSERT.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

import numpy as np

from ..errors import Notice
from . import blocks as b
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
from .model import DimensionText, Source
from .placer import KIND_INDEX, KINDS, Placer
from .planes import STRAIGHT_UP, Vector, plane_of, unmoved
from .strokes import Strokes
from .tags import Damage, Group, GroupStream, groups
from .texts import codec_of, decoded, plain, printable

_TEXTS: Final = ("TEXT", "MTEXT", "ATTRIB")
_MOST_DIMENSIONS: Final = 200
_MOST_HATCHES: Final = 1_000


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
        self._placer = Placer(self._layers)
        self._hatches: list[Group] = []
        self._dimensions: list[DimensionText] = []
        self._losses: list[Notice] = []
        self._told: list[Notice] = []
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
            self._placer.leave_out(kind, layer, "on a sheet (paper space), not in the model")
            return
        if group.broken:
            self._placer.leave_out(kind, layer, "damaged")
            return
        if 60 in group.codes and group.whole(60) == 1:
            self._placer.leave_out(kind, layer, "made invisible")
            return
        try:
            self._usable(group, vertices, block)
            for attribute in attributes:
                self._usable(attribute, [], block)
        except NothingDrawn as error:
            self._placer.leave_out(kind, layer, str(error))
        except (ValueError, OverflowError, ArithmeticError):
            self._placer.leave_out(kind, layer, "numbers unreadable")

    def _usable(self, group: Group, vertices: list[Group], block: b.Block | None) -> None:
        kind = group.kind
        if kind in SHAPES:
            shape = SHAPES[kind](group, vertices)
            item = b.Item(group.raw(8), KIND_INDEX[kind], shape)
            if block is not None:
                block.items.append(item)
            else:
                self._placer.put(item, None, b"")
        elif kind in _TEXTS:
            self._label(group, block)
        elif kind == "INSERT":
            (self._inserts if block is None else block.inserts).append(self._insert(group))
        elif kind == "HATCH" and block is None:
            self._placer.leave_out(kind, group.raw(8), WHY_LEFT_OUT[kind])
            if len(self._hatches) < _MOST_HATCHES:
                self._hatches.append(group)
        else:
            if kind == "DIMENSION" and len(self._dimensions) < _MOST_DIMENSIONS:
                self._dimension(group)
            why = WHY_LEFT_OUT.get(kind, "not known as line work")
            if block is None:
                self._placer.leave_out(kind, group.raw(8), why)
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
            self._placer.put_text(text, unmoved(), b"")

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

    # -- the end --------------------------------------------------------------------------------------------

    def _put_down_blocks(self) -> None:
        census = b.Census(self._blocks)
        total = sum(max(1, i.columns * i.rows) * (census.of(i.name) + 1) for i in self._inserts)
        if total > b.MOST_PUT_DOWN:
            self._losses.append(bomb_notice(total))
            return
        sink = self._placer.sink()
        usable = {name: block for name, block in self._blocks.items() if name not in census.refused}
        for refusal in census.refused.values():
            self._told.append(refused_notice(refusal, self._blocks))
        for insert in self._inserts:
            if insert.name in census.refused:
                why = f"block {insert.name} {REFUSED[census.refused[insert.name].why]}"
                self._placer.leave_out("INSERT", insert.layer, why)
            b.put_down_block(insert, usable, sink)

    def _where(self) -> Where:
        return Where(self._sections, self._section, self._entities, self._whole)

    def _finished(self, binary: bool) -> Source:
        strokes = self._placer.strokes()
        code = header_number(self._header, "$INSUNITS")
        said = INSUNITS.get(code) if code is not None else None
        return Source(
            name=self._name,
            form=form_of(self._header, binary=binary),
            strokes=strokes,
            layers=self._layers.rows(),
            kinds=KINDS,
            labels=self._placer.labels(),
            left_out=self._placer.left_out(),
            unit_m=said[1] if said else None,
            unit_said=f"{said[0]} ($INSUNITS {code})" if said else "",
            dimensions=tuple(self._dimensions),
            hatches=_hatch_reader(self._hatches, self._layers) if self._hatches else None,
            notices=(
                *notices_of(self._name, self._header, self._placer.heights, self._damage),
                *self._told,
            ),
            damage=(*self._losses, *losses_of(self._name, self._damage, self._where())),
            header=self._header,
        )


def _hatch_reader(groups_: list[Group], layers: LayerTable) -> Callable[[], Strokes]:
    """Reads the outlines of hatches when they are asked for: the library that can is slow to load."""

    def read() -> Strokes:
        from .hatches import boundaries

        placer = Placer(layers)
        with np.errstate(all="ignore"):
            for group in groups_:
                try:
                    for shape in boundaries(group):
                        placer.put(b.Item(group.raw(8), KIND_INDEX["HATCH"], shape), None, b"")
                except (ValueError, ArithmeticError):
                    continue  # it was counted as left out already, like every hatch
            return placer.strokes()

    return read
