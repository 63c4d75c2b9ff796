"""The quote for the books (JSON, CSV) and, kept apart, the firm's own cost sheet (text, JSON)."""

from __future__ import annotations

import textwrap
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from ..order.cost import CostGroup
from ..order.model import FIRST_LINE
from ..order.words import plain, share
from ..units.money import money_text
from ..units.rounding import decimal_text
from .columns import aligned
from .contract import notices
from .tables import Cell, csv_text

if TYPE_CHECKING:
    from ..order.cost import CostSheet
    from ..order.job import WorkedJob
    from ..order.options import PricedOption
    from ..order.quote import Quote


def _books(amount: Decimal) -> str:
    """An amount as books take it: digits and a point, no symbol, no commas."""
    return money_text(amount, "")


def quote_document(quote: Quote) -> dict[str, Any]:
    """The quote as JSON; amounts are texts, so that no program reads them as binary fractions."""
    return {
        "made_by": "floorplan",
        "kind": "quote",
        "title": quote.title,
        "site": quote.site,
        "date": quote.date,
        "revision": quote.revision,
        "firm": quote.firm,
        "currency": quote.currency,
        "scope": list(quote.scope),
        "choices": [
            {
                "title": choice.title,
                "says": list(choice.says),
                "price": _books(choice.price),
                "tax": _books(choice.tax),
                "total": _books(choice.total),
                "deposit": _books(choice.deposit),
            }
            for choice in quote.choices
        ],
        "closed": list(quote.closed),
        "exclusions": list(quote.exclusions),
        "terms": [quote.validity, *quote.terms],
    }


def quote_csv(quote: Quote) -> str:
    """A row for each choice."""
    rows: list[tuple[Cell, ...]] = [
        (f"floorplan quote: {quote.title}",),
        ("title", "site", "date", "revision", "choice", "price", "tax", "total", "deposit", "currency"),
    ]
    for choice in quote.choices:
        amounts = (choice.price, choice.tax, choice.total, choice.deposit)
        rows.append(
            (
                quote.title,
                quote.site,
                quote.date,
                quote.revision,
                choice.title,
                *(_books(a) for a in amounts),
                quote.currency,
            )
        )
    return csv_text(rows)


def cost_text(job: WorkedJob, options: tuple[PricedOption, ...] = ()) -> str:
    """The firm's own sheet: every line of the cost, the build-up of the price, hours by task and day."""
    sheet = _priced(job)
    head = f"floorplan cost sheet: {job.plan.title}"
    lines = [FIRST_LINE, head, "Internal: not for the customer.", ""]
    for group in CostGroup:
        own = [line for line in sheet.lines if line.group is group]
        if own:
            lines.append(f"{group.value.capitalize()}  {money_text(sheet.of(group), sheet.currency)}")
            rows = [(line.item, money_text(line.amount, sheet.currency), line.how) for line in own]
            lines += [*aligned(rows, "lrl"), ""]
    lines += _build_up(sheet)
    lines += _hours(job)
    if options:
        lines += ["", "Choices, each by running the whole job again"]
        table = [("choice", "price", "with tax", "against the plan as drawn")]
        for option in options:
            cost = option.job.cost
            if cost is not None:
                added = money_text(option.added, sheet.currency)
                amounts = (money_text(cost.price, sheet.currency), money_text(cost.total, sheet.currency))
                table.append((option.option.title, *amounts, added))
        lines += aligned(table, "lrrr")
    return "\n".join([*lines, "", *_sources(job)]) + "\n"


def _priced(job: WorkedJob) -> CostSheet:
    if job.cost is None:
        raise ValueError("the job has no price")
    return job.cost


def _sources(job: WorkedJob) -> list[str]:
    """Which file each rate and price came from, by file."""
    sheet = _priced(job)
    rows = [*((file, what) for what, file in sheet.sources)]
    rows += [(line.source, f"price of {line.item}") for line in sheet.lines if line.item != "labour"]
    rows += [(line.source, f"need of {line.item}") for line in job.order.items]
    rows += [(task.source, f"rate of {task.rate_of}") for task in job.labour.tasks]
    by_file: dict[str, dict[str, None]] = {}
    for file, what in rows:
        by_file.setdefault(file, {})[what] = None
    lines = ["Where the figures came from"]
    for file, names in by_file.items():
        lines += textwrap.wrap(
            f"{file}: {', '.join(names)}", 100, initial_indent="  ", subsequent_indent="    "
        )
    return lines


