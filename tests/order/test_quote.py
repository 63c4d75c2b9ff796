"""Quotes and choices: priced by re-running the job, in the customer's words and nothing else."""

from __future__ import annotations

import io
import json
import re
from dataclasses import replace
from decimal import Decimal

import pypdf
import pytest
from estimates import FOLDER, estimate

import floorplan
from floorplan.api import pages
from floorplan.drawing.marks import Text, walk
from floorplan.drawing.quote_pages import compose_quote
from floorplan.errors import DataFileError
from floorplan.order.changes import Change, changed_job, pail_minutes, rows_between, zone_rows
from floorplan.order.firm import Firm, Option
from floorplan.order.firm_reader import load_firm, read_firm
from floorplan.order.job import WorkedJob, work_job
from floorplan.order.options import PricedOption, priced_options, with_option
from floorplan.order.quote import Quote, closed_days, make_quote, scope
from floorplan.render.files import render_pages
from floorplan.report.documents import json_text
from floorplan.report.quote import cost_text, quote_csv, quote_document
from floorplan.units.factors import celsius

OPTIONS = """
[price]
margin = "20 %"
tax = "6 %"
deposit = "40 %"
[[option]]
name = "good"
title = "Good"
says = ["the floor as drawn"]
[[option]]
name = "better"
base = "good"
title = "Better"
says = ["the open edges coated"]
faces = { open = "4 in" }
[[option]]
name = "best"
base = "better"
title = "Best"
says = ["one more clear coat"]
extra_coat = "topcoat 2"
spare_kits = 1
"""

# What no customer reads: the firm's money, hours, packs and the words of the shop.
SHOP_WORDS = frozenset(
    re.findall(
        r"\S+",
        """
        cost margin markup overhead labour labor man-hour hour hours kit kits box boxes pail pails bag bags
        thrown reclaim swept waste spare stock profit burdened contingency sundries sundry grit primer
        broadcast hand-grind pocket pockets band squeegee back-roll pot-life mil mils gal lb typical spread
        batch zone crew internal
        """,
    )
)


def firm() -> Firm:
    """The common prices with three choices."""
    return read_firm(OPTIONS, "options.toml").over(load_firm(FOLDER / "prices.toml"))


def quoted(name: str = "patio") -> tuple[WorkedJob, tuple[PricedOption, ...], Quote]:
    """A worked estimate, its choices and its quote."""
    takeoff = estimate(name)
    figures = firm()
    job = work_job(takeoff.plan, takeoff, firm=figures)
    options = priced_options(job, figures) if name == "patio" else ()
    return job, options, make_quote(job, options, figures)


def test_option_without_changes_comes_to_the_plan_as_drawn() -> None:
    """Good is the floor as drawn: nothing added."""
    job, options, _ = quoted()
    assert job.cost is not None and options[0].job.cost is not None
    assert options[0].added == 0
    assert options[0].job.cost.total == job.cost.total


def test_coating_the_open_edges_costs_no_material() -> None:
    """Estimate A, option: 18.72 sq ft of faces, 0.16 gal primer, 5.6 lb flake, 0.33 gal topcoat, all in
    the slack.

    The estimate's hand count of the added labour, 1.54 h, leaves out rubbing and cleaning the faces.
    """
    job, options, _ = quoted()
    faces = options[1].job
    assert faces.takeoff.total("face_area_m2") / 0.3048**2 == pytest.approx(18.72, abs=0.01)
    for product, added in (("epoxy primer", 0.1638), ("flake", 5.616), ("clear topcoat", 0.3276)):
        more = faces.order.line(product).need - job.order.line(product).need
        assert more == pytest.approx(added, abs=0.002)
        assert faces.order.line(product).packs == job.order.line(product).packs
    rows = {row.task: row.hours for row in faces.labour.tasks}
    counted = (
        "hand grinding, faces and treads",
        "verticals, base coat (primer)",
        "verticals, topcoat (topcoat 1)",
    )
    added_hours = sum(rows[name] for name in counted) + rows["verticals, topcoat (topcoat 2)"]
    assert added_hours * 1.10 == pytest.approx(1.54, abs=0.005)
    assert Decimal(0) < options[1].added < Decimal("337")


