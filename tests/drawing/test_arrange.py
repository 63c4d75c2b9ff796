"""Paper, direction and scale: the largest drawing that leaves the words that belong with it on the page."""

from __future__ import annotations

import pytest

from floorplan.drawing.arrange import Arrangement, Need, arrange
from floorplan.drawing.blocks import Block, Row
from floorplan.drawing.paper import PAPERS
from floorplan.drawing.scales import US_READABLE, US_SCALES, Scale
from floorplan.units.factors import FOOT_M

LETTER, TABLOID = PAPERS["letter"], PAPERS["tabloid"]


def need(wide_ft: float, tall_ft: float) -> Need:
    """A floor with 20 mm of paper around it."""
    return Need(width_m=wide_ft * FOOT_M, height_m=tall_ft * FOOT_M, around_mm=(20.0, 20.0, 20.0, 20.0))


def lay(wide_ft: float, tall_ft: float, *, rows: int = 10, spills: bool = False) -> Arrangement | None:
    """A page with a block of so many rows of 5 mm."""

    def blocks(width: float, scale: Scale) -> list[Block]:
        made = tuple(Row(5.0, lambda x, top: ()) for _ in range(rows))
        return [Block(heading="words", width_mm=width, rows=made, splits=True, spills=spills)]

    return arrange(need(wide_ft, tall_ft), blocks, (LETTER, TABLOID), US_SCALES, US_READABLE)


@pytest.mark.parametrize(("wide", "tall"), [(20, 12), (12, 20), (40, 10), (10, 40), (30, 30)])
def test_everything_stands_inside_the_frame(wide: float, tall: float) -> None:
    """Drawing, columns and title block lie in the frame; the drawing takes floor and dimensions."""
    made = lay(wide, tall)
    assert made is not None
    for area in (made.drawing, made.columns, made.title):
        assert area.x >= made.frame.x - 1e-6
        assert area.y >= made.frame.y - 1e-6
        assert area.right <= made.frame.right + 1e-6
        assert area.top <= made.frame.top + 1e-6
    need_w, need_h = need(wide, tall).paper_mm(made.scale)
    assert need_w <= made.drawing.width + 1e-6
    assert need_h <= made.drawing.height + 1e-6


def test_no_larger_standard_scale_would_fit_the_frame() -> None:
    """With few words the scale is the largest whose drawing fits the paper at all."""
    made = lay(24, 10, rows=2)
    assert made is not None
    larger = [scale for scale in US_SCALES if scale.ratio < made.scale.ratio]
    for scale in larger:
        wide, tall = need(24, 10).paper_mm(scale)
        assert wide > 259.4 or tall > 195.9 - 20.0


def test_usual_paper_is_kept_while_the_words_fit() -> None:
    """A larger paper is not taken for a larger scale alone."""
    made = lay(20, 20)
    assert made is not None
    assert made.paper is LETTER


def test_larger_paper_where_words_would_leave_the_drawing() -> None:
    """Cautions do not go to a second sheet while a larger paper holds them."""
    made = lay(60, 20, rows=60)
    assert made is not None
    assert made.paper is TABLOID
    assert not made.filled.must_rest


def test_schedules_may_leave() -> None:
    """Words that may spill do not ask for a larger paper."""
    made = lay(60, 20, rows=90, spills=True)
    assert made is not None
    assert made.paper is LETTER


def test_too_large_for_every_paper() -> None:
    """None says that the drawing must be laid over several sheets."""
    assert lay(400, 300) is None
