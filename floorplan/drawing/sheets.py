"""Sheets: from a plan and its takeoff to pages of marks."""

from __future__ import annotations

from collections.abc import Sequence

from ..errors import Fault, SheetError
from ..measure.model import Takeoff
from ..plan.model import Plan
from ..units.figures import Figures
from ..values import replace
from ..work.plan import WorkPlan
from ..work.pours import Pour
from . import crew, customer, day_card, estimator
from .choice import lay, why
from .job import Job, SheetKind
from .marks import Page
from .pages import Draft, Drawn, Wish, finished, one_page, text_pages
from .paper import METRIC_PAPERS, PAPERS, US_PAPERS, Paper, paper_named
from .scales import read_scale, readable, scales
from .tiles import tiled
from .together import views
from .zone_maps import zone_pages

SHEETS: dict[str, SheetKind] = {kind.name: kind for kind in (estimator.SHEET, crew.SHEET, customer.SHEET)}


def compose(
    plan: Plan,
    takeoff: Takeoff,
    *,
    sheet: str = "crew",
    paper: str | None = None,
    scale: str | None = None,
    work: Sequence[Pour] = (),
    schedule: WorkPlan | None = None,
) -> tuple[Page, ...]:
    """The pages of one sheet.

    Slabs share a drawing where the plan says how they lie to each other, else each has its own. A drawing
    that fits no paper at a readable scale, or not at the scale asked for, is laid over several pages behind
    a key plan. All pages have one paper; where it was chosen here, the first page's remark says why.

    Args:
        plan: the plan.
        takeoff: of that plan.
        sheet: "estimator", "crew", "customer" or "day".
        paper: a name from the table of papers; None takes the plan's, else what an office printer holds.
        scale: "1:48" or "auto"; None takes the plan's.
        work: every coat in its pour zones, where they are known; the crew's drawing shows those of the first
            coat, and one page more for each coat whose zones differ.
        schedule: days with clock times and tests; its coats stand where `work` gives none. A day card needs
        it.

    Raises:
        SheetError: a sheet, paper or scale that is not known or cannot be drawn.
    """
    names = (*SHEETS, day_card.KIND.name)
    if sheet not in names:
        text = f'there is no sheet "{sheet}"'
        raise SheetError(Fault(code="sheet-unknown", text=text, hint=f"write one of {', '.join(names)}"))
    pours = tuple(work) or (schedule.pours if schedule is not None else ())
    job = Job(plan=plan, takeoff=takeoff, figures=Figures(plan.units), work=pours, schedule=schedule)
    if sheet == day_card.KIND.name:
        return finished(job, day_card.KIND, _cards(job, paper))
    wish = _wish(job, paper, scale)
    kind, drafts = SHEETS[sheet], list[Draft]()
    laid, tried = lay(job, kind, views(takeoff.slabs, plan.origin), wish)
    chosen, wish = len(wish.papers) > 1, replace(wish, papers=(laid.paper,))
    placed: list[Drawn | None] = []
    for group, made in laid.drawings.items():
        page = replace(job, group=group)
        drawn = one_page(page, kind, group, wish, made)
        placed.append(drawn)
        drafts += [drawn.page] if drawn is not None else tiled(page, kind, group, wish)
        rest = drawn.rest if drawn is not None else ()
        if sheet == "crew":
            ratio = drawn.made.scale.ratio if drawn is not None else 0.0
            zones, rest = zone_pages(page, group, wish, ratio, rest)
            drafts += zones
        drafts += text_pages(rest, drawn.made) if drawn is not None else []
    first, *others = finished(job, kind, drafts)
    return (replace(first, remark=why(laid, tried, placed) if chosen else ""), *others)


def _cards(job: Job, paper: str | None) -> list[Draft]:
    if job.schedule is None:
        text = "a day card needs the days of the job"
        raise SheetError(Fault(code="sheet-days", text=text, hint="give the work plan of this takeoff"))
    # A card goes into a pocket: office paper, whatever the drawings are on.
    usual = PAPERS[(US_PAPERS if job.figures.is_us else METRIC_PAPERS)[0]]
    return day_card.day_drafts(job, job.schedule, paper_named(paper) if paper else usual)


def _wish(job: Job, paper: str | None, scale: str | None) -> Wish:
    metric = not job.figures.is_us
    asked = read_scale(scale if scale is not None else job.plan.sheet.scale)
    return Wish(
        papers=tuple(_papers(job, paper)),
        scales=(asked,) if asked else scales(metric=metric),
        limit=asked.ratio if asked else readable(metric=metric),
    )


def _papers(job: Job, paper: str | None) -> list[Paper]:
    name = paper or job.plan.sheet.paper
    if name:
        return [paper_named(name)]
    return [PAPERS[each] for each in (US_PAPERS if job.figures.is_us else METRIC_PAPERS)]
