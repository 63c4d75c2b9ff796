"""Stock: the ledger adds up, two runs at once lose nothing, a crash leaves the old file or the new one."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from estimates import POUND, estimate
from hypothesis import given
from hypothesis import strategies as st

from floorplan.errors import DataFileError
from floorplan.order.actuals import read_actuals
from floorplan.order.job import work_job
from floorplan.order.stock import (
    Actual,
    Lot,
    State,
    Stock,
    What,
    close,
    learned_rates,
    merged,
    other_blends,
    release,
    reserve,
    usable,
)
from floorplan.order.stock_csv import read_stock, write_stock
from floorplan.order.stock_file import change_stock, load_stock, new_stock
from floorplan.system.model import Measure
from floorplan.values import replace

# A head row without the blend: a column that is not needed may be left out.
HEAD = "what,product,amount,unit,planned,over,over_unit,batch,state,job,date,note\n"


def flake(pounds: float, what: What = What.ON_HAND, state: State = State.NEW, **more: str) -> Lot:
    """A lot of flake."""
    return Lot(
        what=what,
        product="flake",
        amount=pounds * POUND,
        measure=Measure.WEIGHT,
        unit="lb",
        per_unit=POUND,
        state=state,
        **more,  # type: ignore[arg-type]
    )


def pounds(stock: Stock, what: What, state: State | None = None) -> float:
    """Flake in rows of a kind."""
    rows = [lot for lot in stock.lots if lot.what is what and lot.product == "flake"]
    return sum(lot.amount for lot in rows if state is None or lot.state is state) / POUND


def test_reserve_takes_reclaimed_flake_first() -> None:
    """60 lb swept and 80 lb new, 100 lb wanted: all the swept and 40 of the new."""
    stock = Stock(lots=(flake(80), flake(60, state=State.SWEPT)))
    held = reserve(stock, "Patio", {"flake": 100 * POUND})
    assert pounds(held, What.RESERVED, State.SWEPT) == pytest.approx(60)
    assert pounds(held, What.RESERVED, State.NEW) == pytest.approx(40)
    assert pounds(held, What.ON_HAND) == pytest.approx(40)


def test_reserving_twice_is_reserving_once() -> None:
    """A second run replaces what the job held; another job's rows stay."""
    stock = reserve(Stock(lots=(flake(140),)), "Walk", {"flake": 20 * POUND})
    once = reserve(stock, "Patio", {"flake": 100 * POUND})
    twice = reserve(once, "Patio", {"flake": 100 * POUND})
    assert merged(twice.lots) == merged(once.lots)
    assert sum(lot.amount for lot in twice.reserved("Walk")) / POUND == pytest.approx(20)
    assert release(twice, "Patio").reserved("Patio") == ()


def test_usable_counts_own_reserved_rows_but_not_others() -> None:
    """A job sees what is free and its own."""
    stock = reserve(Stock(lots=(flake(100),)), "Walk", {"flake": 30 * POUND})
    assert usable(stock)["flake"].amount / POUND == pytest.approx(70)
    assert usable(stock, "Walk")["flake"].amount / POUND == pytest.approx(100)


def test_ledger_of_the_worked_estimate() -> None:
    """Trade brief 8: buys 160, throws 140.0, bags 63.0, has 20 never thrown, carries 83 lb."""
    took = Actual(
        product="flake",
        used=140 * POUND,
        bagged=63 * POUND,
        bought=160 * POUND,
        measure=Measure.WEIGHT,
        unit="lb",
        per_unit=POUND,
    )
    stock = close(Stock(), "Patio", [took])
    assert pounds(stock, What.ON_HAND, State.NEW) == pytest.approx(20)
    assert pounds(stock, What.ON_HAND, State.SWEPT) == pytest.approx(63)
    assert pounds(stock, What.USED) == pytest.approx(77)


@given(st.floats(0, 200), st.floats(0, 200), st.floats(0, 1), st.floats(0, 1))
def test_closing_stock_is_opening_plus_bought_less_kept(
    opening: float, bought: float, used_share: float, bagged_share: float
) -> None:
    """The ledger identity, whatever was reserved, bought, thrown and bagged."""
    opening, bought = round(opening, 2), round(bought, 2)
    stock = reserve(Stock(lots=(flake(opening),)), "Patio", {"flake": opening / 2 * POUND})
    thrown = (opening / 2 + bought) * used_share * 0.999
    took = Actual(
        product="flake",
        used=thrown * POUND,
        bagged=thrown * bagged_share * POUND,
        bought=bought * POUND,
        measure=Measure.WEIGHT,
        unit="lb",
        per_unit=POUND,
    )
    after = close(stock, "Patio", [took])
    kept = thrown * (1 - bagged_share)
    assert pounds(after, What.ON_HAND) == pytest.approx(opening + bought - kept, abs=1e-6)
    assert after.reserved("Patio") == ()


