"""What if: the job run again with one thing changed, and the two beside each other."""

from __future__ import annotations

import math
from collections.abc import Mapping
from decimal import Decimal

from ..errors import DataFileError, Fault
from ..measure.model import MeasuredFace, MeasuredJoint, SlabTakeoff, Takeoff
from ..system.model import Coat
from ..values import dataclass, replace
from ..work.batches import spread_rate_m2_per_min
from ..work.pours import pours
from .firm import Firm
from .job import WorkedJob, work_job
from .rules import OnHand

# Pail life about halves for ten degrees Celsius more; rule of thumb, material temperature, no source.
HALVES_PER_C = 10.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """What is different.

    Attributes:
        bigger: share added to every area (0.05); lengths grow by its root, joints and edges with them.
        surface: name of another grade of roughness, "" for the plan's.
        hotter_c: degrees Celsius warmer than the products' times are for; below zero is colder.
        fewer: people missing on the first day.
        spare_kits: more kits of every liquid.
    """

    bigger: float = 0.0
    surface: str = ""
    hotter_c: float = 0.0
    fewer: int = 0
    spare_kits: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """A figure before and after; `kind` is how it is written: area, run, packs, h, min or money."""

    name: str
    kind: str
    old: float | Decimal | None
    new: float | Decimal | None

    @property
    def changed(self) -> bool:
        """True where the two differ by more than the dust of binary sums."""
        if self.old is None or self.new is None:
            return self.old is not self.new
        return not math.isclose(float(self.old), float(self.new), rel_tol=1e-9, abs_tol=1e-9)


def changed_job(
    base: WorkedJob, change: Change, *, firm: Firm | None = None, on_hand: Mapping[str, OnHand] | None = None
) -> WorkedJob:
    """The job run again with a change.

    Raises:
        DataFileError: a surface that the system does not know, or nobody left to do the work.
    """
    takeoff = base.takeoff
    if change.surface:
        takeoff = _rougher(takeoff, change.surface)
    if change.bigger:
        takeoff = scaled(takeoff, 1 + change.bigger)
    crew = None
    if change.fewer:
        crew = base.labour.people[0] - change.fewer if base.labour.people else 0
        if crew < 1:
            text = f"a crew of {crew + change.fewer} cannot be {change.fewer} short"
            raise DataFileError(Fault(code="crew-empty", text=text))
    priced = base.cost is not None
    return work_job(
        takeoff.plan,
        takeoff,
        firm=firm,
        on_hand=on_hand,
        spare_kits=change.spare_kits,
        crew=crew,
        priced=priced,
    )


def _rougher(takeoff: Takeoff, surface: str) -> Takeoff:
    for slab in takeoff.slabs:
        names = [grade.name for grade in slab.slab.system.grades]
        if surface not in names:
            text = f"there is no surface {surface}"
            raise DataFileError(
                Fault(code="value-unknown", text=text, hint=f"known: {', '.join(names) or 'none'}")
            )
    slabs = tuple(replace(slab, slab=replace(slab.slab, surface=surface)) for slab in takeoff.slabs)
    return replace(takeoff, slabs=slabs)


_AREAS = (
    "gross_area_m2",
    "net_area_m2",
    "material_area_m2",
    "machine_area_m2",
    "area_std_m2",
)
_RUNS = (
    "perimeter_m",
    "cutout_perimeter_m",
    "hand_grind_edge_m",
    "hand_grind_area_m2",
    "band_area_m2",
    "pocket_area_m2",
    "joint_length_m",
    "brush_out_m",
    "fill_m",
    "seal_m",
    "mask_m",
    "face_area_m2",
)


def scaled(takeoff: Takeoff, factor: float) -> Takeoff:
    """The figures of a floor of the same shape whose area is so many times as large.

    Lengths, and the bands and faces along them, grow by the root of it; steps stay as they are. The
    regions are not redrawn.
    """
    return replace(takeoff, slabs=tuple(_scaled(slab, factor) for slab in takeoff.slabs))


def _scaled(slab: SlabTakeoff, factor: float) -> SlabTakeoff:
    root = math.sqrt(factor)
    values = {name: getattr(slab, name) * factor for name in _AREAS}
    values |= {name: getattr(slab, name) * root for name in _RUNS}
    joints = tuple(_longer(joint, root) for joint in slab.joints)
    faces = tuple(
        MeasuredFace(label=f.label, length_m=f.length_m * root, height_m=f.height_m) for f in slab.faces
    )
    edges = tuple(replace(edge, length_m=edge.length_m * root) for edge in slab.edges)
    return replace(slab, joints=joints, faces=faces, edges=edges, **values)


