"""The customer's sheet: what is coated, what is not, how the floor stops; nothing of the shop.

It never shows kits, boxes, hours, costs, rates, how edges are ground, or figures finer than a tape holds.
"""

from __future__ import annotations

from ..measure.model import SlabTakeoff
from ..order.words import step_words
from .blocks import Block, Row, item, text_rows
from .floor import Shown
from .job import Job, SheetKind, kept
from .legend import customer_legend
from .lettering import BODY
from .rooms import Lettering
from .scales import Scale
from .wording import measure

STOPS = {
    "wall": "up to the wall",
    "siding": "up to the siding",
    "open": "to the open edge",
    "step up": "up to the step",
    "step down": "to the edge of the step down",
    "garage door": "straight line under the garage door",
    "threshold": "up to the door sill",
    "slab": "straight line at the next slab",
    "post": "around the post",
    "fence": "up to the fence",
    "low wall": "up to the low wall",
    "stem wall": "up to the wall",
    "coping": "up to the pool edge",
    "drain": "around the grate",
    "unknown": "to be agreed on site",
}
"""How the floor stops, in the customer's words; a kind that is not here keeps its own name."""

JOINTS = {
    "brush out": "stay open and visible",
    "fill": "are filled",
    "seal": "are sealed and stay flexible, not coated over",
    "bridge": "are coated over; a line may show in time",
    "leave": "are left as they are",
}

BASIS = "Area from site measurements, rounded; not a survey, not for construction or boundary use."
ACCESS = (
    "Keep off the floor from ________ to ________",
    "Way in and out: ______________________",
)
COLOUR = ("Colour / blend: ______________________", "Border: ____________________________")
"""Filled in by hand with the customer."""


def blocks(job: Job, room_mm: float, scale: Scale) -> list[Block]:
    """The written part."""
    return kept(
        _floor(job, room_mm),
        customer_legend(job.slabs, room_mm, scale.paper_mm(1.0), job.figures),
        _stops(job, room_mm),
        _joints(job, room_mm),
        _uprights(job, room_mm),
        _uncoated(job, room_mm),
        _notes(job, room_mm),
    )


def _floor(job: Job, room_mm: float) -> Block:
    slabs = job.takeoff.slabs
    total = job.figures.whole_area(job.takeoff.total("net_area_m2"))
    rows: list[Row] = text_rows(f"About {total} of floor", room_mm, height=BODY, bold=True, after=1.0)
    for words in dict.fromkeys(slab.slab.system.customer for slab in slabs):
        if words:
            rows += text_rows(words[:1].upper() + words[1:], room_mm, after=0.5)
    rows += [row for words in COLOUR for row in text_rows(words, room_mm, after=1.2)]
    return Block(heading="Your floor", width_mm=room_mm, rows=tuple(rows))


def _stops(job: Job, room_mm: float) -> Block:
    """Where the floor ends, by how it ends."""
    by_way: dict[str, list[str]] = {}
    for slab in job.slabs:
        for edge in slab.edges:
            if edge.side is not None:
                by_way.setdefault(STOPS.get(edge.kind, edge.kind), []).append(job.label(slab, edge.label))
    rows = tuple(item(f"{', '.join(labels)}: {way}", room_mm) for way, labels in by_way.items())
    return Block(heading="Where the floor ends", width_mm=room_mm, rows=rows, splits=True)


def _joints(job: Job, room_mm: float) -> Block | None:
    named: dict[str, list[str]] = {}
    for slab in job.slabs:
        for joint in slab.joints:
            if joint.length_m > 0.0:
                names = named.setdefault(str(joint.joint.treatment), [])
                names += [joint.joint.name or str(joint.joint.kind)]
    rows = tuple(
        item(f"{', '.join(dict.fromkeys(names))}: {JOINTS[treatment]}", room_mm)
        for treatment, names in named.items()
    )
    return Block(heading="Joints in the slab", width_mm=room_mm, rows=rows, splits=True) if rows else None


def _uprights(job: Job, room_mm: float) -> Block:
    """Steps and faces that are coated too, and that others are not."""
    f = job.figures
    words = [
        f"Face along {job.label(slab, face.label)}, {measure(face.height_m, f)} high: coated"
        for slab in job.slabs
        for face in slab.faces
    ]
    words += [f"{flight.steps.name or 'Steps'}: {step_words(flight)} coated" for flight in job.steps]
    if not words:
        words = ["Steps, stem walls and exposed slab edges: not included"]
    else:
        words.append("Other steps, stem walls and slab edges: not included")
    rows = tuple(item(line, room_mm) for line in words)
    return Block(heading="Steps and upright faces", width_mm=room_mm, rows=rows, splits=True)


def _uncoated(job: Job, room_mm: float) -> Block | None:
    names = [cutout.name for slab in job.slabs for cutout in slab.cutouts]
    if not names:
        return None
    rows = (item(", ".join(names), room_mm),)
    return Block(heading="Not coated", width_mm=room_mm, rows=rows)


def _notes(job: Job, room_mm: float) -> Block:
    inferred = any(
        measurement.status == "inferred"
        for slab in job.takeoff.slabs
        if slab.survey is not None
        for measurement in slab.survey.measurements
    )
    words = [BASIS, *(["Lengths with ~ were worked out, not measured."] if inferred else []), *ACCESS]
    rows = [row for line in words for row in text_rows(line, room_mm, after=0.8)]
    return Block(heading="Please note", width_mm=room_mm, rows=tuple(rows))


def area(job: Job, index: int) -> tuple[str, str, str]:
    """Name and rounded area."""
    slab: SlabTakeoff = job.takeoff.slabs[index]
    return slab.name, f"about {job.figures.whole_area(slab.net_area_m2)}", ""


SHEET = SheetKind(
    name="customer",
    title="Floor drawing",
    shown=Shown(hand=False, coated=True),
    lettering=Lettering(masks=False, located=False, joints=False, chains=False, coarse=True, asks=False),
    blocks=blocks,
    area=area,
    office=True,
)