def test_closing_twice_and_using_more_than_there_was_are_faults() -> None:
    """A job is closed once; what was never there cannot be used."""
    took = Actual(product="flake", used=10.0, bought=10.0, measure=Measure.WEIGHT, unit="kg")
    stock = close(Stock(), "Patio", [took])
    with pytest.raises(DataFileError, match="closed already"):
        close(stock, "Patio", [took])
    with pytest.raises(DataFileError, match="closed already"):
        reserve(stock, "Patio", {"flake": 1.0})
    short = Actual(product="flake", used=11.0, bought=10.0, measure=Measure.WEIGHT, unit="kg")
    with pytest.raises(DataFileError, match=r"11.00 kg of flake used, but only 10.00 kg"):
        close(Stock(), "Walk", [short])


def test_actuals_of_the_patio_teach_rates() -> None:
    """2.6 h for 613.47 sq ft is 236 sq ft an hour; 5 gal of primer on 636.13 sq ft is 127.2 a gallon."""
    takeoff = estimate("patio")
    job = work_job(takeoff.plan, takeoff)
    text = '[used]\n"epoxy primer" = "5 gal"\nflake = { thrown = "150 lb", bagged = "70 lb" }\n'
    text += '[hours]\n"walk-behind grinding" = "2.6 h"\n'
    stock = close(Stock(), "Patio", read_actuals(text, "actuals.toml", job))
    rates = {rate.name: rate for rate in learned_rates(stock)}
    sqft, gallon = 0.3048**2, 3.785411784
    assert rates["walk-behind grinding"].learned / sqft == pytest.approx(613.47 / 2.6, abs=0.1)
    assert rates["walk-behind grinding"].typical / sqft == pytest.approx(250)
    assert rates["epoxy primer"].learned * gallon / sqft == pytest.approx(636.13 / 5, abs=0.01)
    assert rates["epoxy primer"].typical * gallon / sqft == pytest.approx(636.13 / 4.8, abs=0.1)
    assert pounds(stock, What.ON_HAND, State.SWEPT) == pytest.approx(70)
    assert pounds(stock, What.ON_HAND, State.NEW) == pytest.approx(10)


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ('[used]\n"epoxy primmer" = "5 gal"\n', "value-unknown"),
        ('[used]\n"epoxy primer" = "5 lb"\n', "volume-unit"),
        ('[used]\nflake = { bagged = "3 lb" }\n', "key-missing"),
        ('[hours]\n"walking" = "2 h"\n', "value-unknown"),
        ("[hour]\n", "key-unknown"),
    ],
)
def test_faults_of_actuals(text: str, code: str) -> None:
    """A product or task that the job has not, a wrong unit, an unknown table."""
    takeoff = estimate("patio")
    with pytest.raises(DataFileError) as caught:
        read_actuals(text, "actuals.toml", work_job(takeoff.plan, takeoff))
    assert code in [fault.code for fault in caught.value.faults]


def test_csv_written_and_read_is_the_same_ledger() -> None:
    """Commas, quotes, formulas and comments come back as they were."""
    lots = (
        flake(40.25, batch='B "7", red', note="=1+1"),
        flake(12, What.RESERVED, job="Patio, rear", date="2027-04-12"),
        Lot(what=What.ON_HAND, product="-joint", amount=3, measure=Measure.PIECE, note="'quoted"),
        Lot(what=What.HOURS, product="masking", amount=1.5, planned=1.2, over=9.29, over_unit="m2", job="P"),
    )
    stock = Stock(lots=lots, comments=("# floorplan stock, ours",))
    text = write_stock(stock)
    again = read_stock(text, "stock.csv")
    assert again.comments == stock.comments
    assert [lot.product for lot in again.lots] == [lot.product for lot in lots]
    assert [lot.note for lot in again.lots] == [lot.note for lot in lots]
    assert [lot.amount for lot in again.lots] == pytest.approx([lot.amount for lot in lots])
    assert write_stock(again) == text
    cells = [cell for line in text.splitlines() for cell in line.split(",")]
    assert not [cell for cell in cells if cell.startswith(("=", "@", "+"))]


