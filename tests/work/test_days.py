"""Days of a job: clock hours of the worked estimates, recoat windows, hold points, waiting times."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, time, timedelta
from pathlib import Path

import pytest
from estimates import estimate

import floorplan
from floorplan.plan.model_work import Conditions, Weather, WorkSettings
from floorplan.work.chores import Chore, Part, clock_hours
from floorplan.work.days import Block, Day, Days, clock_text, people_words
from floorplan.work.loading import DENSITY_KG_PER_L, loading
from floorplan.work.plan import WorkPlan

START = datetime(2027, 5, 4, 7, 30)


def planned(name: str = "patio", system: str = "", **settings: object) -> WorkPlan:
    """The work plan of a worked estimate."""
    takeoff = estimate(name)
    used = replace(WorkSettings(start=START, crew=3), **settings)
    if system:
        from floorplan.system.reader import load_system

        slab = replace(takeoff.plan.slabs[0], system=load_system(system))
        plan = replace(takeoff.plan, slabs=(slab,))
        return floorplan.schedule(plan, settings=used)
    return floorplan.schedule(takeoff.plan, takeoff, settings=used)


@pytest.mark.parametrize(("name", "hours"), [("patio", [6.1, 5.0, 3.7]), ("garage", [6.9, 5.4])])
def test_clock_hours_of_the_worked_estimates(name: str, hours: list[float]) -> None:
    """Man-hours over people, travel included: 6.1, 5.0, 3.7 h and 6.9, 5.4 h (trade brief 10A, 10B).

    The brief adds hours already rounded to hundredths and rounds each day up.
    """
    found = [day.man_hours / day.people for day in planned(name).days.days]
    assert found == pytest.approx(hours, abs=0.07)


def test_crew_of_the_worked_patio() -> None:
    """Three people on the first day, two later; a day for each coat."""
    work = planned()
    assert [day.people for day in work.days.days] == [3, 2, 2]
    assert [[pour.layer for pour in day.coats] for day in work.days.days] == [
        ["primer"],
        ["topcoat 1"],
        ["topcoat 2"],
    ]


def test_blocks_of_a_day_follow_each_other() -> None:
    """Each block begins where the one before ends, the first at the hour given."""
    for day in planned().days.days:
        for before, after in zip(day.blocks, day.blocks[1:], strict=False):
            assert after.start >= before.end
    assert planned().days.at(planned().days.days[0].start) == START


def test_hold_points_in_order() -> None:
    """H1 and H2 on the first day, H3 and H4 on the second, H5 at the end."""
    holds = [[b.hold.code for b in day.blocks if b.hold] for day in planned().days.days]
    assert holds == [["H1", "H2"], ["H3", "H4"], ["H5"]]


def test_second_topcoat_falls_into_its_window() -> None:
    """Topcoat 2 goes down 18 to 36 h after topcoat 1: earliest from its last floor, latest from its first."""
    work = planned()
    window = work.days.recoats[1]
    first, second = (day.blocks for day in work.days.days[1:])
    coat = next(block for block in first if block.pour is not None)
    assert coat.pour is not None
    last = coat.start + timedelta(minutes=coat.pour.minutes)
    assert window.earliest == last + timedelta(hours=18)
    assert window.latest == coat.start + timedelta(hours=36)
    assert window.earliest <= window.planned == second[0].start <= window.latest


def test_cold_slab_makes_the_crew_wait() -> None:
    """At 50 °F topcoat 1 takes 47 h before the next: the third day is put off until it may begin."""
    work = planned(temperature_c=10.0)
    window = work.days.recoats[1]
    assert window.planned >= window.earliest
    begins = window.planned % timedelta(days=1)
    assert timedelta(hours=7, minutes=30) <= begins <= timedelta(hours=16, minutes=30)
    days = [day.start // timedelta(days=1) for day in work.days.days]
    assert days[2] - days[1] >= 2


def test_slabs_of_one_job_dry_on_their_own() -> None:
    """A porch and a garage on one day: the porch's topcoat does not wait for the garage's."""
    text = """