def _longer(joint: MeasuredJoint, root: float) -> MeasuredJoint:
    length, volume = joint.length_m * root, joint.fill_volume_l * root
    return replace(joint, length_m=length, fill_volume_l=volume)


def pail_minutes(coat: Coat, hotter_c: float) -> float | None:
    """Minutes in the pail on a day so much warmer than the product's stated temperature."""
    pail = coat.times.pail_min
    return None if pail is None else pail * 0.5 ** (hotter_c / HALVES_PER_C)


def rows_between(old: WorkedJob, new: WorkedJob, *, hotter_c: float = 0.0) -> tuple[Row, ...]:
    """Every figure of two jobs side by side: areas, lengths, packs, hours, money, pail times."""
    rows = [_takeoff_row(name, kind, words, old, new) for name, kind, words in _SHOWN]
    rows += _pack_rows(old, new)
    rows.append(Row(name="man-hours", kind="h", old=old.labour.hours, new=new.labour.hours))
    days = max(len(old.labour.people), len(new.labour.people))
    rows += [
        Row(name=f"day {d + 1}, clock", kind="h", old=_clock(old, d), new=_clock(new, d)) for d in range(days)
    ]
    rows += _pail_rows(new, hotter_c) if hotter_c else []
    if old.cost is not None and new.cost is not None:
        rows.append(Row(name="price", kind="money", old=old.cost.price, new=new.cost.price))
        rows.append(Row(name="price and tax", kind="money", old=old.cost.total, new=new.cost.total))
    return tuple(rows)


_SHOWN = (
    ("gross_area_m2", "area", "gross area"),
    ("net_area_m2", "area", "net area"),
    ("material_area_m2", "area", "material area"),
    ("machine_area_m2", "area", "machine area"),
    ("hand_grind_area_m2", "area", "hand-grind area"),
    ("face_area_m2", "area", "faces"),
    ("perimeter_m", "run", "perimeter"),
    ("hand_grind_edge_m", "run", "hand-grind edge"),
    ("brush_out_m", "run", "brush out"),
    ("fill_m", "run", "fill"),
    ("seal_m", "run", "seal"),
    ("mask_m", "run", "mask"),
)


def _takeoff_row(name: str, kind: str, words: str, old: WorkedJob, new: WorkedJob) -> Row:
    return Row(name=words, kind=kind, old=old.takeoff.total(name), new=new.takeoff.total(name))


def _pack_rows(old: WorkedJob, new: WorkedJob) -> list[Row]:
    """Packs of every product and size that either list has, in the order of the new list."""
    packs: list[dict[tuple[str, str], int]] = []
    for job in (new, old):
        found: dict[tuple[str, str], int] = {}
        for line in job.order.items:
            key = (line.item, line.pack)
            found[key] = found.get(key, 0) + line.packs
        packs.append(found)
    after, before = packs
    return [
        Row(name=f"{item}, {pack}", kind="packs", old=float(before.get(key, 0)), new=float(after.get(key, 0)))
        for key in dict.fromkeys([*after, *before])
        for item, pack in [key]
    ]


def _clock(job: WorkedJob, day: int) -> float | None:
    return job.labour.clock_hours(day) if day < len(job.labour.people) else None


def zone_rows(old: WorkedJob, new: WorkedJob, *, hotter_c: float = 0.0) -> tuple[Row, ...]:
    """Zones of every coat, which a hotter day or a smaller crew makes smaller and so more.

    Both jobs must be of the same floor: zones are cut out of its drawn regions.
    """
    counts = [_zones(old, None), _zones(new, hotter_c)]
    return tuple(
        Row(name=f"{name}, zones", kind="packs", old=counts[0].get(name), new=counts[1].get(name))
        for name in counts[0]
    )


def _zones(job: WorkedJob, hotter_c: float | None) -> dict[str, float]:
    people = next(iter(job.labour.people), 1)
    usual = [c.times.at_c for slab in job.takeoff.slabs for c in slab.slab.system.coats if c.times.at_c]
    day = usual[0] + hotter_c if usual and hotter_c else None
    rate = spread_rate_m2_per_min(people)
    poured, _ = pours(job.takeoff, rate_m2_per_min=rate, people=people, temperature_c=day)
    return {pour.layer: float(len(pour.zones)) for pour in poured}


def _pail_rows(job: WorkedJob, hotter_c: float) -> list[Row]:
    rows: dict[str, Row] = {}
    for slab in job.takeoff.slabs:
        for coat in slab.slab.system.coats:
            if coat.times.pail_min is not None:
                name = f"{coat.name}, in the pail"
                after = pail_minutes(coat, hotter_c)
                rows.setdefault(name, Row(name=name, kind="min", old=coat.times.pail_min, new=after))
    return list(rows.values())
