"""Whether the packs on the list serve every batch, not only the total: a kit opened for a zone is its own."""

from __future__ import annotations

from collections.abc import Sequence

from ..errors import Notice
from ..system.model import Measure
from ..values import dataclass
from ..work.pours import Pour
from .model import MaterialLine, MaterialList
from .words import Words, plural

# A zone may take so much of a litre more than its pack before a second one is opened.
_SLACK_L = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchNeed:
    """Litres of a product that are mixed for one zone of one coat."""

    product: str
    layer: str
    order: int
    litres: float


def batch_needs(pours: Sequence[Pour]) -> tuple[BatchNeed, ...]:
    """Every batch of a work plan."""
    return tuple(
        BatchNeed(
            product=pour.batch.coat.product.name,
            layer=zone.layer,
            order=zone.order,
            litres=mixed_l,
        )
        for pour in pours
        for zone, mixed_l in zip(pour.zones, pour.mixed_l, strict=True)
    )


def batch_notices(order: MaterialList, needs: Sequence[BatchNeed]) -> tuple[Notice, ...]:
    """A warning for each product whose packs, one or more to a batch, do not go round.

    The largest batch takes the largest pack and so on down; a batch that one does not cover opens another.
    """
    words = Words(order.units)
    notices = []
    for product in dict.fromkeys(need.product for need in needs):
        own = sorted((need for need in needs if need.product == product), key=lambda need: -need.litres)
        lines = [line for line in order.items if line.product == product]
        packs = [size for line in lines for size in [line.pack_amount] * (line.packs + _held(line))]
        packs.sort(reverse=True)
        short = _short(own, packs)
        if lines and short is not None:
            have = plural(len(packs), lines[0].pack_word)
            text = (
                f"{have} hold the total, but not batch by batch: none is left "
                f"for zone {short.order} of {short.layer} ({words.amount(Measure.VOLUME, short.litres)}). "
                "Measure out parts of kits, or order one more"
            )
            notices.append(Notice(code="batches-short", text=text, where=lines[0].item))
    return tuple(notices)


def _held(line: MaterialLine) -> int:
    """Whole packs on hand."""
    return int(line.hand_amount / line.pack_amount + _SLACK_L)


def _short(needs: Sequence[BatchNeed], packs: Sequence[float]) -> BatchNeed | None:
    """The first batch that the packs do not reach."""
    left = list(packs)
    for need in needs:
        covered = 0.0
        while covered < need.litres - _SLACK_L:
            if not left:
                return need
            covered += left.pop(0)
    return None
