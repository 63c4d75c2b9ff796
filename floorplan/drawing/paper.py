"""Paper sizes.

Sources: ISO 216 (A sizes); ASME Y14.1 (letter, tabloid) and the US architectural sizes. Sizes in inches are
exact in millimetres.
"""

from __future__ import annotations

from ..errors import Fault, SheetError
from ..values import dataclass


@dataclass(frozen=True, slots=True)
class Paper:
    """A sheet by its short and long side, mm."""

    name: str
    short_mm: float
    long_mm: float

    def size_mm(self, *, landscape: bool) -> tuple[float, float]:
        """Width and height."""
        return (self.long_mm, self.short_mm) if landscape else (self.short_mm, self.long_mm)


PAPERS: dict[str, Paper] = {
    paper.name: paper
    for paper in (
        Paper("letter", 215.9, 279.4),
        Paper("legal", 215.9, 355.6),
        Paper("tabloid", 279.4, 431.8),
        Paper("arch-a", 228.6, 304.8),
        Paper("arch-b", 304.8, 457.2),
        Paper("arch-c", 457.2, 609.6),
        Paper("arch-d", 609.6, 914.4),
        Paper("arch-e1", 762.0, 1066.8),
        Paper("arch-e", 914.4, 1219.2),
        Paper("A4", 210.0, 297.0),
        Paper("A3", 297.0, 420.0),
        Paper("A2", 420.0, 594.0),
        Paper("A1", 594.0, 841.0),
    )
}

US_PAPERS = ("letter", "tabloid")
"""Tried in this order where a plan in feet names no paper: what an office printer holds."""
METRIC_PAPERS = ("A4", "A3")


def paper_named(name: str) -> Paper:
    """The paper of that name; capitals, spaces and hyphens do not matter.

    Raises:
        SheetError: no such paper.
    """
    plain = name.casefold().replace(" ", "").replace("-", "").replace("_", "")
    for paper in PAPERS.values():
        if paper.name.casefold().replace("-", "") == plain:
            return paper
    known = ", ".join(PAPERS)
    raise SheetError(
        Fault(code="paper-unknown", text=f'there is no paper "{name}"', hint=f"write one of {known}")
    )
