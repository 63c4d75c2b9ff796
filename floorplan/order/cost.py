"""The cost of a job, line by line, and the price built on it.

*Direct* cost is labour, materials in whole packs, sundries and equipment. *Cost* adds overhead. A *margin*
is a share of the price, a *markup* a share of the cost: a margin of 20 % is a markup of 25 %. All amounts
are decimal, to the cent.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal
from enum import StrEnum
from typing import Final

from ..errors import DataFileError, Fault, Notice
from ..units.money import money_text, times, to_cents, total
from ..units.rounding import decimal_text, up_to_step
from ..values import dataclass
from .firm import Figure, Firm, Per, TaxOn
from .firm_rules import same_size
from .labour import Labour
from .model import Group, MaterialLine, MaterialList
from .words import plain, plural, share

# Price is rounded up to a whole ten where no file says otherwise; common practice, no source.
ROUND_UP: Final = Decimal(10)


class CostGroup(StrEnum):
    """Part of the direct cost."""

    LABOUR = "labour"
    MATERIALS = "materials"
    SUNDRIES = "sundries"
    EQUIPMENT = "equipment"


@dataclass(frozen=True, slots=True, kw_only=True)
class CostLine:
    """One line of the cost sheet: amount, the sum in words, and the file of its price."""

    group: CostGroup
    item: str
    how: str
    amount: Decimal
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CostSheet:
    """What a job costs the firm, and the price that follows; for the firm's eyes only.

    Attributes:
        lines: of the direct cost.
        direct: their sum.
        overhead: added to it.
        margin: share of the price, as asked or as the markup gives it.
        asked_markup: True where a markup was given.
        before_minimum: cost and margin, to the cent.
        minimum: least charge, 0 for none.
        price: at least the minimum, rounded up; without tax.
        tax_share: of `taxed`.
        taxed: the part of the price that is taxed.
        tax: to the cent.
        deposit: due with the order, of price and tax.
        labour: the hours behind the labour line.
        sources: (what, file) of every rate that is not on a line.
        currency: symbol before amounts.
    """

    lines: tuple[CostLine, ...]
    direct: Decimal
    overhead: Decimal
    overhead_how: str
    margin: float
    asked_markup: bool
    before_minimum: Decimal
    minimum: Decimal
    round_up: Decimal
    price: Decimal
    tax_share: float
    tax_on: TaxOn
    taxed: Decimal
    tax: Decimal
    deposit_share: float
    deposit: Decimal
    labour: Labour
    sources: tuple[tuple[str, str], ...] = ()
    currency: str = "$"
    notices: tuple[Notice, ...] = ()

    @property
    def cost(self) -> Decimal:
        """Direct cost and overhead."""
        return self.direct + self.overhead

    @property
    def markup(self) -> float:
        """The markup that the margin is: m / (1 - m)."""
        return self.margin / (1 - self.margin)

    @property
    def total(self) -> Decimal:
        """What the customer pays: price and tax."""
        return self.price + self.tax

    def of(self, group: CostGroup) -> Decimal:
        """Sum of one part of the direct cost."""
        return total(line.amount for line in self.lines if line.group is group)


def cost_sheet(order: MaterialList, work: Labour, firm: Firm) -> CostSheet:
    """The cost and price of a job.

    Raises:
        DataFileError: a price that the quote cannot do without is in no file.
    """
    currency = firm.text("currency") or "$"
    _need_prices(order, firm)
    materials = [line for line in order.items if line.group is not Group.SUNDRY]
    sundries = [line for line in order.items if line.group is Group.SUNDRY]
    lines = [_labour(work, firm, currency)]
    for line in materials:
        lines += _material(line, firm, currency)
    lines += [_sundry(line, firm, currency) for line in sundries if _price(firm, "sundry", line) is not None]
    lines += _equipment(work, firm, currency)
    direct = total(line.amount for line in lines)
    overhead = _overhead(direct, work, firm, currency)
    notices = _unpriced(sundries, firm) + _unvalued(materials, firm)
    return _priced(tuple(lines), overhead, work, firm, notices=notices)


def _need_prices(order: MaterialList, firm: Firm) -> None:
    faults = []
    files = ", ".join(firm.files) or "no price file"
    if firm.money("labour", "rate") is None:
        faults.append(("labour-rate", f"no labour rate in {files}", "write [labour] and rate = 45.00"))
    if firm.number("price", "margin") is None and firm.number("price", "markup") is None:
        hint = 'write [price] and margin = "20 %" (or markup)'
        faults.append(("margin", f"neither margin nor markup in {files}", hint))
    for line in order.items:
        if line.group is not Group.SUNDRY and line.packs and _price(firm, "material", line) is None:
            hint = f'write [material] and "{line.product}" = 0.00 for a {line.pack}'
            faults.append(("material", f"no price for a {line.pack} of {line.product} in {files}", hint))
    if faults:
        raise DataFileError(
            Fault(code=f"price-missing-{code}", text=text, hint=hint) for code, text, hint in faults
        )


def _price(firm: Firm, table: str, line: MaterialLine) -> Figure | None:
    """Price of a pack: the one for its size, or the product's only one."""
    for path, figure in firm.below(table):
        if path[1] == line.product and len(path) == 3 and same_size(path[2], line.pack_amount):
            return figure
    return firm.figure(table, line.product)


