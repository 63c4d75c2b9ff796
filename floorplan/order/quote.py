"""The quote: what the customer reads. Nothing of the firm's own figures is in this value.

Written in plain words: what is coated, what is not, how edges and joints end, what each choice adds and
comes to, how long the floor is closed, what is not included. A test searches the finished files for words
of the shop.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from decimal import Decimal
from typing import Final

from ..measure.model import SlabTakeoff, Takeoff
from ..plan.model import JointKind, SheetInfo, Treatment
from ..system.model import CoatingSystem
from ..units.figures import Figures
from ..values import dataclass
from ..work.temperature import at_temperature
from .cost import CostSheet
from .firm import Firm
from .job import WorkedJob
from .options import PricedOption
from .words import plural, step_words

VALID_DAYS: Final = 30
# What a floor's price does not hold unless the firm says otherwise; common practice, no source.
EXCLUSIONS: Final = (
    "structural cracks, and slabs that move",
    "moisture from below, drainage and standing water",
    "coatings hidden until the work starts",
    "moving of contents, and the floor under fixed items",
    "repairs beyond those listed, and permits",
    "change of colour with sun or wetness, tire marks",
    "joints and cracks that show through later",
)
TERMS: Final = (
    "The drawing that follows is part of this quote.",
    "The price is for the floor as drawn.",
    "Colours on paper and on screen differ from the floor.",
    "Not a survey; not for construction or boundary use.",
)
# How a joint ends, by its treatment.
_JOINTS: Final = {
    Treatment.BRUSH_OUT: "stay open and are coated through",
    Treatment.FILL: "are filled flush",
    Treatment.SEAL: "are sealed with a flexible sealant",
    Treatment.BRIDGE: "are coated over; a line may show",
    Treatment.LEAVE: "stay as they are",
}
_KINDS: Final = {
    JointKind.GROOVE: "grooves",
    JointKind.SAW_CUT: "saw cuts",
    JointKind.CONSTRUCTION: "construction joints",
    JointKind.ISOLATION: "joints along walls and other slabs",
    JointKind.CRACK: "cracks",
}
_HOURS_A_DAY: Final = 24
# A cut-out's name so short says nothing to the customer.
_LETTER: Final = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """One offer: its words, and what it comes to."""

    title: str
    says: tuple[str, ...]
    price: Decimal
    tax: Decimal
    deposit: Decimal

    @property
    def total(self) -> Decimal:
        """Price and tax."""
        return self.price + self.tax


@dataclass(frozen=True, slots=True, kw_only=True)
class Quote:
    """A quote.

    Attributes:
        title: of the job.
        site: where it is.
        date: as the plan has it, "" when it has none.
        revision: of the plan.
        firm: name.
        address: lines.
        scope: what is done, a line each.
        choices: at least one.
        exclusions: what is not included.
        terms: conditions.
        validity: how long the quote holds.
        closed: how long the floor is closed.
        currency: symbol before amounts.
    """

    title: str
    site: str
    date: str
    revision: str
    firm: str
    address: tuple[str, ...]
    scope: tuple[str, ...]
    choices: tuple[Choice, ...]
    exclusions: tuple[str, ...]
    terms: tuple[str, ...]
    validity: str
    closed: tuple[str, ...]
    currency: str = "$"


def make_quote(job: WorkedJob, options: Sequence[PricedOption], firm: Firm) -> Quote:
    """The quote of a priced job; without options the job as drawn is the one choice.

    Raises:
        ValueError: the job has no price.
    """
    if job.cost is None:
        raise ValueError("a quote needs a priced job")
    sheet = job.plan.sheet
    days = firm.number("price", "validity")
    name, address = _letterhead(sheet, firm)
    return Quote(
        title=job.plan.title,
        site=job.plan.site,
        date=sheet.date,
        revision=sheet.revision,
        firm=name,
        address=address,
        scope=scope(job.takeoff),
        choices=_choices(job.cost, options, Figures(job.plan.units)),
        exclusions=firm.exclusions or EXCLUSIONS,
        terms=_terms(job.takeoff, sheet.date, firm),
        validity=_validity(int(days) if days else VALID_DAYS, sheet.date),
        closed=closed_days((slab.slab.system for slab in job.takeoff.slabs), job.plan.work.temperature_c),
        currency=job.cost.currency,
    )


def _choices(cost: CostSheet, options: Sequence[PricedOption], figures: Figures) -> tuple[Choice, ...]:
    if not options:
        return (_choice("The floor as drawn", (), cost),)
    titles = {priced.option.name: priced.option.title for priced in options}
    return tuple(
        _choice(
            priced.option.title,
            priced.option.says or _holds(priced, titles.get(priced.option.base, ""), figures),
            priced.job.cost,
        )
        for priced in options
        if priced.job.cost is not None
    )


def _holds(priced: PricedOption, base: str, figures: Figures) -> tuple[str, ...]:
    """What a choice adds where the firm says nothing of it, so that no price stands without its reason."""
    option = priced.option
    systems = dict.fromkeys(slab.slab.system for slab in priced.job.takeoff.slabs) if option.system else ()
    added = [
        *(system.customer or system.title.lower() for system in systems),
        *(
            f"upright faces along {kind} edges coated to match, {figures.length(height)} high"
            for kind, height in option.faces
        ),
        *(f"{_KINDS[JointKind(kind)]} filled flush" for kind in option.fill),
        *(f"{_KINDS[JointKind(kind)]} sealed with a flexible sealant" for kind in option.seal),
        *(["one coat more"] if option.extra_coat else []),
    ]
    return (f"all that {base} holds" if base else "the floor as drawn", *added)


def _letterhead(sheet: SheetInfo, firm: Firm) -> tuple[str, tuple[str, ...]]:
    """Name and address: the plan's go over those of the prices, and no firm gets the address of another."""
    if sheet.firm and firm.name and sheet.firm != firm.name:
        return sheet.firm, sheet.address
    return sheet.firm or firm.name, sheet.address or firm.address


