"""Options of a quote: the plan changed as the option says, and the whole job run again.

Kits round, so that a small addition may cost no material at all or tip a whole kit; an option is therefore
never a list price for an extra, but the difference of two worked jobs.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from pathlib import Path
from typing import Final

from ..errors import DataFileError, Fault, Notice
from ..measure.floor import measure
from ..measure.model import SlabTakeoff, Takeoff
from ..plan.model import Face, Joint, Plan, Slab, Treatment
from ..system.model import Coat, CoatingSystem, Layer
from ..system.reader import load_system
from ..units.length import Length
from ..values import dataclass, replace
from .firm import Firm, Option
from .job import WorkedJob, work_job
from .rules import OnHand

# Stands for the last coat of whatever system a job has.
LAST: Final = "last"


@dataclass(frozen=True, slots=True, kw_only=True)
class PricedOption:
    """An option with the job that was run for it; `added` is its total less that of the plan as drawn."""

    option: Option
    job: WorkedJob
    added: Decimal
    notices: tuple[Notice, ...] = ()


def priced_options(
    base: WorkedJob,
    firm: Firm,
    *,
    on_hand: Mapping[str, OnHand] | None = None,
    beside: Path | None = None,
) -> tuple[PricedOption, ...]:
    """Every option of the firm's file, each priced by re-running the job.

    Raises:
        DataFileError: an option names a coat or a system that there is not, or a price is missing.
        ValueError: the base job has no price.
    """
    if base.cost is None:
        raise ValueError("the base job has no price")
    plans: dict[str, tuple[Plan, int]] = {}
    rows = []
    for option in firm.options:
        plan, spare = plans.get(option.base, (base.plan, 0))
        changed = with_option(plan, option, measure(plan), beside=beside)
        spare += option.spare_kits
        plans[option.name] = (changed, spare)
        job = work_job(changed, measure(changed), firm=firm, on_hand=on_hand, spare_kits=spare)
        assert job.cost is not None
        added = job.cost.total - base.cost.total
        said = _indoors(base.plan, changed, option)
        rows.append(PricedOption(option=option, job=job, added=added, notices=said))
    return tuple(rows)


def _indoors(old: Plan, new: Plan, option: Option) -> tuple[Notice, ...]:
    """A cheaper choice must not be an indoor system under the sky (outdoors a floor wants two topcoats)."""
    return tuple(
        Notice(
            code="option-indoors",
            text=f"option {option.name} puts {after.system.title} on a floor that is drawn for outdoors",
            where=after.name,
        )
        for before, after in zip(old.slabs, new.slabs, strict=True)
        if before.system.outdoors and not after.system.outdoors
    )


def with_option(plan: Plan, option: Option, takeoff: Takeoff, *, beside: Path | None = None) -> Plan:
    """The plan with an option's changes.

    Args:
        plan: as drawn, or as an earlier option left it.
        option: what to change.
        takeoff: of that plan, for the sides that get faces.
        beside: folder that a system's path starts from.
    """
    slabs = [_slab(measured, option, beside) for measured in takeoff.slabs]
    return replace(plan, slabs=tuple(slabs))


def _slab(measured: SlabTakeoff, option: Option, beside: Path | None) -> Slab:
    slab = measured.slab
    system = load_system(option.system, beside) if option.system else slab.system
    if option.extra_coat:
        system = _with_extra_coat(system, option)
    faces = slab.faces + tuple(_faces(measured, dict(option.faces)))
    joints = tuple(_treated(joint, option) for joint in slab.joints)
    return replace(slab, system=system, faces=faces, joints=joints)


def _faces(measured: SlabTakeoff, heights: Mapping[str, float]) -> Sequence[Face]:
    """A face along every side of the kinds asked for that has none yet."""
    labels = [corner.label for corner in measured.corners]
    taken = {frozenset(face.side) for face in measured.slab.faces if isinstance(face.side, tuple)}
    found = []
    for edge in measured.edges:
        if edge.side is None or edge.kind not in heights:
            continue
        ends = (labels[edge.side], labels[(edge.side + 1) % len(labels)])
        if frozenset(ends) not in taken:
            found.append(Face(side=ends, height=Length(heights[edge.kind])))
    return found


def _treated(joint: Joint, option: Option) -> Joint:
    if joint.kind.value in option.seal:
        return replace(joint, treatment=Treatment.SEAL)
    if joint.kind.value in option.fill:
        return replace(joint, treatment=Treatment.FILL)
    return joint


def _with_extra_coat(system: CoatingSystem, option: Option) -> CoatingSystem:
    names = [coat.name for coat in system.coats]
    wanted = names[-1] if option.extra_coat == LAST and names else option.extra_coat
    if wanted not in names:
        from difflib import get_close_matches

        near = get_close_matches(option.extra_coat, names, n=1)
        raise DataFileError(
            Fault(
                code="option-coat",
                text=f"option {option.name}: {system.name} has no coat {option.extra_coat}",
                hint=f"did you mean {near[0]}?" if near else f"its coats: {', '.join(names)}",
            )
        )
    layers: list[Layer] = []
    for layer in system.layers:
        layers.append(layer)
        if isinstance(layer, Coat) and layer.name == wanted:
            layers.append(replace(layer, name=f"{layer.name}, once more", first=False, texture=0.0))
    return replace(system, layers=tuple(layers))
