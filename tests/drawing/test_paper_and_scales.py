"""Paper and scales against published tables (rows G1, G3 to G8 of the outside checks)."""

from __future__ import annotations

import outside
import pytest

from floorplan.drawing.paper import PAPERS, paper_named
from floorplan.drawing.scales import ARCHITECTS, ENGINEERS, METRIC_SCALES, US_SCALES, Scale, read_scale
from floorplan.errors import SheetError
from floorplan.units.factors import FOOT_M, INCH_MM

ROWS = {
    "letter": "G3-ANSI-A",
    "tabloid": "G3-ANSI-B",
    "arch-a": "G3-ARCH-A",
    "arch-b": "G3-ARCH-B",
    "arch-c": "G3-ARCH-C",
    "arch-d": "G3-ARCH-D",
    "arch-e": "G3-ARCH-E",
    "arch-e1": "G3-ARCH-E1",
    "A1": "G1-A1",
    "A2": "G1-A2",
    "A3": "G1-A3",
    "A4": "G1-A4",
}


@pytest.mark.parametrize(("name", "id_"), ROWS.items())
def test_paper_has_its_published_size(name: str, id_: str) -> None:
    """ISO 216 and ASME sizes."""
    row = outside.row("g_drawing", id_)
    wanted = sorted((row["expected"]["w_mm"], row["expected"]["h_mm"]))
    paper = PAPERS[name]
    assert [paper.short_mm, paper.long_mm] == pytest.approx(wanted, abs=1e-9), row["source"]


@pytest.mark.parametrize("name", ["Letter", "ARCH D", "arch-d", "A3", "Arch_E1"])
def test_paper_name_in_any_spelling(name: str) -> None:
    """Capitals, spaces and hyphens do not matter."""
    assert paper_named(name) in PAPERS.values()


def test_paper_unknown_offers_names() -> None:
    """An unknown paper is a fault that lists the known ones."""
    with pytest.raises(SheetError) as caught:
        paper_named("foolscap")
    assert caught.value.faults[0].code == "paper-unknown"
    assert "letter" in caught.value.faults[0].hint


@pytest.mark.parametrize("row", outside.rows("g_drawing", "G5-"), ids=lambda row: row["id"])
def test_architects_scales_have_their_ratio(row: dict) -> None:
    """Every architect's scale of the table is there, with its ratio."""
    ratios = [scale.ratio for scale in ARCHITECTS]
    assert any(ratio == pytest.approx(row["expected"]["ratio"]) for ratio in ratios), row["source"]


@pytest.mark.parametrize("row", outside.rows("g_drawing", "G6-"), ids=lambda row: row["id"])
def test_engineers_scales_have_their_ratio(row: dict) -> None:
    """Every engineer's scale of the table is there, with its ratio."""
    ratios = [scale.ratio for scale in ENGINEERS]
    assert any(ratio == pytest.approx(row["expected"]["ratio"]) for ratio in ratios), row["source"]


def test_metric_scales_are_iso_scales() -> None:
    """Only recommended reductions of ISO 5455 are chosen."""
    known = outside.row("g_drawing", "G4")["expected"]["reduce"]
    assert {f"1:{scale.ratio:g}" for scale in METRIC_SCALES} <= set(known)


def test_largest_scale_that_fits_without_clearance() -> None:
    """Row G7: 24 x 20 ft on letter with half-inch margins goes at 3/8 in to the foot, nothing to spare."""
    row = outside.row("g_drawing", "G7")
    room = [(side - 2.0 * row["inputs"]["margin_in"]) * INCH_MM for side in row["inputs"]["sheet_in"]]
    sizes = [side * FOOT_M for side in row["inputs"]["slab_ft"]]
    fitting = [
        scale
        for scale in US_SCALES
        if all(scale.paper_mm(size) <= mm + 1e-9 for size, mm in zip(sizes, room, strict=True))
    ]
    assert fitting[0].ratio == pytest.approx(12.0 / row["expected"]["in_per_ft"])
    drawn = [fitting[0].paper_mm(size) / INCH_MM for size in sizes]
    assert drawn == pytest.approx(row["expected"]["drawn_in"])


def test_ten_feet_at_a_quarter_inch() -> None:
    """Row G8-scale: 10 ft at 1/4 in to the foot are 63.5 mm."""
    row = outside.row("g_drawing", "G8-scale")
    assert Scale(48).paper_mm(row["inputs"]["ft"] * FOOT_M) == pytest.approx(row["expected"]["mm"])


@pytest.mark.parametrize(("text", "ratio"), [("1:48", 48), ("1/48", 48), (" 1 : 50 ", 50), ("96", 96)])
def test_scale_read_in_any_notation(text: str, ratio: float) -> None:
    """1:48, 1/48 and 48 mean the same."""
    scale = read_scale(text)
    assert scale is not None
    assert scale.ratio == ratio


@pytest.mark.parametrize("text", ["", "auto", "AUTO"])
def test_scale_left_to_the_tool(text: str) -> None:
    """Nothing and "auto" leave the choice to the layout."""
    assert read_scale(text) is None


@pytest.mark.parametrize("text", ["big", "1:0", "1:0.5", "1:1e9", "-48", "1:nan"])
def test_scale_unreadable(text: str) -> None:
    """What is no scale is a fault with the cure."""
    with pytest.raises(SheetError) as caught:
        read_scale(text)
    assert caught.value.faults[0].code == "scale-unreadable"


def test_named_scale_in_words() -> None:
    """A US scale is written as a draftsman writes it."""
    assert str(read_scale("1:48")) == '1/4" = 1\'-0" (1:48)'
    assert str(read_scale("1:50")) == "1:50"
