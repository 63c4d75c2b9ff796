"""The plan of a run over many plans, and its summary."""

from __future__ import annotations

import csv
import io
import json
from dataclasses import replace
from pathlib import Path

import pytest

from floorplan.errors import Fault, Place
from floorplan.report.batch import (
    FIGURES,
    Row,
    State,
    holds_slabs,
    packet_folders,
    summary_csv,
    summary_document,
    summary_text,
)
from floorplan.report.documents import json_text
from floorplan.report.packet_record import Record, input_names, read_record, record_text, why_anew

RECORD = Record(
    plan="a.toml",
    title="Rear patio",
    units="ft-in",
    version="1",
    options={"formats": ["svg"], "paper": None},
    inputs={"a.toml": "aa", "logo.png": "bb", "ours.toml": ""},
    files={"crew.svg": "cc"},
    figures=dict.fromkeys(FIGURES, 0.0) | {"net_area_m2": 9.290304, "hand_grind_edge_m": 3.048},
    warnings=({"code": "edge-unknown", "text": "a side", "where": "A-B"},),
)


def test_packets_take_the_plans_names() -> None:
    """A packet's folder is the plan's path without its ending."""
    assert packet_folders(["a.toml", "x/b.v2.toml"]) == {"a.toml": "a", "x/b.v2.toml": "x/b.v2"}


@pytest.mark.parametrize(
    ("plans", "folders"),
    [
        (["a.toml", "a/b.toml"], ["a.toml", "a/b"]),
        (["a.toml", "a.TOML"], ["a.toml", "a.TOML"]),
        (["Lot.toml", "lot.toml"], ["Lot.toml", "lot.toml"]),
        (["a.toml", "A/b/c.toml"], ["a.toml", "A/b/c"]),
    ],
)
def test_no_packet_lies_in_another(plans: list[str], folders: list[str]) -> None:
    """Where two packets would share a folder, or one lie in another, the ending stays."""
    assert list(packet_folders(plans).values()) == folders


@pytest.mark.parametrize(
    "text", ["[[slab]]", "  [[ slab ]]", "slab = []", "[slab]", '[["slab"]]', "[[slabs]]"]
)
def test_text_with_a_slab_may_be_a_plan(text: str) -> None:
    """Every way that TOML can begin a slab is known, and a slip of one letter."""
    assert holds_slabs(f"title = 1\n{text}\n")


@pytest.mark.parametrize("text", ["[[layer]]", "", "note = 'the slab'", "[material]\n# [[slab]]"])
def test_text_without_a_slab_is_no_plan(text: str) -> None:
    """Systems and prices are passed over."""
    assert not holds_slabs(text)


def test_record_is_read_as_written() -> None:
    """Write and read give the same record, file names of any bytes included."""
    record = replace(RECORD, inputs={"plan\udcff\n.toml": "aa"})
    text = record_text(record)
    assert text.isascii()
    assert read_record(text) == record


@pytest.mark.parametrize(
    "text",
    [
        "",
        "[]",
        "3",
        "null",
        "[" * 100_000,
        '{"made_by": "floorplan"}',
        '{"made_by": "floorplan", "form": 1}',
        record_text(RECORD).replace('"form": 1', '"form": 2'),
        record_text(RECORD).replace("9.290304", "NaN"),
        record_text(RECORD).replace("9.290304", "1" + "0" * 400),
        record_text(RECORD).replace("9.290304", '"x"'),
        record_text(RECORD).replace('"Rear patio"', "3"),
        record_text(RECORD).replace('"cc"', "[]"),
        record_text(RECORD).replace('"edge-unknown"', "3"),
        record_text(RECORD)[:-20],
    ],
)
def test_anything_else_is_no_record(text: str) -> None:
    """A file of the record's name that holds something else is never trusted."""
    assert read_record(text) is None