def test_options_build_on_each_other() -> None:
    """Best holds the faces of better, one more coat and a spare kit of each liquid."""
    job, options, _ = quoted()
    best = options[2].job
    assert best.takeoff.total("face_area_m2") > 0
    names = [coat.name for coat in best.plan.slabs[0].system.coats]
    assert names == ["primer", "topcoat 1", "topcoat 2", "topcoat 2, once more"]
    assert best.order.line("epoxy primer").packs == job.order.line("epoxy primer").packs + 1
    assert options[2].added > options[1].added > 0


def test_indoor_system_offered_for_an_outdoor_floor_is_said() -> None:
    """Trade brief 7: never sell good below the minimum system; outdoors that is two topcoats."""
    text = OPTIONS.split("[[option]]")[0] + '[[option]]\nname = "cheap"\nsystem = "garage-full-flake"\n'
    figures = read_firm(text, "options.toml").over(load_firm(FOLDER / "prices.toml"))
    takeoff = estimate("patio")
    (cheap,) = priced_options(work_job(takeoff.plan, takeoff, firm=figures), figures)
    assert [notice.code for notice in cheap.notices] == ["option-indoors"]
    assert cheap.added < 0


def test_sealing_joints_changes_their_treatment() -> None:
    """An option that seals grooves seals every groove, and none is brushed out any more."""
    takeoff = estimate("patio")
    changed = with_option(takeoff.plan, Option(name="x", title="X", seal=("groove",)), takeoff)
    again = floorplan.takeoff(changed)
    assert again.total("seal_m") == pytest.approx(takeoff.total("brush_out_m"))
    assert again.total("brush_out_m") == 0


def test_extra_coat_may_be_the_last_of_any_system() -> None:
    """The last is topcoat 2 on the patio and the one topcoat in the garage."""
    for name, coat in (("patio", "topcoat 2, once more"), ("garage", "topcoat, once more")):
        takeoff = estimate(name)
        changed = with_option(takeoff.plan, Option(name="x", title="X", extra_coat="last"), takeoff)
        assert changed.slabs[0].system.coats[-1].name == coat


def test_extra_coat_that_the_system_has_not_is_a_fault() -> None:
    """The nearest coat is offered."""
    takeoff = estimate("patio")
    with pytest.raises(DataFileError, match="has no coat topcote 2") as caught:
        with_option(takeoff.plan, Option(name="x", title="X", extra_coat="topcote 2"), takeoff)
    assert caught.value.faults[0].hint == "did you mean topcoat 2?"


@pytest.mark.parametrize("name", ["patio", "garage"])
def test_customer_files_hold_no_word_of_the_shop(name: str) -> None:
    """PDF text and metadata, JSON and CSV are searched for cost, hours, kits and the words of the shop."""
    _, _, quote = quoted(name)
    takeoff = estimate(name)
    drawn = pages(takeoff.plan, takeoff, sheet="customer")
    data = render_pages((*compose_quote(quote, paper="letter"), *drawn), "pdf")[0]
    reader = pypdf.PdfReader(io.BytesIO(data))
    text = "\n".join(page.extract_text() for page in reader.pages)
    assert "Quote" in text
    assert all(f"{choice.price:,.2f}" in text for choice in quote.choices)
    document = quote_document(quote)
    document.pop("made_by")
    csv_body = "\n".join(quote_csv(quote).splitlines()[1:])
    for where in (text, str(reader.metadata), json.dumps(document), csv_body):
        words = set(re.findall(r"[a-z]+(?:-[a-z]+)*", where.lower()))
        assert sorted(words & SHOP_WORDS) == []
    sheet = cost_text(quoted(name)[0])
    assert "Internal: not for the customer." in sheet


def test_no_amount_of_the_cost_sheet_stands_in_the_quote() -> None:
    """Of the firm's amounts only price, tax, total and deposit are in the customer's files."""
    job, options, quote = quoted()
    assert job.cost is not None
    shown = json_text(quote_document(quote)) + quote_csv(quote)
    amounts = [line.amount for line in job.cost.lines if line.amount > 30]
    for amount in (*amounts, job.cost.direct, job.cost.overhead, job.cost.cost):
        assert f"{amount:.2f}" not in shown
    assert options


