"""The quote as pages: a letter in one column that the customer signs and keeps; the drawing follows it."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal

from ..order.quote import Choice, Quote
from ..units.money import money_text
from .blocks import Block, Column, Row, item, table, text_rows
from .columns import Area, Filled, fill, paint
from .furniture import MARGIN_MM
from .lettering import BODY, FINE, HEAD, LEADING, SOFT, TITLE, letter
from .marks import Anchor, Group, Mark, Page, Run, Stroke
from .paper import Paper, paper_named
from .pens import FAINT_RULE, RULE

# A letter wants wider margins than a drawing.
_SIDE_MM = MARGIN_MM + 8.0
_FOOT_MM = 9.0
_SIGN_MM = 16.0
LEAST_SHARE = 0.25
"""A last page with less than this on it is nearly empty."""


def compose_quote(quote: Quote, *, paper: str) -> tuple[Page, ...]:
    """The pages of a quote.

    Args:
        quote: what to say.
        paper: a name from the table of papers.

    Raises:
        SheetError: no such paper.
    """
    sheet = paper_named(paper)
    width, height = sheet.size_mm(landscape=False)
    body = Area(_SIDE_MM, MARGIN_MM + _FOOT_MM, width - 2 * _SIDE_MM, height - 2 * MARGIN_MM - _FOOT_MM)
    head, used = _head(quote, body)
    first = Area(body.x, body.y, body.width, body.height - used)
    pages: list[tuple[Mark, ...]] = []
    for k, filled in enumerate(_balanced(_blocks(quote, body.width), first, body)):
        text = Group(marks=paint(filled, body if k else first, body.width), layer="text")
        pages.append((text,) if k else (*head, text))
    return tuple(_page(quote, sheet, marks, k + 1, len(pages)) for k, marks in enumerate(pages))


def _balanced(blocks: tuple[Block, ...], first: Area, body: Area) -> list[Filled]:
    """The letter on its pages; what closes it goes over to a last page that would be nearly empty.

    Nobody should sign a page that says nothing: the acceptance takes the terms along, then what is not
    included, and so on.
    """
    letter_ = _paged(blocks, first, body)
    for taken in range(2, len(blocks)):
        if len(letter_) == 1 or _used_mm(letter_[-1]) >= LEAST_SHARE * body.height:
            break
        again = [*_paged(blocks[:-taken], first, body), *_paged(blocks[-taken:], body, body)]
        if len(again) == len(letter_):
            letter_ = again
    return letter_


def _paged(blocks: tuple[Block, ...], first: Area, body: Area) -> list[Filled]:
    pages: list[Filled] = []
    rest, room = blocks, first
    while rest:
        filled = fill(rest, 1, room.height)
        if not filled.placed:
            break
        pages.append(filled)
        rest, room = _in_order(filled, rest), body
    return pages


def _used_mm(page: Filled) -> float:
    return max(down + block.height_mm for _, down, block in page.placed)


def _in_order(filled: Filled, before: tuple[Block, ...]) -> tuple[Block, ...]:
    """What is left, in the order of the letter."""
    order = [block.heading for block in before]

    def place(block: Block) -> int:
        return next(i for i, heading in enumerate(order) if block.heading.startswith(heading))

    return tuple(sorted(filled.rest, key=place))


def _head(quote: Quote, body: Area) -> tuple[tuple[Mark, ...], float]:
    """Letterhead and title; their height."""
    top = body.top
    marks: list[Mark] = []
    if quote.firm:
        marks.append(letter(quote.firm, (body.x, top - TITLE), TITLE, bold=True))
    marks.append(letter("Quote", (body.right, top - TITLE), TITLE, anchor=Anchor.END, bold=True))
    down = TITLE + 3.5
    for line in quote.address:
        marks.append(letter(line, (body.x, top - down - FINE), FINE, colour=SOFT))
        down += LEADING * FINE
    facts = [text for text in (quote.date, f"Revision {quote.revision}" if quote.revision else "") if text]
    for k, line in enumerate(facts):
        at = (body.right, top - TITLE - 3.5 - FINE - k * LEADING * FINE)
        marks.append(letter(line, at, FINE, anchor=Anchor.END, colour=SOFT))
    down = max(down, TITLE + 3.5 + len(facts) * LEADING * FINE) + 2.0
    marks.append(Stroke(runs=(Run(((body.x, top - down), (body.right, top - down))),), pen=RULE))
    down += 4.0
    for text, height, bold in ((quote.title, HEAD, True), (quote.site, BODY, False)):
        if text:
            marks.append(letter(text, (body.x, top - down - height), height, bold=bold))
            down += LEADING * height + 1.0
    return (Group(marks=tuple(marks), layer="title-block"),), down + 3.0


def _blocks(quote: Quote, width: float) -> tuple[Block, ...]:
    return (
        _list("What we will do", quote.scope, width),
        _prices(quote, width),
        *_details(quote, width),
        _list("Until the floor is ready", quote.closed, width),
        _list("Not included", quote.exclusions, width),
        _list("Terms", (quote.validity, *quote.terms), width),
        _signatures(quote, width),
    )


def _list(heading: str, lines: Iterable[str], width: float) -> Block:
    rows = tuple(item(_sentence(line), width, height=BODY) for line in lines)
    return Block(heading=heading, width_mm=width, rows=rows, spills=True)


def _sentence(line: str) -> str:
    return line[:1].upper() + line[1:]


def _prices(quote: Quote, width: float) -> Block:
    taxed = any(choice.tax for choice in quote.choices)
    deposit = any(choice.deposit for choice in quote.choices)
    columns = [Column("", 3.0), Column("Price", 1.2, right=True)]
    columns += [Column("Tax", 1.0, right=True), Column("Total", 1.2, right=True)] if taxed else []
    columns += [Column("Due with order", 1.3, right=True)] if deposit else []
    cells = [_cells(choice, quote.currency, taxed=taxed, deposit=deposit) for choice in quote.choices]
    head, body = table(columns, cells, width, height=BODY)
    return Block(heading="Price", width_mm=width, rows=body, head_rows=head, spills=True)


def _cells(choice: Choice, currency: str, *, taxed: bool, deposit: bool) -> list[str]:
    def money(amount: Decimal) -> str:
        return money_text(amount, currency)

    cells = [choice.title, money(choice.price)]
    cells += [money(choice.tax), money(choice.total)] if taxed else []
    return cells + ([money(choice.deposit)] if deposit else [])


def _details(quote: Quote, width: float) -> list[Block]:
    """What each choice holds, where there is something to say."""
    rows: list[Row] = []
    for choice in quote.choices:
        if choice.says:
            rows += text_rows(choice.title, width, height=BODY, bold=True)
            rows += [item(_sentence(line), width, height=BODY) for line in choice.says]
    if not rows:
        return []
    return [Block(heading="What each choice holds", width_mm=width, rows=tuple(rows), spills=True)]


def _signatures(quote: Quote, width: float) -> Block:
    """Lines to sign on; with several choices, a line for the one taken."""
    names = ["Accepted (name, date)", quote.firm or "For the firm"]
    if len(quote.choices) > 1:
        names.insert(0, "Choice taken")
    share = width / len(names)

    def draw(x: float, top: float) -> tuple[Mark, ...]:
        y = top - _SIGN_MM + 4.0
        marks: list[Mark] = []
        for k, name in enumerate(names):
            left = x + k * share
            marks.append(Stroke(runs=(Run(((left, y), (left + share - 4.0, y))),), pen=FAINT_RULE))
            marks.append(letter(name, (left, y - 1.5 * FINE), FINE, colour=SOFT))
        return tuple(marks)

    return Block(heading="Acceptance", width_mm=width, rows=(Row(_SIGN_MM, draw),), spills=True)


def _page(quote: Quote, sheet: Paper, marks: tuple[Mark, ...], number: int, of: int) -> Page:
    width, height = sheet.size_mm(landscape=False)
    words = " · ".join(
        part for part in (quote.title, quote.site, f"page {number} of {of}, and the drawing") if part
    )
    foot = letter(words, (width / 2, MARGIN_MM), FINE, anchor=Anchor.MIDDLE, colour=SOFT)
    where = f", {quote.site}" if quote.site else ""
    return Page(
        width_mm=width,
        height_mm=height,
        marks=(*marks, foot),
        title=f"Quote: {quote.title}{where}",
        description=f"Quote for {quote.title}{where}, page {number} of {of}.",
        paper=sheet.name,
    )