def reason(record: Record | None = RECORD, **changes: object) -> str:
    """Why the packet of the record has to be made anew, where these things have changed."""
    inputs = {**RECORD.inputs, **changes.get("inputs", {})}  # type: ignore[dict-item]
    files = {**RECORD.files, **changes.get("files", {})}  # type: ignore[dict-item]
    return why_anew(
        record,
        version=str(changes.get("version", "1")),
        options=changes.get("options", {"formats": ["svg"], "paper": None}),  # type: ignore[arg-type]
        now=lambda name: inputs[name],
        packed=lambda name: files[name],
    )


def test_packet_is_good_while_nothing_changes() -> None:
    """The same program, options, inputs and files: nothing to do."""
    assert reason() == ""


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"version": "2"}, "made by another version of the program"),
        ({"options": {"formats": ["pdf"], "paper": None}}, "made with other options"),
        ({"inputs": {"a.toml": "xx"}}, "a.toml has changed"),
        ({"inputs": {"logo.png": ""}}, "logo.png has changed"),
        ({"inputs": {"ours.toml": "new"}}, "ours.toml has changed"),
        ({"files": {"crew.svg": ""}}, "crew.svg of the packet has changed"),
    ],
)
def test_packet_is_made_anew_when_anything_changes(changes: dict[str, object], words: str) -> None:
    """Program, options, a file of the plan, one that came later, or a file of the packet."""
    assert reason(**changes) == words


def test_packet_without_record_is_made() -> None:
    """A folder that holds no record was not finished by us."""
    assert reason(None) == "not made yet"


def test_inputs_are_named_from_the_folder_of_plans() -> None:
    """Moving the whole folder changes nothing; the program's own data are left to its version."""
    inputs = {Path("jobs/x/a.toml"): "1", Path("/home/firm.toml"): "2", Path("/lib/floorplan/data.toml"): "3"}
    named = input_names(inputs, Path("jobs"), Path("/lib/floorplan"))
    assert named == {"/home/firm.toml": "2", "x/a.toml": "1"}


FAULT = Fault(
    code="length-unreadable", text="corner C: cannot read\tthe length", place=Place(file="b.toml", line=3)
)
ROWS = (
    Row(plan="a.toml", state=State.MADE, packet="a", record=RECORD),
    Row(plan="=b\udcff.toml", state=State.FAULTS, packet="", faults=(FAULT,)),
    Row(plan="c.toml", state=State.KEPT, packet="c", record=replace(RECORD, units="m")),
)


def test_summary_document_holds_every_plan_and_sums() -> None:
    """Two slabs of 100 sq ft (9.290304 m² each) make 18.580608 m²; the plan with faults adds nothing."""
    document = json.loads(json_text(summary_document(ROWS, ["prices.toml"])))
    assert [row["state"] for row in document["plans"]] == ["made", "faults", "kept"]
    assert document["totals"]["net_area_m2"] == pytest.approx(18.580608)
    assert document["counts"] == {"made": 1, "kept": 1, "faults": 1}
    assert document["passed_over"] == ["prices.toml"]
    assert document["plans"][1]["faults"] == [
        {"code": "length-unreadable", "text": "corner C: cannot read?the length", "where": "b.toml:3"}
    ]


def test_summary_rows_are_safe_in_a_spreadsheet() -> None:
    """A file name that begins like a formula is text; names of any bytes are readable."""
    table = list(csv.reader(io.StringIO(summary_csv(ROWS))))
    assert [row[1] for row in table[1:]] == ["made", "faults", "kept"]
    assert table[2][0] == "'=b?.toml"
    assert table[1][table[0].index("net_area_m2")] == "9.290304"
    assert table[2][-1] == "corner C: cannot read?the length"


def test_summary_text_is_in_each_plans_units() -> None:
    """Feet for one, metres for the next: 100 sq ft are 9.29 m²."""
    lines = summary_text(ROWS, ["prices.toml"]).splitlines()
    assert lines[2].split() == ["a.toml", "made", "100.0", "sq", "ft", "10.00", "ft", "0.00", "ft", "1"]
    assert lines[3].split() == ["=b?.toml", "1", "fault"]
    assert lines[4].split()[:4] == ["c.toml", "kept", "9.29", "m²"]
    assert lines[5] == "3 plans: 1 made, 1 kept, 1 with faults"
    assert lines[6] == "passed over, as they name no slab: prices.toml"