def test_quote_adds_up_to_the_cent() -> None:
    """Price and tax are the total, the deposit is 40 % of it, in every choice."""
    _, _, quote = quoted()
    for choice in quote.choices:
        assert choice.total == choice.price + choice.tax
        assert choice.tax == (choice.price * Decimal("0.06")).quantize(Decimal("0.01"))
        assert choice.deposit == (choice.total * Decimal("0.40")).quantize(Decimal("0.01"))


def test_quote_says_what_a_customer_must_read() -> None:
    """Area rounded, joints, what is not coated, validity, exclusions, closed days, not a survey."""
    _, _, quote = quoted()
    said = " ".join((*quote.scope, *quote.terms, *quote.closed, quote.validity, *quote.exclusions))
    for words in (
        "636 sq ft",
        "grooves stay open",
        "not coated: post A, post B",
        "30 days",
        "structural cracks",
    ):
        assert words in said
    assert "no vehicles on it for 7 days" in said and "Not a survey" in said
    assert "636.1" not in said


@pytest.mark.parametrize(
    ("firm_says", "date", "words"),
    [
        ("", "", "for 30 days, or until prices of material change."),
        ("", "2026-03-02", "for 30 days from 2026-03-02, or until prices of material change."),
        ('[price]\nvalidity = "14 days"\n', "", "for 14 days, or until prices of material change."),
        ("[price]\nvalidity = 1\n", "", "for 1 day, or until prices of material change."),
    ],
)
def test_how_long_a_quote_holds(firm_says: str, date: str, words: str) -> None:
    """Thirty days (common practice, no source) or what the firm says, from the plan's date if it has one."""
    job, _, _ = quoted()
    dated = replace(job, plan=replace(job.plan, sheet=replace(job.plan.sheet, date=date)))
    assert make_quote(dated, (), read_firm(firm_says, "firm.toml")).validity == f"This quote holds {words}"


def test_long_quote_goes_on_over_pages() -> None:
    """Everything is set, on as many pages as it takes, each with its number, all within the paper."""
    _, _, quote = quoted()
    long = replace(quote, exclusions=tuple(f"exclusion {n} in some words that take room" for n in range(90)))
    made = compose_quote(long, paper="a4")
    assert len(made) > 1
    texts = [mark for page in made for mark in walk(page.marks) if isinstance(mark, Text)]
    content = " ".join(mark.content for mark in texts)
    assert all(f"exclusion {n} in" in content.replace("Exclusion", "exclusion") for n in range(90))
    assert f"page {len(made)} of {len(made)}" in content
    assert all(0 < mark.at[1] < 297 and 0 < mark.at[0] < 210 for mark in texts)


def test_lines_to_sign_on_are_named() -> None:
    """Who accepts, the firm, and the choice taken only where there are several."""
    _, _, several = quoted()
    assert len(several.choices) == 3
    for quote, asked in ((several, True), (replace(several, choices=several.choices[:1]), False)):
        made = compose_quote(replace(quote, firm="Quay Floors"), paper="letter")
        said = [mark.content for page in made for mark in walk(page.marks) if isinstance(mark, Text)]
        assert "Accepted (name, date)" in said and "Quay Floors" in said
        assert ("Choice taken" in said) is asked


@pytest.mark.parametrize("count", range(0, 30, 3))
def test_no_page_of_a_quote_is_nearly_empty(count: int) -> None:
    """However long the terms are, the acceptance never stands on a page with next to nothing."""
    _, _, quote = quoted()
    made = compose_quote(replace(quote, terms=tuple(f"term {n}" for n in range(count))), paper="letter")
    texts = [mark for mark in walk(made[-1].marks) if isinstance(mark, Text)]
    heights = [mark.at[1] for mark in texts if not mark.content.endswith(f"of {len(made)}")]
    assert any(mark.content == "Acceptance" for mark in texts)
    # A quarter of the body of a letter page (279 mm less margins and foot) from the first line to the last.
    assert max(heights) - min(heights) > 0.25 * 245.0 - 8.0


def test_same_quote_gives_the_same_bytes() -> None:
    """Nothing of the moment stands in the file."""
    _, _, quote = quoted()
    first, second = (render_pages(compose_quote(quote, paper="letter"), "pdf")[0] for _ in range(2))
    assert first == second


