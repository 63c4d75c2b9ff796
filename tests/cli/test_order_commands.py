"""Materials with stock and prices, quote, compare, what-if and stock, from the command line."""

from __future__ import annotations

import csv
import io
import json
import shutil
from pathlib import Path

import pytest
from command_runs import GARAGE, PATIO, SAMPLES, run

import floorplan_cli.options
import floorplan_cli.user_files

OFFICE = SAMPLES / "office"
PRICES = str(OFFICE / "prices.toml")


@pytest.fixture(autouse=True)
def user_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A user's folder of the test's own, empty."""
    folder = tmp_path / "user"
    folder.mkdir()
    monkeypatch.setattr(floorplan_cli.user_files, "user_folder", lambda: folder)
    monkeypatch.setattr(floorplan_cli.options, "user_folder", lambda: folder)
    return folder


@pytest.fixture
def stock(tmp_path: Path) -> Path:
    """A copy of the sample stock file."""
    path = tmp_path / "stock.csv"
    shutil.copy(OFFICE / "stock.csv", path)
    return path


def test_materials_opens_with_the_data_sheet_line() -> None:
    """Text, CSV and JSON say first to follow the product's data sheet."""
    assert run("materials", PATIO).stdout.splitlines()[0].startswith("Typical values: follow the data sheet")
    assert run("materials", PATIO, "--csv").stdout.startswith("Typical values: follow the data sheet")
    assert json.loads(run("materials", PATIO, "--json").stdout)["note"].startswith("Typical values")


def test_materials_explain_prints_every_sum_and_its_file() -> None:
    """Sundries' sums and the files of the rates only with --explain."""
    plain, explained = run("materials", PATIO).stdout, run("materials", PATIO, "--explain").stdout
    assert "a cover" not in plain and "a cover" in explained
    assert "rates from outdoor-full-flake.toml (shipped)" in explained
    assert "rates from sundries.toml (shipped)" in explained


def test_materials_json_keeps_the_contract() -> None:
    """Every item has the eight keys, and packs that hold the need."""
    items = json.loads(run("materials", PATIO, "--json").stdout)["items"]
    for item in items:
        keys = ("item", "layer", "need", "unit", "pack_size", "packs", "spare", "how")
        assert tuple(item)[:8] == keys
        assert item["packs"] * item["pack_size"] >= item["need"] - 1e-5


def test_materials_with_stock_orders_less(stock: Path) -> None:
    """100 lb of flake on hand: one box in place of four."""
    packs = {}
    for extra in ((), ("--stock", str(stock), "--blend", "granite")):
        items = json.loads(run("materials", PATIO, "--json", *extra).stdout)["items"]
        packs[extra] = next(item["packs"] for item in items if item["product"] == "flake")
    assert list(packs.values()) == [4, 1]


def test_csv_runs_no_formula(tmp_path: Path) -> None:
    """A title that a spreadsheet would run stands as text."""
    text = Path(PATIO).read_text(encoding="utf-8").replace('"Rear patio"', '"=1+1"')
    plan = tmp_path / "evil.toml"
    plan.write_text(text, encoding="utf-8")
    out = tmp_path / "q.csv"
    assert run("quote", str(plan), "--prices", PRICES, "-o", str(out)).exit_code == 0
    cells = [cell for row in csv.reader(io.StringIO(out.read_text(encoding="utf-8"))) for cell in row]
    assert "'=1+1" in cells
    assert not [cell for cell in cells if cell.startswith(("=", "+", "@"))]


def test_quote_writes_pdf_and_books_and_keeps_the_cost_sheet_apart(tmp_path: Path) -> None:
    """Three files for the customer and the books; the cost sheet only where it is asked for."""
    pdf = tmp_path / "quote.pdf"
    result = run("quote", PATIO, "--prices", PRICES, "-o", str(pdf))
    assert result.exit_code == 0 and result.stdout == ""
    names = sorted(path.name for path in tmp_path.iterdir() if path.is_file())
    assert names == ["quote.csv", "quote.json", "quote.pdf"]
    sheet = tmp_path / "inside" / "cost.txt"
    run("quote", PATIO, "--prices", PRICES, "-o", str(pdf), "--cost-sheet", str(sheet))
    assert "Internal: not for the customer." in sheet.read_text(encoding="utf-8")
    document = json.loads((tmp_path / "quote.json").read_text(encoding="utf-8"))
    assert [choice["title"] for choice in document["choices"]] == ["Good", "Better", "Best"]
    totals = [float(choice["total"]) for choice in document["choices"]]
    assert totals == sorted(totals)


