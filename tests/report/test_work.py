"""The work plan as JSON and as text: the contract's keys, shapes and times."""

from __future__ import annotations

import json
from datetime import datetime
from functools import cache

import pytest
from estimates import estimate
from shapely import Polygon

import floorplan
from floorplan.plan.model_work import Conditions, Weather, WorkSettings
from floorplan.report.documents import json_text
from floorplan.report.weather_text import verdict_words, weather_text
from floorplan.report.work import conditions_document, work_document
from floorplan.report.work_text import work_text
from floorplan.system.reader import load_system
from floorplan.units.figures import Figures
from floorplan.units.length import UnitStyle
from floorplan.values import replace
from floorplan.work.plan import coat_weather, coats_of
from floorplan.work.weather import Level, Reason, Verdict

START = datetime(2027, 5, 4, 7, 30)


@cache
def document(dated: bool = True) -> dict:
    """The worked patio's document, through JSON and back."""
    takeoff = estimate("patio")
    settings = WorkSettings(start=START if dated else None, crew=3)
    work = floorplan.schedule(takeoff.plan, takeoff, settings=settings)
    return json.loads(json_text(work_document(work)))


def test_zones_have_the_keys_of_the_contract() -> None:
    """Every zone says slab, layer, order, area, polygon, kits, start, end and wet edge."""
    keys = {"slab", "layer", "order", "area_m2", "polygon", "kits", "start", "end", "wet_edge_m"}
    assert all(keys <= set(zone) for zone in document()["zones"])
    assert {"zones", "days", "warnings"} <= set(document())


def test_polygons_hold_the_areas_in_metres() -> None:
    """The closed outer ring less its holes has the zone's area; all together have the net floor."""
    net = estimate("patio").slabs[0].net_area_m2
    total = 0.0
    for zone in document()["zones"]:
        outer, *holes = zone["polygon"]
        assert outer[0] == outer[-1]
        assert Polygon(outer, holes).area == pytest.approx(zone["area_m2"], rel=1e-6)
        total += zone["area_m2"] if zone["layer"] == "primer" else 0.0
    assert total == pytest.approx(net, rel=1e-5)


def test_times_are_iso_and_in_order() -> None:
    """Zones of a coat begin one after another, inside the block of their day."""
    primer = [zone for zone in document()["zones"] if zone["layer"] == "primer"]
    starts = [datetime.fromisoformat(zone["start"]) for zone in primer]
    ends = [datetime.fromisoformat(zone["end"]) for zone in primer]
    block = next(b for b in document()["days"][0]["blocks"] if b["name"] == "primer")
    assert starts == sorted(starts)
    assert datetime.fromisoformat(block["start"]) <= starts[0]
    assert ends[-1] <= datetime.fromisoformat(block["end"])


def test_moments_stand_as_far_after_the_block_began_as_their_minutes() -> None:
    """Each date of a zone is the begin of its coat's block and so many whole minutes more."""
    blocks = {block["name"]: block["start"] for day in document()["days"] for block in day["blocks"]}
    for zone in document()["zones"]:
        begin = datetime.fromisoformat(blocks[zone["layer"]])
        for name in ("start", "end"):
            minutes = (datetime.fromisoformat(zone[name]) - begin).total_seconds() / 60
            assert minutes == pytest.approx(zone[f"{name}_min"], abs=1.0)


def test_without_a_start_there_are_no_moments() -> None:
    """No date is made up: zones have minutes, days have their number and hour."""
    found = document(dated=False)
    assert all(zone["start"] is None and zone["start_min"] >= 0 for zone in found["zones"])
    assert found["days"][0]["start"] == "day 1 07:30"


def test_days_hold_tasks_holds_and_loading() -> None:
    """Three days; the first signs H1 and H2; each has a loading list with its weight."""
    found = document()
    assert [day["day"] for day in found["days"]] == [1, 2, 3]
    holds = [block["hold"]["code"] for block in found["days"][0]["blocks"]]
    assert holds == ["H1", "H2"]
    assert all(block["tasks"] for day in found["days"] for block in day["blocks"])
    for load in found["loading"]:
        assert load["weight_kg"] == pytest.approx(sum(item["weight_kg"] for item in load["items"]))


def test_tests_have_places() -> None:
    """636 sq ft outdoors take two plastic sheets (one for each 500 sq ft), each with its point."""
    tests = document()["tests"]
    assert [row["points"][0]["name"] for row in tests] == ["S1", "S2"]
    assert all("D4263" in row["kind"] for row in tests)