units = "ft"
[[slab]]
name = "Garage"
system = "garage-full-flake"
entry = "A-B"
outline = \"\"\"
A 0, 0 | garage door
B 20, 0 | wall
C 20, 20 | wall
D 0, 20 | wall
\"\"\"
[[slab]]
name = "Porch"
system = "outdoor-full-flake"
entry = "A-B"
outline = \"\"\"
A 30, 0 | open
B 45, 0 | open
C 45, 10 | open
D 30, 10 | wall
\"\"\"
"""
    work = floorplan.schedule(floorplan.read(text))
    assert [len(day.coats) for day in work.days.days] == [1, 2, 1]
    pairs = {(window.after, window.before) for window in work.days.recoats}
    assert pairs == {("primer", "topcoat"), ("primer", "topcoat 1"), ("topcoat 1", "topcoat 2")}
    assert not [notice for notice in work.notices if notice.code == "recoat-missed"]


def test_missed_window_is_said() -> None:
    """A coat with a short window that the next day cannot meet is said, with what to do."""
    work = planned(system="quartz-double", temperature_c=35.0)
    missed = [n for n in work.notices if n.code == "recoat-missed"]
    assert missed
    assert "abrade" in missed[0].text


def test_use_of_the_floor_counts_from_the_last_coat() -> None:
    """Foot 48 h, furniture 72 h, vehicles 7 days after topcoat 2 (the shipped product's figures)."""
    work = planned()
    block = next(block for block in work.days.days[2].blocks if block.pour is not None)
    assert block.pour is not None
    end = block.start + timedelta(minutes=block.pour.minutes)
    assert [(use.what, use.start - end) for use in work.days.uses] == [
        ("foot traffic", timedelta(hours=48)),
        ("furniture", timedelta(hours=72)),
        ("vehicles", timedelta(days=7)),
    ]


def test_two_coats_on_one_day() -> None:
    """A fast system is primed, swept and topcoated in a day; sweeping waits for the base to dry."""
    work = planned(system="one-day-flake")
    (day,) = work.days.days
    assert [block.name for block in day.blocks] == ["prepare", "base coat", "sweep", "topcoat", "finish"]
    swept, coated = day.blocks[2], day.blocks[3]
    assert {chore.name for chore in swept.chores} >= {"scrape, sweep, bag", "blow out, mask again"}
    assert swept.hold is not None
    assert swept.hold.code == "H3"
    assert swept.start >= work.days.recoats[0].earliest
    assert coated.start >= swept.end
    assert {chore.name for chore in day.blocks[0].chores}.isdisjoint(chore.name for chore in swept.chores)


def test_long_day_is_said() -> None:
    """One person takes past the end of the working day, which is said with what would help."""
    codes = [notice.code for notice in planned(crew=1).notices]
    assert "day-long" in codes
    assert "day-long" not in [notice.code for notice in planned().notices]


def test_plan_without_a_date_has_a_clock() -> None:
    """Without a start the days have times of day and no date."""
    work = planned(start=None, begins=time(8, 0))
    assert work.days.first is None
    assert work.days.at(timedelta()) is None
    assert clock_text(work.days.days[0].start) == "day 1 08:00"


def test_clock_is_never_shorter_than_the_one_machine() -> None:
    """Four people do not make one walk-behind faster."""
    grind = Chore(name="walk-behind grinding", day=0, part=Part.PREPARE, hours=4.0, machine=True)
    edges = Chore(name="edges", day=0, part=Part.PREPARE, hours=2.0)
    assert clock_hours((grind, edges), 4) == 4.0
    assert clock_hours((grind, edges), 1) == 6.0


def test_spread_of_the_plan_is_used() -> None:
    """A rate of the crew's own replaces the typical one."""
    assert planned(spread_m2_per_min=2.0).pours[0].batch.rate_m2_per_min == pytest.approx(2.0)


def counts(work: WorkPlan) -> list[dict[str, int]]:
    """Packs on the truck, by day and name."""
    loads = loading(work.days, work.supplies)
    return [{row.name: row.count for row in load.loads if row.product} for load in loads]


def test_all_that_was_ordered_is_loaded_once() -> None:
    """10A: two primer kits and four boxes; 5.94 topcoat kits leave a thin margin, so that seven are ordered.

    Topcoat 1 takes 5.566 of 8.906 gal, 4.4 of the seven kits: five go along for it, the other two the day
    after, with what is left of the five: 5 x 1.5 - 5.566 gal at 9.5 lb.
    """
    work = planned()
    days = counts(work)
    title = work.pours[1].batch.coat.product.title
    assert days[0][work.pours[0].batch.coat.product.title] == 2
    assert days[0]["1/4 in flake"] == 4
    assert (days[1][title], days[2][title]) == (5, 2)
    left = {row.name: row.weight_kg for row in loading(work.days, work.supplies)[2].loads}
    assert left[f"what is left of the {title}"] == pytest.approx(1.934 * 9.5 * 0.45359237, rel=2e-3)


BORDERED = """
[[slab]]
name = "Terrace"
system = "two.toml"
outline = '''
A 0, 0 | wall
B 20', 0 | open
C 20', 10' | open
D 0, 10' | open
'''
[[slab.joint]]
kind = "isolation"
along = ["A-B"]
[[slab.joint]]
kind = "saw cut"
treatment = "fill"
lines = '''
10', 0 -> 10', 10'
'''
"""
TWO_COLOURS = """
title = "Two colours"
border = "1 ft"
joint_filler = "joint filler"
joint_sealant = "joint sealant"
[product.flake]
packs = ["10 lb"]
colours = { sand = "50 %", cream = "50 %" }
[product."border flake"]
packs = ["5 lb"]
[[layer]]
name = "base"
coat = "epoxy primer"
rate = "160 sq ft/gal"
[[layer]]
broadcast = "flake"
on = ["field"]
thrown = "0.2 lb/sq ft"
[[layer]]
name = "border flake"
broadcast = "border flake"
on = ["border"]
thrown = "0.2 lb/sq ft"
[[layer]]
name = "clear"
coat = "clear topcoat"
rate = "200 sq ft/gal"
"""


def test_each_colour_and_the_joint_products_are_loaded(tmp_path: Path) -> None:
    """20 x 10 ft with a border of 1 ft: field 18 x 8 = 144 sq ft, 28.8 lb, three boxes of two colours;
    border 56 sq ft, 11.2 lb, three packs of 5 lb. Filler goes along first, sealant and rod last.
    """
    (tmp_path / "two.toml").write_text(TWO_COLOURS)
    (tmp_path / "job.toml").write_text(BORDERED)
    first, *_, last = counts(floorplan.schedule(floorplan.load(tmp_path / "job.toml")))
    flakes = {name: count for name, count in first.items() if "flake" in name}
    assert sum(count for name, count in flakes.items() if "sand" in name or "cream" in name) == 3
    assert sum(flakes.values()) == 6
    assert "two-part semi-rigid joint filler" in first
    assert {"flexible joint sealant", "backer rod 5/8 in"} <= last.keys()


def test_weight_of_a_load_is_the_sum_of_its_lines() -> None:
    """Flake weighs what it is sold by; a liquid of unknown density is marked as typical."""
    load = loading(planned().days, planned().supplies)[0]
    assert load.weight_kg == pytest.approx(sum(row.weight_kg for row in load.loads))
    flake = next(row for row in load.loads if row.name == "1/4 in flake")
    primer = next(row for row in load.loads if row.product and row is not flake)
    assert (flake.weight_kg, flake.guessed) == (pytest.approx(160 * 0.45359237), False)
    assert primer.guessed
    assert primer.weight_kg == pytest.approx(6 * 3.785411784 * DENSITY_KG_PER_L)


def test_tools_go_along_when_they_are_needed() -> None:
    """The grinder on the first day alone, the scraper after flake, the care sheet on the last day."""
    names = [" ".join(row.name for row in load.loads) for load in loading(planned().days, planned().supplies)]
    assert ["walk-behind" in text for text in names] == [True, False, False]
    assert ["floor scraper" in text for text in names] == [False, True, False]
    assert ["care sheet" in text for text in names] == [False, False, True]


TWO_SYSTEMS = """
[[slab]]
name = "Garage"
system = "garage-full-flake"
outline = '''
0, 0
20', 0
20', 20'
0, 20'
'''
[[slab]]
name = "Walk"
system = "clear-seal"
outline = '''
0, 0
10', 0
10', 10'
0, 10'
'''
"""


def test_coat_waits_for_what_lies_on_its_own_slab() -> None:
    """A walk is sealed as soon as the garage beside it is primed, and the garage's topcoat waits for its
    primer and not for the seal."""
    days = floorplan.schedule(floorplan.read(TWO_SYSTEMS), settings=WorkSettings(start=START)).days
    primer, seal = (block for block in days.days[0].blocks if block.pour is not None)
    assert (primer.name, seal.name, seal.start) == ("primer", "seal", primer.end)
    assert [(window.after, window.before) for window in days.recoats] == [("primer", "topcoat")]


def test_floors_of_two_systems_may_be_used_when_both_are_dry() -> None:
    """The job's hours of use are those of the slab that takes longest, here the garage."""
    alone = TWO_SYSTEMS[: TWO_SYSTEMS.index("[[slab]]", 10)]
    garage, both = (
        floorplan.schedule(floorplan.read(text), settings=WorkSettings(start=START))
        for text in (alone, TWO_SYSTEMS)
    )
    coats = [[block for block in work.days.days[-1].blocks if block.pour] for work in (garage, both)]
    since = [
        [(use.what, use.start - found[-1].start) for use in work.days.uses]
        for work, found in zip((garage, both), coats, strict=True)
    ]
    assert since[0] == since[1]


def _dates(work: WorkPlan) -> list[str]:
    found = [work.days.at(day.start) for day in work.days.days]
    return [f"{at:%a %d}" for at in found if at is not None]


FRIDAY = datetime(2027, 5, 7, 7, 30)
WEEK = (0, 1, 2, 3, 4)


def test_days_off_are_passed_over() -> None:
    """4 May 2027 is a Tuesday; the garage's two days, begun on a Friday, end on Monday (calendar of 2027)."""
    assert _dates(planned()) == ["Tue 04", "Wed 05", "Thu 06"]
    assert _dates(planned("garage", start=FRIDAY)) == ["Fri 07", "Sat 08"]
    assert _dates(planned("garage", start=FRIDAY, days=WEEK)) == ["Fri 07", "Mon 10"]
    assert _dates(planned("garage", start=FRIDAY, days=WEEK, off=(date(2027, 5, 10),))) == [
        "Fri 07",
        "Tue 11",
    ]


def test_recoat_window_runs_out_over_a_weekend() -> None:
    """Topcoat 1 on Friday must be coated within 36 h, by Saturday evening: with the weekend off it is missed.

    That is said, and the first start that keeps it: begun on Friday, the primer, which has no
    latest time under full flake, waits for the topcoats of Monday and Tuesday.
    """
    work = planned(start=datetime(2027, 5, 6, 7, 30), days=WEEK)
    assert _dates(work) == ["Thu 06", "Fri 07", "Mon 10"]
    primer, window = work.days.recoats
    assert primer.latest is None
    coat = next(b for b in work.days.days[1].blocks if b.pour is not None)
    assert window.latest == coat.start + timedelta(hours=36) < window.planned
    said = {notice.code: notice.text for notice in work.notices}
    assert said["recoat-missed"].startswith("topcoat 2 is planned for Mon 2027-05-10 07:30, after the recoat")
    assert "abrade the whole floor" in said["recoat-missed"]
    assert said["recoat-start"] == "a start on Fri 2027-05-07 would keep every recoat window"


def test_recoat_window_of_a_crew_of_one_day_a_week() -> None:
    """A crew that comes on Saturdays only never meets a window of 36 h."""
    said = {notice.code: notice.text for notice in planned(start=FRIDAY, days=(5,)).notices}
    assert said["work-day-off"] == "the job starts on Fri 2027-05-07, which [work] says is off"
    assert "somebody has to come on a day off" in said["recoat-start"]


def test_wait_for_a_coat_ends_on_a_working_day() -> None:
    """At 50 °F topcoat 1 takes 47 h: down on a Thursday, ready on Saturday, so the crew comes on Monday."""
    work = planned(start=datetime(2027, 5, 5, 7, 30), temperature_c=10.0, days=WEEK)
    assert _dates(work)[-1] == "Mon 10"
    assert all(work.settings.works_on(day.start // timedelta(days=1)) for day in work.days.days)


def test_days_off_without_a_start() -> None:
    """Without a date no day of the week is known: days follow one another, and that is said."""
    work = planned(start=None, days=WEEK)
    assert [day.start // timedelta(days=1) for day in work.days.days] == [0, 1, 2]
    assert "work-day-unknown" in [notice.code for notice in work.notices]


@pytest.mark.parametrize(("hours", "grinders"), [(3.9, 1), (4.1, 2), (8.5, 3), (20.0, 4)])
def test_hand_grinders_for_the_clock(hours: float, grinders: int) -> None:
    """Four hours for preparing: one grinder does 4 h of it, two 8 h; never more than the four people."""
    chore = Chore(name="hand grinding, edges", day=0, part=Part.PREPARE, hours=hours)
    begin = timedelta(hours=8)
    block = Block(
        part=Part.PREPARE, name="prepare", start=begin, end=begin + timedelta(hours=4), chores=(chore,)
    )
    days = Days(days=(Day(number=1, people=4, blocks=(block,)),), recoats=(), uses=(), first=None)
    loads = {row.name: row for row in loading(days, ())[0].loads}
    grinder = loads["hand grinder with shroud, cup wheel"]
    assert grinder.count == grinders
    assert grinder.weight_kg == pytest.approx(grinders * 15 * 0.45359237)
    assert loads["walk-behind grinder, segments"].count == 1


def test_a_coat_planned_into_rain_is_told() -> None:
    """Rain on the first afternoon, a fine second day: primer is named with the day, topcoat 1 is not."""
    takeoff = estimate("patio")
    rows = [
        Weather(air_c=21.0, humidity=0.5, surface_c=21.0, rain_chance=wet, at=START.replace(day=day, hour=9))
        for day, wet in ((4, 0.8), (5, 0.0))
    ]
    plan = replace(takeoff.plan, conditions=Conditions(forecast=tuple(rows)))
    told = floorplan.schedule(plan, settings=WorkSettings(start=START, crew=3)).notices
    (notice,) = [n for n in told if n.code == "weather-no-go"]
    assert notice.where == "day 1"
    assert notice.text.startswith("primer is planned for Tue ")
    assert "rain likely (80%)" in notice.text
    assert notice.text.endswith("the first good hour after is Wed 2027-05-05 09:30")


def test_a_small_floor_is_not_held_up_by_the_clock() -> None:
    """20 sq ft take a tenth of a kit, and one person spreads half a kit in time: nothing to warn of."""
    rows = "A 0, 0 | open\nB {x}, 0 | open\nC {x}, 5 | open\nD 0, 5 | open\n"
    text = f"[[slab]]\nname = 'S'\nentry = 'A-B'\noutline = '''\n{rows}'''\n"
    for wide, warned in ((4, False), (60, True)):
        plan = floorplan.read(text.format(x=wide))
        told = floorplan.schedule(plan, settings=WorkSettings(start=START, crew=1)).notices
        assert ("batch-clock" in {notice.code for notice in told}) is warned


@pytest.mark.parametrize(("people", "words"), [(1, "1 person"), (2, "2 people")])
def test_people_in_words(people: int, words: str) -> None:
    """One is no people."""
    assert people_words(people) == words