def test_planned_amount_is_in_the_unit_of_the_row() -> None:
    """140 lb planned and 133 lb used over 636.1 sq ft, in kilograms and square metres."""
    text = HEAD + "used,flake,133,lb,140,636.1,sq ft,,,Patio,2027-05-01,\n"
    (lot,) = read_stock(text, "stock.csv").lots
    assert (lot.amount, lot.planned) == pytest.approx((133 * 0.45359237, 140 * 0.45359237))
    assert lot.over == pytest.approx(636.1 * 0.3048**2)


def test_more_used_than_there_was_is_told_in_its_unit() -> None:
    """100 lb reserved and 40 bought leave nothing to throw 150 lb from; nothing is changed."""
    stock = reserve(Stock(lots=(flake(100),)), "Patio", {"flake": 100 * POUND})
    actual = Actual(
        product="flake",
        measure=Measure.WEIGHT,
        unit="lb",
        per_unit=POUND,
        used=150 * POUND,
        bought=40 * POUND,
    )
    with pytest.raises(DataFileError) as caught:
        close(stock, "Patio", [actual])
    (fault,) = caught.value.faults
    assert fault.code == "stock-short"
    assert fault.text == "Patio: 150.00 lb of flake used, but only 140.00 lb reserved and bought"


@pytest.mark.parametrize(
    ("row", "code"),
    [
        ("on hand,flake,40,lb,,,,,newish,,,", "value-unknown"),
        ("at hand,flake,40,lb,,,,,,,,", "value-unknown"),
        ("on hand,,40,lb,,,,,,,,", "stock-product"),
        ("on hand,flake,forty,lb,,,,,,,,", "stock-number"),
        ("on hand,flake,-4,lb,,,,,,,,", "stock-number"),
        ("on hand,flake,nan,lb,,,,,,,,", "stock-number"),
        ("on hand,flake,40,stone,,,,,,,,", "unit"),
        ("reserved,flake,40,lb,,,,,,,,", "stock-job"),
        ("used,flake,40,lb,40,60,feet,,,J,,", "stock-over"),
        ("on hand,flake,40,lb,,,,,,,,,,", "stock-cells"),
    ],
)
def test_faults_of_a_stock_file(row: str, code: str) -> None:
    """Each wrong row is a fault at its line; the good rows beside it do not hide it."""
    with pytest.raises(DataFileError) as caught:
        read_stock(f"# ours\n{HEAD}on hand,flake,40,lb,,,,,,,,\n{row}\n", "stock.csv")
    (fault,) = caught.value.faults
    assert fault.code == code
    assert fault.place is not None and fault.place.line == 4


def test_file_without_head_row_is_a_fault() -> None:
    """An empty file, and one whose columns are others."""
    for text, code in (("", "stock-empty"), ("item,count\na,1\n", "column-unknown")):
        with pytest.raises(DataFileError) as caught:
            read_stock(text, "stock.csv")
        assert caught.value.faults[0].code == code


CHANGE = """
import sys
from dataclasses import replace
from floorplan.order.stock import Lot, What
from floorplan.order.stock_file import change_stock
from floorplan.system.model import Measure
from floorplan.values import replace
def add(stock):
    lot = Lot(what=What.ON_HAND, product=sys.argv[2], amount=1.0, measure=Measure.PIECE)
    return replace(stock, lots=(*stock.lots, lot))
for n in range(int(sys.argv[3])):
    change_stock(sys.argv[1], add)
    print(n, flush=True)
"""


def start(path: Path, name: str, times: int) -> subprocess.Popen[str]:
    """A process that adds a row so many times."""
    root = Path(__file__).parents[2]
    environment = os.environ | {"PYTHONPATH": str(root)}
    return subprocess.Popen(
        [sys.executable, "-c", CHANGE, str(path), name, str(times)],
        stdout=subprocess.PIPE,
        text=True,
        cwd=root,
        env=environment,
    )


def test_two_runs_at_once_lose_nothing(tmp_path: Path) -> None:
    """Two processes add 15 rows each, at the same time: all 30 are there."""
    path = tmp_path / "stock.csv"
    new_stock(path)
    runs = [start(path, name, 15) for name in ("a", "b")]
    for run in runs:
        run.communicate(timeout=60)
        assert run.returncode == 0
    names = [lot.product for lot in load_stock(path).lots]
    assert (names.count("a"), names.count("b")) == (15, 15)


