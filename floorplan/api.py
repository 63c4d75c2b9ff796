"""The public functions: load or read a plan, take it off, list the material, draw it."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from .plan.model import Plan
from .plan.reader import NOTHING, Usual, load_plan, read_plan

if TYPE_CHECKING:
    from .drawing.marks import Page
    from .measure.model import Takeoff
    from .order.model import MaterialList
    from .plan.model_work import WorkSettings
    from .work.plan import WorkPlan


def load(path: str | Path, *, usual: Usual = NOTHING, folders: Sequence[Path] = ()) -> Plan:
    """The plan in a file, with everything that it names beside it.

    Args:
        path: of the plan.
        usual: what a table takes where the plan says nothing, by table and key: `Firm.usual`.
        folders: where coating systems of the user's own are looked for by name.

    Raises:
        FloorplanError: every fault of the file, with line and cure.
    """
    return load_plan(Path(path), usual=usual, folders=folders)


def read(
    text: str,
    *,
    name: str = "-",
    beside: str | Path | None = None,
    usual: Usual = NOTHING,
    folders: Sequence[Path] = (),
) -> Plan:
    """The plan in a text; `beside` is the folder where files that it names are looked for.

    Args:
        text: TOML.
        name: for faults.
        beside: folder that paths in the plan start from; None allows none.
        usual: as in `load`.
        folders: as in `load`.

    Raises:
        FloorplanError: every fault of the text, with line and cure.
    """
    folder = Path(beside) if beside is not None else None
    return read_plan(text, name, folder, usual=usual, folders=folders)


def takeoff(plan: Plan) -> Takeoff:
    """Areas, edges, joints, faces and machine reach of every slab.

    Raises:
        FloorplanError: a shape that cannot be measured, such as an outline that crosses itself.
    """
    from .measure.floor import measure

    return measure(plan)


def materials(plan: Plan, takeoff: Takeoff | None = None) -> MaterialList:
    """What to buy, in whole packs, each line with its sum written out."""
    from .measure.floor import measure
    from .order.needs import material_list

    return material_list(plan, takeoff if takeoff is not None else measure(plan))


def schedule(
    plan: Plan,
    takeoff: Takeoff | None = None,
    *,
    settings: WorkSettings | None = None,
    order: MaterialList | None = None,
) -> WorkPlan:
    """Pour zones in order, days with clock times, loads, tests and weather.

    Args:
        plan: the job.
        takeoff: of the same plan; measured here when left out.
        settings: start, crew and temperature in place of those of the plan.
        order: the material list, for what goes on the truck; worked out here when left out.
    """
    from .measure.floor import measure
    from .order.chores import chores
    from .order.labour import labour
    from .order.supplies import supplies
    from .order.words import Words
    from .work.plan import work_plan

    measured = takeoff if takeoff is not None else measure(plan)
    used = settings if settings is not None else plan.work
    hours = labour(measured, Words(plan.units), crew=used.crew)
    bought = supplies(order if order is not None else materials(plan, measured), measured, hours)
    return work_plan(measured, chores(hours), hours.people, settings=used, supplies=bought)


def draw(
    plan: Plan,
    takeoff: Takeoff | None = None,
    *,
    sheet: str = "crew",
    format: str = "svg",
    paper: str | None = None,
    scale: str | None = None,
    days: WorkPlan | None = None,
) -> tuple[bytes, ...]:
    """The sheet as finished files, one for each page (a PDF holds all pages and is one).

    Args:
        plan: what to draw.
        takeoff: of the same plan; measured here when left out.
        sheet: "estimator", "crew", "customer" or "day" (a card for each day on site).
        format: "svg", "pdf", "png" or "dxf".
        paper: "letter", "A4", …; None takes the plan's, or the smallest that serves.
        scale: "1:48" or "auto"; None takes the plan's.
        days: `schedule` of the same plan; worked out here when left out and the sheet shows it.

    Raises:
        FloorplanError: a sheet, paper or scale that is not known or cannot be drawn.
    """
    from .measure.floor import measure
    from .render.files import render_pages, render_true_size

    measured = takeoff if takeoff is not None else measure(plan)
    if format == "dxf":
        return (render_true_size(measured),)
    return render_pages(pages(plan, measured, sheet=sheet, paper=paper, scale=scale, days=days), format)


def pages(
    plan: Plan,
    takeoff: Takeoff,
    *,
    sheet: str = "crew",
    paper: str | None = None,
    scale: str | None = None,
    days: WorkPlan | None = None,
) -> tuple[Page, ...]:
    """The pages of one sheet as drawing marks, before any file format."""
    from .drawing.sheets import compose

    if days is None and sheet in ("crew", "day"):
        days = schedule(plan, takeoff)
    return compose(plan, takeoff, sheet=sheet, paper=paper, scale=scale, schedule=days)


def _repr_svg_(plan: Plan) -> str:
    """The crew sheet's first page, for notebooks."""
    return draw(plan)[0].decode("utf-8")


# A notebook asks the value itself for a picture; a plan cannot know drawings, so it is given one here.
Plan._repr_svg_ = _repr_svg_  # type: ignore[attr-defined]
