"""Cut-outs as rings on the floor: each copy of each form, placed, turned and named."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from ..errors import Fault, PlanError
from ..geometry.rings import Ring
from ..plan.model import Cutout, OutlineShape, Rectangle, Round, Spot
from ..units.figures import Figures
from ..values import dataclass
from .outline import solve_outline
from .solved import LARGEST_COORDINATE_M, SolvedShape, fault
from .spots import spot_xy

SMALLEST_M: Final = 1e-4
"""Nothing that stands on a floor is thinner than a tenth of a millimetre; such a size is a slip."""

LARGEST_SPANS: Final = 100
"""A cut-out may be larger than the slab, to cut a part off it; not so much larger."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """One copy of a cut-out where it stands.

    Attributes:
        name: the cut-out's name; the second copy of "post" is "post 2".
        cutout: as typed.
        ring: counter-clockwise, metres.
        centre: where it was placed; the middle of its box for typed corners.
        size_text: the size as typed, "" for typed corners.
    """

    name: str
    cutout: Cutout
    ring: Ring
    centre: tuple[float, float]
    size_text: str


def place_cutouts(
    cutouts: tuple[Cutout, ...], shape: SolvedShape, figures: Figures
) -> tuple[list[Placed], list[Fault]]:
    """Every copy of every cut-out in the order of the plan, and the faults of those that have no shape."""
    placed: list[Placed] = []
    faults: list[Fault] = []
    names: dict[str, int] = {}
    for cutout in cutouts:
        try:
            base = _base(cutout, figures)
            _check_against(base, shape, cutout)
            spots: tuple[Spot | None, ...] = cutout.at or (None,)
            for spot in spots:
                at = None if spot is None else spot_xy(spot, shape, f"cut-out {cutout.name}", cutout.place)
                name = _free_name(cutout.name, names)
                placed.append(_copy(cutout, base, at, name, figures))
        except PlanError as error:
            faults += error.faults
    return placed, faults


def _check_against(base: Ring, shape: SolvedShape, cutout: Cutout) -> None:
    """Refuse a cut-out beside which the slab is a speck."""
    if _span_m(base) > LARGEST_SPANS * _span_m(shape.ring):
        said = f"cut-out {cutout.name} is more than {LARGEST_SPANS} times as large as the slab"
        raise PlanError(fault("cutout-size", said, cutout.place, "look at the unit of its size"))


def _span_m(ring: Ring) -> float:
    x0, y0, x1, y1 = ring.bounds()
    return max(x1 - x0, y1 - y0)


def _free_name(name: str, taken: dict[str, int]) -> str:
    """The name itself, or with the next number where it is taken; `taken` holds the last number of each."""
    free, number = name, taken.get(name, 0)
    while free in taken:
        number += 1
        free = f"{name} {number}"
    taken[name] = max(number, 1)
    taken.setdefault(free, 1)
    return free


def _base(cutout: Cutout, figures: Figures) -> Ring:
    """The form about 0, 0 before turning, or as typed.

    The arcs of typed corners stand out of the cut-out or into it, as one sees it when typing its corners.
    """
    form = cutout.form
    if isinstance(form, OutlineShape):
        return solve_outline(
            form, figures, whose=f"cut-out {cutout.name}", place=cutout.place
        ).ring.counter_clockwise()
    sizes = (form.width.m, form.depth.m) if isinstance(form, Rectangle) else (form.diameter.m,)
    if not all(SMALLEST_M <= size <= LARGEST_COORDINATE_M for size in sizes):
        said = f"cut-out {cutout.name}: a size must be above 0, and small enough to be measured"
        raise PlanError(fault("cutout-size", said, cutout.place))
    if not cutout.at:
        said = f"cut-out {cutout.name}: it is not said where it stands"
        raise PlanError(
            fault("cutout-unplaced", said, cutout.place, 'give at = ["x, y"], the centre of each copy')
        )
    if isinstance(form, Rectangle):
        return Ring.rectangle((0.0, 0.0), form.width.m, form.depth.m)
    return Ring.circle((0.0, 0.0), form.diameter.m)


def _copy(cutout: Cutout, base: Ring, at: tuple[float, float] | None, name: str, figures: Figures) -> Placed:
    x, y = at or (0.0, 0.0)
    ring = base.turned(cutout.turn_deg) if cutout.turn_deg else base
    ring = ring.moved(x, y) if at else ring
    centre = at
    if centre is None or isinstance(cutout.form, OutlineShape):
        x0, y0, x1, y1 = ring.bounds()
        centre = (0.5 * (x0 + x1), 0.5 * (y0 + y1))
    return Placed(
        name=name, cutout=cutout, ring=ring, centre=centre, size_text=" ".join(_size(cutout, figures))
    )


def _size(cutout: Cutout, figures: Figures) -> Iterator[str]:
    match cutout.form:
        case Rectangle(width=width, depth=depth):
            yield f"{width.text or figures.length(width.m)} x {depth.text or figures.length(depth.m)}"
        case Round(diameter=diameter):
            yield f"Ø {diameter.text or figures.length(diameter.m)}"
        case _:
            return