def test_quote_to_stdout_is_one_json_document() -> None:
    """A dash prints the entry for the books."""
    for plan in (GARAGE, PATIO):
        result = run("quote", plan, "--prices", PRICES, "-o", "-")
        assert json.loads(result.stdout)["kind"] == "quote"


def test_quote_without_prices_names_what_is_missing(tmp_path: Path) -> None:
    """No price file: faults, exit 1, nothing written."""
    result = run("quote", PATIO, "-o", str(tmp_path / "q.pdf"))
    assert result.exit_code == 1
    assert "no labour rate" in result.stderr and "Traceback" not in result.stderr
    assert not list(tmp_path.glob("q.*"))


def test_firm_file_in_the_users_folder_is_used_and_told(user_folder: Path) -> None:
    """What nobody named is said on stderr; --prices goes over it."""
    shutil.copy(PRICES, user_folder / "firm.toml")
    result = run("quote", PATIO, "-o", "-")
    assert result.exit_code == 0
    assert "the firm's figures:" in result.stderr


def test_compare_says_what_changed(tmp_path: Path) -> None:
    """A metre of the outline moved: the rows that differ, and none of the rest."""
    text = Path(PATIO).read_text(encoding="utf-8")
    assert "28' 6\", 0" in text
    new = tmp_path / "new.toml"
    new.write_text(text.replace("28' 6\"", "29' 6\""), encoding="utf-8")
    result = run("compare", PATIO, str(new), "--prices", PRICES)
    assert result.exit_code == 0
    assert "net area" in result.stdout and "price and tax" in result.stdout
    assert "nothing changed" in run("compare", PATIO, PATIO).stdout
    rows = json.loads(run("compare", PATIO, str(new), "--json").stdout)["rows"]
    area = next(row for row in rows if row["name"] == "gross area")
    assert area["after"] - area["before"] == pytest.approx(12 * 0.3048**2, abs=1e-5)


def test_what_if_shows_the_difference() -> None:
    """5 % bigger and 18 F hotter: 30 min in the pail become 15."""
    result = run("what-if", PATIO, "--bigger", "5%", "--hotter", "18F")
    assert result.exit_code == 0
    line = next(line for line in result.stdout.splitlines() if "primer, in the pail" in line)
    assert line.split()[-6:] == ["30", "min", "15", "min", "-15", "min"]


@pytest.mark.parametrize("arguments", [("--bigger", "much"), ("--hotter", "10"), ("--short", "-1")])
def test_what_if_wrong_usage(arguments: tuple[str, str]) -> None:
    """Exit 2, with how to write it."""
    result = run("what-if", PATIO, *arguments)
    assert result.exit_code == 2
    assert "Traceback" not in result.stderr


def test_stock_reserves_closes_and_learns(stock: Path) -> None:
    """Reserve, show, close, show: the ledger from one end to the other."""
    assert (
        run("stock", "reserve", str(stock), PATIO, "--blend", "granite", "--date", "2027-04-12").exit_code
        == 0
    )
    shown = run("stock", "show", str(stock)).stdout
    assert "Reserved for Rear patio" in shown and "60.00 lb  swept" in shown
    closing = ("stock", "close", str(stock), PATIO, "--actuals", str(OFFICE / "actuals.toml"))
    closing += ("--blend", "granite")
    assert run(*closing).exit_code == 0
    shown = run("stock", "show", str(stock)).stdout
    assert "57.00 lb  swept" in shown and "walk-behind grinding" in shown
    again = run(*closing)
    assert again.exit_code == 1 and "closed already" in again.stderr
    document = json.loads(run("stock", "show", str(stock), "--json").stdout)
    assert {lot["what"] for lot in document["lots"]} == {"on hand", "used", "hours"}


def test_stock_release_puts_back(stock: Path) -> None:
    """What was reserved is on hand again."""
    before = json.loads(run("stock", "show", str(stock), "--json").stdout)["lots"]
    run("stock", "reserve", str(stock), PATIO, "--blend", "granite")
    run("stock", "release", str(stock), PATIO)
    after = json.loads(run("stock", "show", str(stock), "--json").stdout)["lots"]
    amounts = [sorted((lot["product"], lot["amount"]) for lot in lots) for lots in (before, after)]
    assert amounts[0] == amounts[1]