def _choice(title: str, says: tuple[str, ...], cost: CostSheet) -> Choice:
    return Choice(title=title, says=says, price=cost.price, tax=cost.tax, deposit=cost.deposit)


def scope(takeoff: Takeoff) -> tuple[str, ...]:
    """What is done, in the customer's words, a line each."""
    figures = Figures(takeoff.plan.units)
    lines = []
    for slab in takeoff.slabs:
        system = slab.slab.system
        what = system.customer or system.title.lower()
        lines.append(f"{slab.name}: {what}, about {figures.whole_area(slab.net_area_m2)}.")
        lines += _faces(slab)
        lines += _joints(slab)
        lines += _left_out(slab)
    lines += [f"{flight.steps.name}: {step_words(flight)} coated to match." for flight in takeoff.steps]
    lines.append("The concrete is ground, cleaned and dried before coating; walls and fixtures are masked.")
    return tuple(lines)


def _faces(slab: SlabTakeoff) -> list[str]:
    kinds = {edge.label: edge.kind for edge in slab.edges if edge.cutout is None}
    faced = dict.fromkeys(face.label for face in slab.faces)
    bare = {kind for label, kind in kinds.items() if label not in faced}
    names = dict.fromkeys(_face_words(label, kinds.get(label, ""), bare) for label in faced)
    return [f"{slab.name}: upright faces of {', '.join(names)} coated to match."] if names else []


def _face_words(label: str, kind: str, bare: set[str]) -> str:
    """The kind where all its sides are coated, else the side by its letters: no more is promised."""
    if not kind:
        return f"the {label}"
    if kind in bare:
        return f"side {label}"
    return "all open edges" if kind == "open" else f"the {kind}"


def _joints(slab: SlabTakeoff) -> list[str]:
    found: dict[tuple[JointKind, Treatment], None] = {}
    for joint in slab.joints:
        if joint.length_m > 0:
            found[joint.joint.kind, joint.joint.treatment] = None
    return [f"{slab.name}: {_KINDS[kind]} {_JOINTS[treatment]}." for kind, treatment in found]


def _left_out(slab: SlabTakeoff) -> list[str]:
    names = dict.fromkeys(
        f"{cutout.kind} {cutout.name}" if len(cutout.name) <= _LETTER else cutout.name
        for cutout in slab.slab.cutouts
    )
    return [f"{slab.name}: not coated: {', '.join(names)}."] if names else []


def closed_days(systems: Iterable[CoatingSystem], temperature_c: float | None = None) -> tuple[str, ...]:
    """How long to stay off the finished floor, in whole days, by the slowest product.

    Longer where the floor is colder than the product's data sheet has it, as in the work plan; never shorter.
    """
    last = [at_temperature(system.coats[-1].times, temperature_c) for system in systems if system.coats]
    rows = (
        ("no walking on it for", [_days(times.foot_h) for times in last]),
        ("no furniture on it for", [_days(times.furniture_h) for times in last]),
        ("no vehicles on it for", [_days(times.vehicle_h) for times in last]),
    )
    lines = [f"{words} {_day_words(max(days))}" for words, days in rows if any(days)]
    return tuple(lines)


def _days(hours: float | None) -> int:
    return math.ceil(hours / _HOURS_A_DAY) if hours else 0


def _day_words(days: int) -> str:
    return f"{plural(days, 'day')} after the last coat"


def _validity(days: int, date: str) -> str:
    start = f" from {date}" if date else ""
    return f"This quote holds for {plural(days, 'day')}{start}, or until prices of material change."


def _terms(takeoff: Takeoff, date: str, firm: Firm) -> tuple[str, ...]:
    figures = Figures(takeoff.plan.units)
    area = figures.whole_area(takeoff.total("net_area_m2"))
    when = f" on {date}" if date else ""
    return (f"Area measured{when}: about {area}, to within 2 %.", *(firm.terms or TERMS))