def test_what_if_five_per_cent_bigger() -> None:
    """Needs grow by 5 %, edges by its root; 636.13 sq ft x 1.05 = 667.94 sq ft."""
    job, _, _ = quoted()
    bigger = changed_job(job, Change(bigger=0.05), firm=firm())
    assert bigger.order.line("flake").need == pytest.approx(139.95 * 1.05, abs=0.01)
    rows = {row.name: row for row in rows_between(job, bigger)}
    assert rows["material area"].new == pytest.approx(667.94 * 0.3048**2, abs=0.01)
    assert rows["hand-grind edge"].new == pytest.approx(39.975 * 1.05**0.5 * 0.3048, abs=0.01)
    assert bigger.cost is not None and job.cost is not None
    assert bigger.cost.price > job.cost.price


def test_what_if_rougher_slab_takes_more_primer_only() -> None:
    """Sand exposed, factor 1.30: 636.13 / (160 / 1.30) x 1.05 = 5.43 gal; topcoat as before."""
    job, _, _ = quoted()
    rougher = changed_job(job, Change(surface="weathered"), firm=firm())
    assert rougher.order.line("epoxy primer").need == pytest.approx(5.427, abs=0.001)
    assert rougher.order.line("clear topcoat").need == job.order.line("clear topcoat").need


def test_what_if_one_person_short_and_spare_kit() -> None:
    """Two on the first day; one more kit of every liquid."""
    job, _, _ = quoted()
    short = changed_job(job, Change(fewer=1, spare_kits=1), firm=firm())
    assert short.labour.people == (2, 2, 2)
    assert short.labour.clock_hours(0) > job.labour.clock_hours(0)
    assert short.order.line("clear topcoat").packs == 8


def test_what_if_hotter_day_halves_pail_life_every_ten_degrees() -> None:
    """Table of the trade brief 6.3: 30 min at 75 F is 17 min at 90 F, 36 at 70 F (rule of thumb)."""
    primer = estimate("patio").plan.slabs[0].system.coats[0]
    assert pail_minutes(primer, 10.0) == pytest.approx(15)
    assert pail_minutes(primer, 15 / 1.8) == pytest.approx(17, abs=0.5)
    assert pail_minutes(primer, -5 / 1.8) == pytest.approx(36, abs=0.5)


def test_what_if_refuses_what_there_is_not() -> None:
    """An unknown surface, and nobody left."""
    job, _, _ = quoted()
    for change, code in ((Change(surface="brom"), "value-unknown"), (Change(fewer=3), "crew-empty")):
        with pytest.raises(DataFileError) as caught:
            changed_job(job, change, firm=firm())
        assert caught.value.faults[0].code == code
    assert caught.value.faults[0].text == "a crew of 3 cannot be 3 short"


def test_compare_a_plan_with_itself_changes_nothing() -> None:
    """No row differs."""
    job, _, _ = quoted()
    assert not [row for row in rows_between(job, job) if row.changed]


def test_what_if_hotter_and_short_makes_more_zones() -> None:
    """A coat is never poured in fewer zones on a hotter day with one person less, and the primer in more."""
    job, _, _ = quoted()
    short = changed_job(job, Change(fewer=1, hotter_c=10.0), firm=firm())
    rows = {row.name: row for row in zone_rows(job, short, hotter_c=10.0)}
    assert rows["primer, zones"].old == 2
    assert all(row.new is not None and row.old is not None and row.new >= row.old for row in rows.values())
    assert float(rows["primer, zones"].new or 0) > 2


def test_what_if_hotter_makes_zones_that_the_crew_of_the_first_day_spreads() -> None:
    """By hand: 30 min in the pail are 15 at 10 C more, less 5 in hand; three people spread 25 sq ft a minute.

    That is 250 sq ft, and 636 take three of them. Two people, as on the later days, would spread 160 and
    need at least four.
    """
    job, _, _ = quoted()
    assert job.labour.people == (3, 2, 2)
    rows = {row.name: row for row in zone_rows(job, job, hotter_c=10.0)}
    assert (rows["primer, zones"].old, rows["primer, zones"].new) == (2, 3)


FACED = """
units = "ft"
[[slab]]
name = "Patio"
outline = \"\"\"
A 0, 0 | wall
B 20, 0 | open
C 20, 10 | stem wall
D 0, 10 | open
\"\"\"
[[slab.cutout]]
name = "planter"
kind = "low wall"
at = ["10, 5"]
size = "2 x 2"
"""