def test_stock_new_and_missing(tmp_path: Path) -> None:
    """A new file is empty and reads; one that is missing or there already is a fault."""
    path = tmp_path / "s.csv"
    assert run("stock", "show", str(path)).exit_code == 1
    assert run("stock", "new", str(path)).exit_code == 0
    assert "nothing" in run("stock", "show", str(path)).stdout
    assert run("stock", "new", str(path)).exit_code == 1


def test_firm_file_gives_the_grinder_that_a_plan_does_not_name(user_folder: Path) -> None:
    """The garage names no grinder, so the firm's wider head reaches less; a plan's own grinder stays."""
    areas = {}
    for head in ("18 in", "30 in"):
        text = f'[grinder]\nhead = "{head}"\ngap = "3 in"\n[firm]\nname = "Slate Lane Floors"\n'
        (user_folder / "firm.toml").write_text(text, encoding="utf-8")
        for plan in (GARAGE, PATIO):
            result = run("takeoff", plan, "--json")
            areas[plan, head] = json.loads(result.stdout)["totals"]["machine_area_m2"]
            assert "the firm's figures:" in result.stderr
    assert areas[GARAGE, "30 in"] < areas[GARAGE, "18 in"]
    assert areas[PATIO, "30 in"] == areas[PATIO, "18 in"]


def test_system_in_the_users_folder_is_found_by_name(user_folder: Path, tmp_path: Path) -> None:
    """systems/NAME.toml in the user's folder serves every plan that names it."""
    (user_folder / "systems").mkdir()
    text = 'extends = "garage-full-flake"\n[product.flake]\npacks = ["25 lb"]\n'
    (user_folder / "systems" / "house-flake.toml").write_text(text, encoding="utf-8")
    plan = tmp_path / "plan.toml"
    plan.write_text(
        Path(GARAGE).read_text(encoding="utf-8").replace("garage-full-flake", "house-flake"), encoding="utf-8"
    )
    items = json.loads(run("materials", str(plan), "--json").stdout)["items"]
    flake = next(item for item in items if item["product"] == "flake")
    assert flake["pack_size"] == pytest.approx(25)


def test_faults_of_a_firm_file_are_told_by_every_command(user_folder: Path) -> None:
    """A bare length in the firm's grinder would mean another thing in each plan: refused, exit 1."""
    (user_folder / "firm.toml").write_text("[grinder]\nhead = 20\n", encoding="utf-8")
    result = run("takeoff", PATIO)
    assert result.exit_code == 1
    assert "the length 20 has no unit" in result.stderr and result.stdout == ""


def test_stock_of_another_blend_is_left_and_told(stock: Path) -> None:
    """Without --blend no flake of a named blend is used; what lies there is told."""
    result = run("materials", PATIO, "--json", "--stock", str(stock))
    flake = next(item for item in json.loads(result.stdout)["items"] if item["product"] == "flake")
    assert (flake["on_hand"], flake["packs"]) == (0, 4)
    assert "100 lb in the blend granite is on hand and not used" in result.stderr
    assert "25 lb in the blend autumn" in result.stderr


def test_packet_orders_less_what_is_on_hand(tmp_path: Path) -> None:
    """The packet's material list goes by the same stock as the command that lists the material."""
    stock = str(SAMPLES / "office" / "stock.csv")
    packet = tmp_path / "packet"
    assert run("packet", PATIO, "--stock", stock, "--blend", "granite", "-o", str(packet)).exit_code == 0
    listed = run("materials", PATIO, "--stock", stock, "--blend", "granite", "--json")
    assert (packet / "materials.json").read_text(encoding="utf-8") == listed.stdout
    assert listed.stdout != run("materials", PATIO, "--json").stdout


def test_close_knows_the_blend_that_was_reserved(stock: Path) -> None:
    """What is left and swept up goes back in the blend that the job had reserved, said or not."""
    assert run("stock", "reserve", str(stock), PATIO, "--blend", "granite").exit_code == 0
    closed = run("stock", "close", str(stock), PATIO, "--actuals", str(OFFICE / "actuals.toml"))
    assert closed.exit_code == 0, closed.stderr
    lots = json.loads(run("stock", "show", str(stock), "--json").stdout)["lots"]
    left = [lot for lot in lots if lot["what"] == "on hand" and lot["product"] == "flake"]
    assert [lot["blend"] for lot in left if lot["batch"] != "B090"] != []
    assert {lot["blend"] for lot in left if lot["batch"] != "B090"} == {"granite"}