def _value(figure: Figure) -> Decimal:
    assert isinstance(figure.value, Decimal)
    return figure.value


def _labour(work: Labour, firm: Firm, currency: str) -> CostLine:
    rate = firm.figure("labour", "rate")
    assert rate is not None
    hours = decimal_text(work.charged_hours, 1)
    how = f"{decimal_text(work.hours, 2)} h + {share(work.contingency)} = {hours} h x "
    how += money_text(_value(rate), currency)
    amount = times(_value(rate), work.charged_hours)
    return CostLine(group=CostGroup.LABOUR, item="labour", how=how, amount=amount, source=rate.source)


def _material(line: MaterialLine, firm: Firm, currency: str) -> list[CostLine]:
    rows = []
    price = _price(firm, "material", line)
    if line.packs and price is not None:
        how = f"{line.packs} x {line.pack} at {money_text(_value(price), currency)}"
        amount = times(_value(price), line.packs)
        rows.append(_line(CostGroup.MATERIALS, line.item, how, amount, price.source))
    stock = firm.figure("stock", line.product)
    if line.hand_amount:
        value = _value(stock) if stock else Decimal(0)
        how = f"{plain(line.on_hand)} {line.unit} from stock"
        how += f" x {stock.text}" if stock else ", no value given"
        amount = times(value, line.hand_amount)
        rows.append(_line(CostGroup.MATERIALS, line.item, how, amount, stock.source if stock else "typical"))
    return rows


def _sundry(line: MaterialLine, firm: Firm, currency: str) -> CostLine:
    price = _price(firm, "sundry", line)
    assert price is not None
    money = money_text(_value(price), currency)
    if line.by_use:
        how = f"{line.how.split(' → ')[0]} of {money} by wear"
        return _line(CostGroup.SUNDRIES, line.item, how, times(_value(price), line.amount), price.source)
    how = f"{plural(line.packs, line.pack_word)} x {money}"
    return _line(CostGroup.SUNDRIES, line.item, how, times(_value(price), line.packs), price.source)


def _line(group: CostGroup, item: str, how: str, amount: Decimal, source: str) -> CostLine:
    return CostLine(group=group, item=item, how=how, amount=amount, source=source)


def _unpriced(sundries: Iterable[MaterialLine], firm: Firm) -> tuple[Notice, ...]:
    names = [line.item for line in sundries if _price(firm, "sundry", line) is None]
    if not names:
        return ()
    text = f"no price for {', '.join(names)}: counted as nothing"
    return (Notice(code="sundry-unpriced", text=text),)


def _unvalued(materials: Iterable[MaterialLine], firm: Firm) -> tuple[Notice, ...]:
    names = dict.fromkeys(
        line.product for line in materials if line.hand_amount and firm.figure("stock", line.product) is None
    )
    if not names:
        return ()
    text = f"no value for {', '.join(names)} out of stock: charged at nothing"
    return (Notice(code="stock-unvalued", text=text),)