def test_killed_run_leaves_a_whole_file_and_no_lock(tmp_path: Path) -> None:
    """A run killed in the middle leaves every row that it reported, a file that reads, and a free lock."""
    path = tmp_path / "stock.csv"
    new_stock(path)
    run = start(path, "a", 100000)
    assert run.stdout is not None
    reported = 0
    end = time.monotonic() + 1.0
    while time.monotonic() < end:
        reported = int(run.stdout.readline()) + 1
    run.send_signal(signal.SIGKILL)
    run.wait(timeout=10)
    rows = len(load_stock(path).lots)
    assert rows >= reported > 0
    assert len(change_stock(path, lambda stock: stock).lots) == rows
    assert [file.name for file in tmp_path.iterdir() if file.suffix == ".csv"] == ["stock.csv"]


def test_change_that_fails_leaves_the_file_alone(tmp_path: Path) -> None:
    """A fault in the middle writes nothing."""
    path = tmp_path / "stock.csv"
    path.write_text(HEAD + "on hand,flake,40,lb,,,,,,,,\n", encoding="utf-8")
    before = path.read_bytes()
    took = Actual(product="flake", used=1e6, measure=Measure.WEIGHT, unit="lb", per_unit=POUND)
    with pytest.raises(DataFileError):
        change_stock(path, lambda stock: close(stock, "Patio", [took]))
    assert path.read_bytes() == before


def test_new_stock_never_writes_over_a_file(tmp_path: Path) -> None:
    """A file of that name stays as it is."""
    path = tmp_path / "stock.csv"
    path.write_text("mine", encoding="utf-8")
    with pytest.raises(DataFileError, match="there already"):
        new_stock(path)
    assert path.read_text(encoding="utf-8") == "mine"


def test_wrong_name_leaves_no_lock_behind(tmp_path: Path) -> None:
    """A file that is not there is a fault, and nothing is made beside it."""
    with pytest.raises(DataFileError, match="no such file"):
        change_stock(tmp_path / "stok.csv", lambda stock: stock)
    assert list(tmp_path.iterdir()) == []


def test_blends_do_not_mix_and_dirty_flake_stays() -> None:
    """Trade brief 8: different blends do not mix for a customer's job; dirty reclaim is for patching."""
    lots = (
        flake(60, state=State.SWEPT, blend="granite"),
        flake(25, blend="autumn"),
        flake(10, state=State.DIRTY, blend="granite"),
        flake(5),
    )
    stock = Stock(lots=lots)
    assert usable(stock)["flake"].amount / POUND == pytest.approx(5)
    assert usable(stock, blend="Granite")["flake"].amount / POUND == pytest.approx(65)
    held = reserve(stock, "Patio", {"flake": 100 * POUND}, blend="granite")
    assert pounds(held, What.RESERVED) == pytest.approx(65)
    assert [n.text.split(" is ")[0] for n in other_blends(stock, "granite")] == ["25 lb in the blend autumn"]
    again = read_stock(write_stock(stock), "s.csv")
    assert [(lot.blend, lot.state) for lot in again.lots] == [(lot.blend, lot.state) for lot in lots]


def test_what_is_left_goes_back_under_the_blend_of_the_job() -> None:
    """Bagged flake and the rest of the boxes carry the blend; primer carries none."""
    takeoff = estimate("patio")
    took = read_actuals("", "a.toml", work_job(takeoff.plan, takeoff), blend="granite")
    stock = close(Stock(), "Patio", took)
    blends = {lot.product: lot.blend for lot in stock.lots if lot.what is What.ON_HAND}
    assert blends["flake"] == "granite" and blends["epoxy primer"] == ""


def test_only_rows_with_plan_floor_and_amount_teach_a_rate() -> None:
    """By hand: 10 h planned and 8 h used on 40 m² and 12 and 12 on 80 are 120 / 22 planned, 120 / 20 learned.

    A row without what was planned, without its floor, or of no hours teaches nothing.
    """
    row = Lot(
        what=What.HOURS, product="masking", amount=8.0, planned=10.0, over=40.0, over_unit="m2", job="A"
    )
    other = replace(row, amount=12.0, planned=12.0, over=80.0, job="B")
    bare = [replace(row, planned=None), replace(row, over=None), replace(row, amount=0.0)]
    (rate,) = learned_rates(Stock(lots=(row, *(replace(lot, job="C") for lot in bare), other)))
    assert (rate.typical, rate.learned, rate.jobs) == (pytest.approx(120 / 22), pytest.approx(6.0), 2)
