"""What must be said of zones: more than a batch, more than a kit, no way out, an old edge."""

from __future__ import annotations

from collections.abc import Sequence

from ..errors import Notice
from ..system.model import Surface
from .batches import WET_EDGE_MIN, Batch
from .pour_model import Pour, PourZone
from .zoning import PASSAGE_M, Zone

_DUST = 1e-9


def zone_notices(where: str, batch: Batch, zones: Sequence[Zone], rows: Sequence[PourZone]) -> list[Notice]:
    """Warnings of one coat on one slab.

    Args:
        where: slab and coat.
        batch: of the coat.
        zones: as cut.
        rows: the same zones with their figures.
    """
    found = []
    for zone, row in zip(zones, rows, strict=True):
        said = (_size(zone, row, batch), _way_out(zone, row), _edge(row, batch))
        found += [Notice(code=code, text=text, where=where) for code, text in said if code]
    return found


def upright_words(pour: Pour, zones: Sequence[PourZone]) -> str:
    """Which zones have more in their kits than the area beside them says; "" where none has."""
    if not {Surface.FACES, Surface.RISERS} & {*pour.batch.coat.on}:
        return ""
    numbers = [str(zone.order) for zone in zones if zone.vertical_m2 > _DUST]
    return f"kits for faces and steps too: zone {', '.join(numbers)}" if numbers else ""


def _size(zone: Zone, row: PourZone, batch: Batch) -> tuple[str, str]:
    n = f"zone {row.order}"
    if zone.whole:
        return (
            "zone-over-batch",
            f"{n} is more than one batch and no straight cut parts it; mark a joint there",
        )
    over_l = row.litres - batch.kit_l
    if over_l <= batch.kit_l * _DUST:
        return "", ""
    short = over_l / batch.kit_l
    if row.carried_l < over_l - _DUST:
        return "zone-over-kit", f"{n} takes {row.kits:.2f} kit: mix {short:.2f} of another for it"
    return "zone-over-kit", f"{n} takes {row.kits:.2f} kit: carry {short:.2f} kit from the batch before"


def _way_out(zone: Zone, row: PourZone) -> tuple[str, str]:
    if not zone.strands:
        return "", ""
    text = (
        f"after zone {row.order} part of the floor is cut off from every exit: it must be left on spiked"
        " shoes or over a plank; another exit or a wider way would help"
    )
    return "zone-no-way-out", text


def _edge(row: PourZone, batch: Batch) -> tuple[str, str]:
    """An edge off any joint that is met late; heat shortens the time as it does that of the pail."""
    stated, now = batch.coat.times.pail_min, batch.times.pail_min
    limit = WET_EDGE_MIN * (now / stated if now and stated else 1.0)
    age = row.wet_edge_age_min
    if age is None or age <= limit or row.off_joint_m <= PASSAGE_M:
        return "", ""
    text = f"the edge of zone {row.order} off a joint is {age:.0f} min old when it is met; it may show"
    return "zone-edge-old", text
