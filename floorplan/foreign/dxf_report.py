"""What is told about a DXF file: its version, what was mended, what contradicts, what was lost."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final

from ..errors import Fault, Notice
from ..values import dataclass
from .blocks import MOST_PUT_DOWN, Block, Refusal
from .drawing_units import INSUNITS, contradiction
from .tags import Damage
from .texts import printable

VERSIONS: Final = {
    "AC1006": "R10",
    "AC1009": "R12",
    "AC1012": "R13",
    "AC1014": "R14",
    "AC1015": "R2000",
    "AC1018": "R2004",
    "AC1021": "R2007",
    "AC1024": "R2010",
    "AC1027": "R2013",
    "AC1032": "R2018",
}

REFUSED: Final = {
    "missing": "is missing",
    "cyclic": "holds itself",
    "deep": "stands too deep in other blocks",
    "outside": "is another file",
}
"""Why a block was not put down, in words."""

_TOLD: Final = 5


@dataclass(frozen=True, slots=True)
class Where:
    """How far a reading came.

    Attributes:
        sections: sections met.
        section: the one left open, "" for none.
        entities: entities read.
        whole: the section of the line work was read to its end.
    """

    sections: int
    section: str
    entities: int
    whole: bool


def form_of(header: Mapping[str, str], *, binary: bool) -> str:
    """The kind of file for people: `binary DXF R12 (AC1009)`."""
    version = header.get("$ACADVER", "")
    if not version:
        words = "DXF that states no version"
    elif version in VERSIONS:
        words = f"DXF {VERSIONS[version]} ({version})"
    else:
        words = f"DXF of version {version[:20]}"
    return f"binary {words}" if binary else words


def header_number(header: Mapping[str, str], variable: str) -> int | None:
    """A header variable as a whole number, None when it is absent or none."""
    try:
        return int(float(header[variable]))
    except (KeyError, ValueError, OverflowError):
        return None


def notices_of(
    name: str, header: Mapping[str, str], heights: tuple[float, float], damage: Damage
) -> Iterator[Notice]:
    """Warnings about a file that was read: contradictions, dropped heights, places that were passed over."""
    code = header_number(header, "$INSUNITS")
    words = contradiction(code, header_number(header, "$MEASUREMENT")) if code is not None else ""
    if words:
        text = f"{words}; read as {INSUNITS[code or 0][0]}"
        yield Notice(code="drawing-units-contradict", text=text, where=name)
    low, high = heights
    if high - low > 1e-6 * max(1.0, abs(low), abs(high)):
        text = f"its line work lies at heights from {low:g} to {high:g}; it is read as seen from above"
        yield Notice(code="drawing-heights-dropped", text=text, where=name)
    for first, last, found in damage.skipped[:_TOLD]:
        text = f"lines {first} to {last} could not be read (at {found!r}) and were passed over"
        yield Notice(code="drawing-mended", text=text, where=name)
    if len(damage.skipped) > _TOLD:
        text = f"{len(damage.skipped) - _TOLD} more places could not be read and were passed over"
        yield Notice(code="drawing-mended", text=text, where=name)


def losses_of(name: str, damage: Damage, where: Where) -> Iterator[Notice]:
    """What was lost for good: no section at all, or a file that breaks off."""
    if not where.sections:
        yield Notice(code="drawing-no-sections", text="it holds no section, so nothing was read", where=name)
    elif not damage.ended and where.section and not where.whole:
        section = printable(where.section)[:40]
        text = f"it breaks off at line {damage.last_line}, in its section {section}"
        text += f"; {where.entities} entities before that were read"
        yield Notice(code="drawing-cut-off", text=text, where=name)


def refused_notice(refusal: Refusal, blocks: Mapping[str, Block]) -> Notice:
    """The warning about a block that cannot be put down."""
    name = printable(refusal.name)[:80]
    if refusal.why == "outside":
        path = printable(blocks[refusal.name.upper()].reference)[:120]
        text = f"block {name} is another file ({path}) and was not read; bind it in if it matters"
        return Notice(code="drawing-reference", text=text)
    return Notice(code=f"drawing-block-{refusal.why}", text=f"block {name} {REFUSED[refusal.why]}")


def bomb_notice(total: int) -> Notice:
    """The loss of blocks that would explode beyond the limit."""
    text = f"its blocks would come to {total:,} entities, above the limit of {MOST_PUT_DOWN:,}"
    return Notice(code="drawing-block-bomb", text=f"{text}; none of them was used")


def not_dxf(name: str, look: str) -> Fault:
    """The fault of a file that is no DXF, from what its first bytes look like."""
    if look == "mangled":
        return Fault(
            code="drawing-mangled",
            text=f"{name}: this binary DXF was sent as text, which broke it",
            hint="have it sent again as an attachment or in a ZIP archive, or saved as a text DXF",
        )
    return Fault(
        code="drawing-not-dxf", text=f"{name}: this is {look}", hint="a DXF file begins with 0 and SECTION"
    )