def test_text_says_what_the_crew_needs() -> None:
    """Zones, clock, holds, windows, tests, loading, cautions and slip stand in the text."""
    takeoff = estimate("patio")
    work = floorplan.schedule(takeoff.plan, takeoff, settings=WorkSettings(start=START, crew=3))
    text = work_text(work)
    for words in (
        "primer: 2 zones, at most 397.5 sq ft a batch",
        "301.6 sq ft",
        "Day 1: Tue 2027-05-04 07:30",
        "[ ] H0",
        "[ ] H5",
        "topcoat 2 over topcoat 1: ",
        "Patio: 2 x plastic sheet (ASTM D4263)",
        "day 1: ",
        "safety data sheet",
        "slip: no pass mark",
    ):
        assert words in text, words
    assert "0.42" not in text


@pytest.mark.parametrize("dated", [True, False])
def test_text_has_no_date_that_was_not_given(dated: bool) -> None:
    """Dates stand only where a start was given."""
    takeoff = estimate("garage")
    work = floorplan.schedule(takeoff.plan, takeoff, settings=WorkSettings(start=START if dated else None))
    assert ("2027" in work_text(work)) is dated


def conditions() -> Conditions:
    """A damp reading and a short forecast."""
    now = Weather(air_c=20.0, humidity=0.9, surface_c=19.0)
    hours = tuple(replace(now, humidity=h, at=datetime(2027, 5, 4, 12 + k)) for k, h in enumerate((0.5, 0.9)))
    return Conditions(now=now, forecast=hours)


@pytest.mark.parametrize(("style", "least"), [(UnitStyle.FT_IN, "5 °F"), (UnitStyle.M, "3 °C")])
def test_weather_text_names_the_rule_of_the_units(style: UnitStyle, least: str) -> None:
    """The 5 °F rule stands in feet, the 3 °C rule in metres, with the reason for no-go."""
    rows = coat_weather(conditions(), coats_of([load_system("garage-full-flake")]), Figures(style))
    text = weather_text(conditions().now, rows, Figures(style))
    assert "now: NO-GO" in text
    assert f"the slab must be {least} above it" in text
    assert f"{least} is the least" in text
    assert "humidity 90% is above 85%" in text
    assert "rule of thumb" in text


@pytest.mark.parametrize(
    ("levels", "words"),
    [((), "GO"), ((Level.CARE,), "GO, with care"), ((Level.CARE, Level.STOP), "NO-GO")],
)
def test_verdict_in_words(levels: tuple[Level, ...], words: str) -> None:
    """Nothing against it, something to look after, or a stop."""
    reasons = tuple(Reason(level=level, code="x", text="because") for level in levels)
    assert verdict_words(Verdict(reasons=reasons, dew_c=8.0, spread_c=9.0, surface_taken=False)) == words


def test_weather_text_without_a_usable_hour() -> None:
    """A forecast without a window says so, with each reason once."""
    rows = coat_weather(conditions(), coats_of([load_system("garage-full-flake")]), Figures(UnitStyle.M))
    wet = replace(conditions(), forecast=conditions().forecast[1:])
    shut = coat_weather(wet, coats_of([load_system("garage-full-flake")]), Figures(UnitStyle.M))
    assert "no usable hour" in weather_text(None, shut, Figures(UnitStyle.M))
    assert rows[0].now is not None


def test_conditions_document_holds_windows() -> None:
    """Verdicts, reasons with codes, and windows with both ends."""
    rows = coat_weather(conditions(), coats_of([load_system("clear-seal")]), Figures(UnitStyle.M))
    found = json.loads(json_text(conditions_document(conditions().now, rows)))
    (coat,) = found["coats"]
    assert coat["now"]["go"] is False
    assert {"humid", "dew"} <= {reason["code"] for reason in coat["now"]["reasons"]}
    assert all(set(window) == {"start", "end"} for window in coat["windows"])


def test_text_names_the_slab_of_each_zone() -> None:
    """In a job of several slabs each zone carries its slab, in a coat of one slab too."""
    square = '[[slab]]\nname = "{}"\nsystem = "{}"\noutline = """\n0, 0\n9, 0\n9, 9\n0, 9\n"""\n'
    plan = floorplan.read(square.format("Porch", "outdoor-full-flake") + square.format("Walk", "clear-seal"))
    text = work_text(floorplan.schedule(plan))
    assert "\n  1 Porch" in text
    assert "\n  1 Walk" in text