def _equipment(work: Labour, firm: Firm, currency: str) -> list[CostLine]:
    rows = []
    for name, per in firm.equipment:
        figure = firm.figure("equipment", name)
        if figure is None:
            continue
        count = len(work.people) if per is Per.DAY else 1
        how = f"{plural(count, str(per))} x {money_text(_value(figure), currency)}"
        amount = times(_value(figure), count)
        rows.append(_line(CostGroup.EQUIPMENT, name, how, amount, figure.source))
    return rows


def _overhead(direct: Decimal, work: Labour, firm: Firm, currency: str) -> tuple[Decimal, str]:
    by_hour = firm.money("overhead", "per_hour")
    if by_hour is not None:
        hours = decimal_text(work.charged_hours, 1)
        return times(by_hour, work.charged_hours), f"{hours} h x {money_text(by_hour, currency)}"
    part = firm.number("overhead", "share") or 0.0
    return times(direct, part), f"{share(part)} of {money_text(direct, currency)}"


def margin_of(markup: float) -> float:
    """The margin that a markup is: k / (1 + k)."""
    return markup / (1 + markup)


def _priced(
    lines: tuple[CostLine, ...],
    overhead: tuple[Decimal, str],
    work: Labour,
    firm: Firm,
    *,
    notices: tuple[Notice, ...],
) -> CostSheet:
    direct = total(line.amount for line in lines)
    before, margin = _with_margin(direct + overhead[0], firm)
    minimum = firm.money("price", "minimum") or Decimal(0)
    step = firm.money("price", "round_up")
    step = ROUND_UP if step is None else step
    price = to_cents(up_to_step(max(before, minimum), step) if step > 0 else max(before, minimum))
    tax_on = TaxOn(firm.text("price", "tax_on") or TaxOn.PRICE)
    taxed = _taxed(price, direct, lines, tax_on)
    tax_share = firm.number("price", "tax") or 0.0
    tax = times(taxed, tax_share)
    deposit_share = firm.number("price", "deposit") or 0.0
    return CostSheet(
        lines=lines,
        direct=direct,
        overhead=overhead[0],
        overhead_how=overhead[1],
        margin=margin,
        asked_markup=firm.number("price", "markup") is not None,
        before_minimum=before,
        minimum=minimum,
        round_up=step,
        price=price,
        tax_share=tax_share,
        tax_on=tax_on,
        taxed=taxed,
        tax=tax,
        deposit_share=deposit_share,
        deposit=times(price + tax, deposit_share),
        labour=work,
        sources=_sources(firm),
        currency=firm.text("currency") or "$",
        notices=notices,
    )


def _with_margin(cost: Decimal, firm: Firm) -> tuple[Decimal, float]:
    """Cost with the firm's margin or markup, to the cent, and the margin that it is."""
    margin = firm.number("price", "margin")
    if margin is not None:
        return to_cents(cost / (1 - Decimal(repr(margin)))), margin
    markup = firm.number("price", "markup") or 0.0
    return to_cents(cost * (1 + Decimal(repr(markup)))), margin_of(markup)


_TAXED_GROUPS: Final = {
    TaxOn.PRICE: tuple(CostGroup),
    TaxOn.MATERIALS: (CostGroup.MATERIALS, CostGroup.SUNDRIES),
    TaxOn.LABOUR: (CostGroup.LABOUR,),
}


def _taxed(price: Decimal, direct: Decimal, lines: Sequence[CostLine], tax_on: TaxOn) -> Decimal:
    """The part of the price that is taxed: its materials or its labour as they stand in the direct cost.

    A share of the price and not the cost itself, since the customer could else work the cost out of the tax.
    """
    part = total(line.amount for line in lines if line.group in _TAXED_GROUPS[tax_on])
    return to_cents(price * part / direct) if direct else price


def _sources(firm: Firm) -> tuple[tuple[str, str], ...]:
    """Where every rate of the build-up came from."""
    paths: Sequence[tuple[str, str]] = (
        ("labour", "rate"),
        ("labour", "contingency"),
        ("overhead", "share"),
        ("overhead", "per_hour"),
        ("price", "margin"),
        ("price", "markup"),
        ("price", "minimum"),
        ("price", "round_up"),
        ("price", "tax"),
        ("price", "deposit"),
    )
    rows = []
    for path in paths:
        figure = firm.figure(*path)
        if figure is not None:
            rows.append((f"{path[0]} {path[1].replace('_', ' ')} {figure.text}", figure.source))
    return tuple(rows)
