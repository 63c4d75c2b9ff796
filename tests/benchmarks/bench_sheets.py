"""Sheets against a plain matplotlib figure of the same outline, and how the layout grows with size.

Run: python tests/benchmarks/bench_sheets.py

"Plain" draws the outline and the cut-outs of the sample as lines on bare axes, on paper of the same size,
and saves them; it has no text, no dimensions and no layout. Both run in turn after imports and one warming
round. The medians of the process's own time (so that a busy machine does not count) and their ratio are
printed, with the limits of the sheets: SVG 50 ms, PDF 1 s, 500 sides with 100 joints laid out in 5 s; the
table of all benchmarks shows the share of these. Crew sheets with their pour zones and day cards have a page
for each coat that is poured otherwise and for each day: the 50 ms are those of a page.
"""

from __future__ import annotations

import io
import math
import statistics
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
from matplotlib.backends.backend_pdf import FigureCanvasPdf
from matplotlib.backends.backend_svg import FigureCanvasSVG
from matplotlib.figure import Figure
from results import Result, told

import floorplan
from floorplan.drawing.marks import Page
from floorplan.drawing.sheets import compose
from floorplan.render.figure import render_pdf
from floorplan.render.svg import render
from floorplan.units.factors import INCH_MM

SAMPLES = Path(__file__).parents[2] / "sample_plans"
ROUNDS = 7
PEOPLE = ("estimator", "crew", "customer")
SVG_S, PDF_S, LARGE_S = 0.05, 1.0, 5.0


def timed(work: Callable[[], object]) -> float:
    """Seconds of one call."""
    start = time.process_time()
    work()
    return time.process_time() - start


def plain(takeoff: floorplan.Takeoff, page: Page, canvas: type, form: str) -> bytes:
    """The outline alone, by matplotlib."""
    figure = Figure(figsize=(page.width_mm / INCH_MM, page.height_mm / INCH_MM))
    canvas(figure)
    axes = figure.add_axes((0.05, 0.05, 0.9, 0.9))
    for slab in takeoff.slabs:
        for ring in (slab.ring, *(cutout.ring for cutout in slab.cutouts)):
            points = np.vstack((ring.flattened(), ring.points[:1]))
            axes.plot(*points.T, color="black")
    axes.set_aspect("equal")
    out = io.BytesIO()
    figure.savefig(out, format=form)
    return out.getvalue()


def compared(name: str, sheet: str) -> list[Result]:
    """One sheet of one sample as SVG and PDF."""
    takeoff = floorplan.takeoff(floorplan.load(SAMPLES / f"{name}.toml"))
    page = compose(takeoff.plan, takeoff, sheet=sheet)[0]

    def ours_svg() -> None:
        for each in compose(takeoff.plan, takeoff, sheet=sheet):
            render(each)

    def ours_pdf() -> None:
        render_pdf(compose(takeoff.plan, takeoff, sheet=sheet))

    rows = (
        ("svg", ours_svg, lambda: plain(takeoff, page, FigureCanvasSVG, "svg"), SVG_S),
        ("pdf", ours_pdf, lambda: plain(takeoff, page, FigureCanvasPdf, "pdf"), PDF_S),
    )
    found = []
    for form, ours, theirs, limit in rows:
        pairs = [(timed(ours), timed(theirs)) for _ in range(ROUNDS + 1)][1:]
        mine, its = (statistics.median(column) for column in zip(*pairs, strict=True))
        label = f"{name} {sheet} {form}"
        print(f"{label:28} {mine * 1e3:7.1f} ms   plain {its * 1e3:7.1f} ms   ratio {mine / its:5.2f}")
        found.append(Result(label, f"{limit:g} s", mine / limit, 1.0))
    return found


def with_days(name: str, sheet: str) -> Result:
    """A page of a sheet that shows the work plan, as SVG; the work plan itself is made beforehand."""
    takeoff = floorplan.takeoff(floorplan.load(SAMPLES / f"{name}.toml"))
    days = floorplan.schedule(takeoff.plan, takeoff)

    def ours() -> int:
        made = compose(takeoff.plan, takeoff, sheet=sheet, schedule=days)
        return len([render(page) for page in made])

    count = ours()
    seconds = statistics.median([timed(ours) for _ in range(ROUNDS)]) / count
    label = f"{name} {sheet} with zones, svg, a page of {count}"
    print(f"{label:46} {seconds * 1e3:7.1f} ms")
    return Result(label, f"{SVG_S:g} s", seconds / SVG_S, 1.0)


def large(sides: int = 500, joints: int = 100) -> str:
    """A yard of many short sides and a grid of joints."""
    rows = []
    kinds = ("wall", "open", "siding", "fence", "slab")
    for i in range(sides):
        turn = 2.0 * math.pi * i / sides
        r = 30.0 * (1.0 + 0.25 * math.sin(3.0 * turn) + 0.03 * (i % 2))
        rows.append(f"P{i} {r * math.cos(turn):.3f}, {0.7 * r * math.sin(turn):.3f} | {kinds[(i // 7) % 5]}")
    half = joints // 2
    lines = [f"-50, {-30 + 60 * k / half:.3f} -> 50, {-30 + 60 * k / half:.3f}" for k in range(half)]
    lines += [f"{-45 + 90 * k / half:.3f}, -40 -> {-45 + 90 * k / half:.3f}, 40" for k in range(half)]
    outline, typed = "\n".join(rows), "\n".join(lines)
    return (
        f'title = "Yard"\nunits = "m"\n[[slab]]\nname = "Yard"\nsystem = "clear-seal"\n'
        f'outline = """\n{outline}\n"""\n'
        f'[[slab.joint]]\nname = "cuts"\nkind = "saw cut"\ntreatment = "fill"\nlines = """\n{typed}\n"""\n'
    )


def main(_: list[str]) -> list[Result]:
    """All rows."""
    found = [r for name in ("l-patio", "garage", "pool") for sheet in PEOPLE for r in compared(name, sheet)]
    found += [with_days(name, sheet) for name in ("l-patio", "garage", "pool") for sheet in ("crew", "day")]
    takeoff = floorplan.takeoff(floorplan.read(large()))
    seconds = timed(lambda: compose(takeoff.plan, takeoff))
    print(f"{'500 sides, 100 joints':28} {seconds:7.2f} s    limit {LARGE_S:g} s")
    return [*found, Result("500 sides, 100 joints", f"{LARGE_S:g} s", seconds / LARGE_S, 1.0)]


if __name__ == "__main__":
    told(main)