@pytest.mark.parametrize(
    ("faced", "words"),
    [
        (('side = "B-C"',), "side B-C"),
        (('side = "B-C"', 'side = "D-A"'), "all open edges"),
        (('side = "C-D"', 'cutout = "planter"'), "the stem wall, the planter"),
    ],
)
def test_scope_promises_no_face_that_is_not_coated(faced: tuple[str, ...], words: str) -> None:
    """One open side of two is named by its letters; a kind stands alone only where all of it is coated."""
    faces = "".join(f'[[slab.face]]\n{face}\nheight = "4 in"\n' for face in faced)
    said = scope(floorplan.takeoff(floorplan.read(FACED + faces)))
    assert f"Patio: upright faces of {words} coated to match." in said


@pytest.mark.parametrize(
    ("sheet", "name", "address"),
    [
        ("", "Thornfield", ("9 Quarry Row",)),
        ('firm = "Thornfield"', "Thornfield", ("9 Quarry Row",)),
        ('firm = "Plain Floors"', "Plain Floors", ()),
        ('firm = "Plain Floors"\naddress = ["1 Mill Lane"]', "Plain Floors", ("1 Mill Lane",)),
    ],
)
def test_plan_names_the_firm_before_the_prices_do(sheet: str, name: str, address: tuple[str, ...]) -> None:
    """The plan goes over the prices, and no firm is given the address of another."""
    prices = read_firm('[firm]\nname = "Thornfield"\naddress = ["9 Quarry Row"]\n', "prices.toml")
    job, _, _ = quoted()
    named = floorplan.read(f"{FACED}[sheet]\n{sheet}\n").sheet
    quote = make_quote(replace(job, plan=replace(job.plan, sheet=named)), (), prices)
    assert (quote.firm, quote.address) == (name, address)


def test_quote_and_drawing_round_an_area_alike() -> None:
    """20.5 by 3.2907 ft is 67.459 sq ft, by way of 67.5 a foot more than the 67 that it is."""
    plan = floorplan.read(
        'units = "ft"\n[[slab]]\noutline = """\n0, 0\n20.5, 0\n20.5, 3.2907\n0, 3.2907\n"""\n'
    )
    takeoff = floorplan.takeoff(plan)
    assert "about 67 sq ft." in scope(takeoff)[0]
    (page, *_) = pages(plan, takeoff, sheet="customer")
    assert any(
        mark.content == "About 67 sq ft of floor" for mark in walk(page.marks) if isinstance(mark, Text)
    )


def test_a_choice_without_words_says_what_it_holds() -> None:
    """A price above another has its reason beside it, even where the firm wrote none."""
    takeoff = estimate("patio")
    bare = tuple(replace(option, says=()) for option in firm().options)
    figures = replace(firm(), options=bare)
    job = work_job(takeoff.plan, takeoff, firm=figures)
    good, better, best = make_quote(job, priced_options(job, figures), figures).choices
    assert good.says == ("the floor as drawn",)
    assert better.says == ("all that Good holds", 'upright faces along open edges coated to match, 4" high')
    assert best.says == ("all that Better holds", "one coat more")


def test_a_cold_floor_stays_closed_longer() -> None:
    """Foot 48 h, furniture 72 h, vehicles 7 d at 75 °F; at 57 °F, 10 °C colder, twice that; never less."""
    (system,) = {slab.slab.system for slab in estimate("patio").slabs}
    usual = closed_days([system])
    assert [line.rpartition(" for ")[2].split()[0] for line in usual] == ["2", "3", "7"]
    cold = closed_days([system], celsius(57.0))
    assert [line.rpartition(" for ")[2].split()[0] for line in cold] == ["4", "6", "14"]
    assert closed_days([system], celsius(95.0)) == usual


def test_open_sides_of_steps_are_told() -> None:
    """What the price holds of a flight is what the customer reads."""
    text = (
        '[[slab]]\nname = \'Landing\'\noutline = """\n0, 0 | open\n4, 0 | open\n4, 5 | wall\n0, 5 | wall\n'
        '"""\n[[steps]]\nwidth = "4 ft"\ntreads = 2\ntread = "11 in"\nriser = "7 in"\n'
    )
    for sides, words in ((0, "treads and risers"), (1, "treads, risers and open sides")):
        told = scope(floorplan.takeoff(floorplan.read(f"{text}open_sides = {sides}\n")))
        assert f"Steps: {words} coated to match." in told