def _build_up(sheet: CostSheet) -> list[str]:
    def money(amount: Decimal) -> str:
        return money_text(amount, sheet.currency)

    margin, markup = share(sheet.margin), share(sheet.markup)
    if sheet.asked_markup:
        how = f"{money(sheet.cost)} x {plain(1 + sheet.markup, 4)}: "
        how += f"a markup of {markup} is a margin of {margin}"
    else:
        how = f"{money(sheet.cost)} / {plain(1 - sheet.margin, 4)}: "
        how += f"a margin of {margin} is a markup of {markup}"
    rows = [
        ("direct", money(sheet.direct), ""),
        ("overhead", money(sheet.overhead), sheet.overhead_how),
        ("cost", money(sheet.cost), ""),
        ("with margin", money(sheet.before_minimum), how),
    ]
    if sheet.minimum:
        used = "used" if sheet.minimum > sheet.before_minimum else "not reached"
        rows.append(("minimum charge", money(sheet.minimum), used))
    step = f"rounded up to a whole {money(sheet.round_up)}" if sheet.round_up else "to the cent"
    rows.append(("price", money(sheet.price), step))
    if sheet.tax_share:
        how = f"{share(sheet.tax_share)} of {sheet.tax_on.value} {money(sheet.taxed)}"
        rows += [("tax", money(sheet.tax), how), ("total", money(sheet.total), "")]
    if sheet.deposit_share:
        rows.append(("deposit", money(sheet.deposit), f"{share(sheet.deposit_share)} of the total"))
    return aligned(rows, "lrl")


def _hours(job: WorkedJob) -> list[str]:
    work = job.labour
    lines = [""]
    for day, people in enumerate(work.people):
        even, clock = decimal_text(work.even_hours(day), 1), decimal_text(work.clock_hours(day), 1)
        crew = f"{people} people" if people != 1 else "1 person"
        lines.append(f"Day {day + 1}: {crew}, {clock} h on the clock ({even} h if everyone is always busy)")
        own = [row for row in work.tasks if row.day == day]
        lines += aligned([(row.task, f"{decimal_text(row.hours, 2)} h", row.how) for row in own], "lrl")
    lines.append(f"{decimal_text(work.hours, 2)} man-hours, {work.person_trips} person-trips")
    return lines


def cost_document(job: WorkedJob, options: tuple[PricedOption, ...] = ()) -> dict[str, Any]:
    """The firm's own sheet as JSON."""
    sheet = _priced(job)
    return {
        "made_by": "floorplan",
        "kind": "cost sheet",
        "note": FIRST_LINE,
        "title": job.plan.title,
        "currency": sheet.currency,
        "lines": [
            {
                "group": line.group.value,
                "item": line.item,
                "how": line.how,
                "amount": _books(line.amount),
                "source": line.source,
            }
            for line in sheet.lines
        ],
        "direct": _books(sheet.direct),
        "overhead": _books(sheet.overhead),
        "cost": _books(sheet.cost),
        "margin": round(sheet.margin, 6),
        "markup": round(sheet.markup, 6),
        "before_minimum": _books(sheet.before_minimum),
        "minimum": _books(sheet.minimum),
        "price": _books(sheet.price),
        "tax": _books(sheet.tax),
        "total": _books(sheet.total),
        "deposit": _books(sheet.deposit),
        "labour": [
            {
                "day": row.day + 1,
                "task": row.task,
                "hours": round(row.hours, 6),
                "how": row.how,
                "source": row.source,
            }
            for row in job.labour.tasks
        ],
        "people": list(job.labour.people),
        "choices": [
            {"name": o.option.name, "total": _books(o.job.cost.total), "added": _books(o.added)}
            for o in options
            if o.job.cost is not None
        ],
        "warnings": notices((*job.order.notices, *sheet.notices)),
    }
