"""`[slab.dxf]`: a slab from a drawing file."""

from __future__ import annotations

import re

from ..files.cells import Cell
from ..foreign.drawing_units import UNITS
from ..patterns import pattern
from ..units.length import Length
from ..units.notation import Unreadable, shown
from .asked import Asked
from .edge_kinds import UNKNOWN
from .job import Job
from .keys import Holds, Key, Keys
from .model import DxfSource, JointKind, Treatment
from .sides import read_kind
from .spots import DASHES
from .treatments import NEVER, NEVER_HINT, usual

KEYS = Keys(
    "slab.dxf",
    "the shape from a drawing file; every key but file may be left out",
    (
        Key("file", Holds.TEXT, "the drawing, beside the plan", required=True, example='file = "slab.dxf"'),
        Key(
            "units",
            Holds.CHOICE,
            "unit of the drawing, where the file does not say or is wrong",
            "the file's own",
            choices=tuple(UNITS),
        ),
        Key(
            "scale",
            Holds.TEXT,
            "of an SVG: the scale of its paper, where the file does not say",
            "the file's own",
            'scale = "1:48"',
        ),
        Key(
            "outline",
            Holds.TEXTS,
            "layers of the outline, with wildcards",
            "every visible layer",
            'outline = "SLAB*"',
        ),
        Key("cutouts", Holds.TEXTS, "layers of the cut-outs", "rings inside the outline, by nesting"),
        Key("joints", Holds.TEXTS, "layers of the joints", "none"),
        Key(
            "edges",
            Holds.PAIRS,
            "what stands along sides drawn on a layer",
            "unknown",
            'edges = { "WALL*" = "wall" }',
        ),
        Key("text", Holds.TEXTS, "layers of the words that name rings", "every visible layer"),
        Key(
            "pick",
            Holds.TEXT,
            "the region to take where there are several: its words, number by size, a point in it, its layer",
            "the largest",
        ),
        Key("snap", Holds.LENGTH, "ends closer than this are joined", "1/4 in"),
        Key("known", Holds.TEXT, "one checked length, to prove the unit", example='known = "A-B = 24\'"'),
        Key("cutout_kind", Holds.KIND, "edge kind of the cut-outs", "unknown"),
        Key(
            "joint_kind",
            Holds.CHOICE,
            "what the joints are",
            "saw cut",
            choices=tuple(kind.value for kind in JointKind),
        ),
        Key(
            "joint_treatment",
            Holds.CHOICE,
            "what the crew does with them",
            "as for a joint",
            choices=tuple(treatment.value for treatment in Treatment),
        ),
    ),
)

_RATIO = pattern(r"\s*1\s*[:/]\s*([0-9]{1,6}(?:\.[0-9]{1,6})?)\s*")
_KNOWN = pattern(r"\s*(?:(\w+)\s*-\s*(\w+)\s*=)?\s*(.+)")


def read_source(job: Job, asked: Asked, who: str, *, outdoors: bool) -> DxfSource | None:
    """The drawing file as typed; None after a fault that leaves no file."""
    file = asked.file("file")
    name = asked.text("file")
    units, scale = _units(asked), asked.read("scale", read_ratio)
    outline, cutouts, joints, text = (asked.texts(key) for key in ("outline", "cutouts", "joints", "text"))
    edges = tuple((layer, read_kind(job, cell, f"{who}: edges")) for cell, layer in asked.pairs("edges"))
    kind_cell = asked.cell("cutout_kind")
    joint_kind = asked.choice("joint_kind", JointKind, JointKind.SAW_CUT) or JointKind.SAW_CUT
    treatment = asked.choice("joint_treatment", Treatment) or usual(joint_kind, outdoors=outdoors)
    if (joint_kind, treatment) in NEVER:
        asked.fault("joint-treatment-never", NEVER[joint_kind, treatment], "joint_treatment", NEVER_HINT)
    pick, snap, known = asked.text("pick"), asked.length("snap"), _known(job, asked, who)
    cutout_kind = UNKNOWN if kind_cell is None else read_kind(job, kind_cell, who)
    asked.finish()
    if file is None:
        return None
    return DxfSource(
        file=file,
        name=name,
        units=units,
        paper_scale=scale,
        outline=outline,
        cutouts=cutouts,
        joints=joints,
        edges=edges,
        text=text,
        pick=pick,
        snap=snap,
        known=known,
        cutout_kind=cutout_kind,
        joint_kind=joint_kind,
        joint_treatment=treatment,
        place=asked.place_of("file"),
    )


def read_ratio(text: str) -> float:
    """The scale of paper: 48 for `1:48`.

    Raises:
        Unreadable: anything else.
    """
    match = _RATIO.fullmatch(text)
    if match is None or not float(match[1]) > 0.0:
        raise Unreadable(
            "ratio-unreadable",
            f"cannot read the scale {shown(text.strip())}",
            "write it like 1:48",
            end=max(1, len(text)),
        )
    return float(match[1])


def _units(asked: Asked) -> str:
    cell = asked.cell("units")
    if cell is None:
        return ""
    word = cell.text.strip().lower()
    if word not in UNITS:
        asked.fault(
            "value-unknown", f"units: {shown(word)} is not known", "units", f"known: {', '.join(UNITS)}"
        )
        return ""
    return word


def _known(job: Job, asked: Asked, who: str) -> tuple[str, str, Length] | None:
    cell = asked.cell("known")
    if cell is None:
        return None
    match = _KNOWN.fullmatch(cell.text.translate(DASHES))
    if match is None or (match[1] is None and "=" in cell.text):
        asked.fault(
            "known-unreadable",
            f"{who}: cannot read the known length {shown(cell.text)}",
            "known",
            "write it like A-B = 24'",
        )
        return None
    length = job.positive(_slice(cell, match), f"{who}: known")
    return None if length is None else (match[1] or "", match[2] or "", length)


def _slice(cell: Cell, match: re.Match[str]) -> Cell:
    return cell.slice(match.start(3), match.end(3)).strip()
