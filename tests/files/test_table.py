"""Typed reading of tables: values come out with their places, and every fault is collected in words."""

from __future__ import annotations

import re
from functools import partial

import pytest

from floorplan.errors import Fault, PlanError
from floorplan.files.cells import Cell, Faults
from floorplan.files.table import Table
from floorplan.files.toml import read_toml
from floorplan.units.length import UnitStyle
from floorplan.units.reading import read_angle, read_length

FEET = partial(read_length, style=UnitStyle.FT_IN)

PLAN = '''title = "Rear patio"
units = "ft-in"
date = 2027-05-04

[grinder]
head = "18 in"
overhang = 0.5

[[slab]]
name = "Patio"
outline = """
# corner  x, y            what stands there
A   0, 0                | wall   # the house
\tB   26', 14' 3"       | #2 kind

"""
turn = -30

[[slab.cutout]]
at = ["6', 20'", "12', 20'"]
size = "10 in x 10 in"

[edge_kind.hedge]
hand_grind = true
count = 3
'''


def table_of(text: str) -> Table:
    """The root table of a text, with a collector of its own."""
    return read_toml(text, "p.toml").table(Faults())


def only(table: Table) -> Fault:
    """The one fault found."""
    (fault,) = table.faults.found
    return fault


def marked(fault: Fault) -> str:
    """The text that a fault marks."""
    place = fault.place
    assert place is not None and place.column is not None
    return place.text[place.column - 1 : place.column - 1 + place.width]


def test_good_plan_is_read_without_faults() -> None:
    """Texts, choices, lengths, numbers, flags, dates, lists and tables come out."""
    root = table_of(PLAN)
    assert root.text("title", "") == "Rear patio"
    assert root.text("date", "") == "2027-05-04"
    assert root.choice("units", UnitStyle) is UnitStyle.FT_IN
    grinder = root.table("grinder")
    assert grinder is not None
    head = grinder.length("head", UnitStyle.FT_IN, above_zero=True)
    assert head is not None and (head.text, round(head.m, 6)) == ("18 in", 0.4572)
    overhang = grinder.length("overhang", UnitStyle.FT_IN)
    assert overhang is not None and (overhang.text, round(overhang.m, 6)) == ("0.5", 0.1524)
    (slab,) = root.tables("slab", required=True)
    assert (slab.path, slab.place.line, slab.read("turn", read_angle)) == ("slab", 9, -30.0)
    slab.ignore("name", "outline", "cutout")
    (cutout,) = slab.tables("cutout")
    assert [cell.text for cell in cutout.texts("at")] == ["6', 20'", "12', 20'"]
    assert cutout.path == "slab.cutout"
    kinds = root.named_tables("edge_kind")
    assert kinds["hedge"].flag("hand_grind", False) is True
    assert kinds["hedge"].count("count") == 3
    assert kinds["hedge"].number("missing", 2.5) == 2.5
    cutout.ignore("size")
    for table in (root, grinder, slab, cutout, kinds["hedge"]):
        table.finish()
    assert root.faults.found == ()
    root.faults.raise_if_any(PlanError)


def test_block_lines_keep_their_places_to_the_character() -> None:
    """Comments and blank lines go, tabs stay, and each cell is found in its line."""
    (slab,) = table_of(PLAN).tables("slab")
    first, second = slab.block("outline")
    assert (first.text, first.place.line, first.place.column) == ("A   0, 0                | wall", 13, 1)
    before, kind = second.partition("|")
    label, rest = before.first_word()
    x, y = rest.split(",")
    assert kind is not None and kind.text == ""
    assert [cell.text for cell in (label, x, y)] == ["B", "26'", "14' 3\""]
    for cell in (label, x, y):
        place = cell.place
        assert place.line == 14 and place.column is not None
        assert place.text[place.column - 1 : place.column - 1 + place.width] == cell.text


def test_cell_fault_marks_the_bad_part_and_names_what() -> None:
    """The fault of the style page, to the letter."""
    text = 'outline = """\nC   26\', 14\'3\'\'   | open\n"""\n'
    root = table_of(text)
    (line,) = root.block("outline")
    at, _ = line.partition("|")
    label, rest = at.first_word()
    lengths = [cell.read(FEET, root.faults, f"corner {label}") for cell in rest.split(",")]
    assert lengths[0] is not None and lengths[1] is None
    assert str(only(root)).split("\n") == [
        "p.toml:2:10: fault: corner C: cannot read the length 14'3''",
        "      C   26', 14'3''   | open",
        "               ^^^^^^",
        "    write 14' 3\" or 14.25'",
    ]


def test_list_item_cells_are_placed_inside_their_marks() -> None:
    """A part of a text in a list over several lines is marked where it stands."""
    root = table_of('at = [\n  "6\', 20\'",\n  "12\', 20q" ]\n')
    for cell in root.texts("at"):
        for part in cell.split(","):
            part.read(FEET, root.faults, "at")
    fault = only(root)
    assert (str(fault.place), marked(fault)) == ("p.toml:3:11", "q")


def test_escapes_mark_the_whole_value() -> None:
    """Where escapes move the columns, the whole value is marked."""
    root = table_of('size = "10\\" by 3q"\nlines = """\na\\u0041\nb 3q\n"""\n')
    cell = root.cell("size")
    assert cell is not None and cell.text == '10" by 3q'
    cell.read(FEET, root.faults)
    assert marked(only(root)) == '"10\\" by 3q"'
    assert [(c.text, c.place.line) for c in root.block("lines")] == [("aA", 2), ("b 3q", 2)]


def test_bare_decimal_is_asked_about_as_typed() -> None:
    """12.10 without marks is still seen as 12.10, not as 12.1."""
    root = table_of("width = 12.10\n")
    assert root.length("width", UnitStyle.FT_IN) is None
    fault = only(root)
    assert (fault.code, marked(fault), fault.hint) == (
        "length-ambiguous",
        "12.10",
        "write 12'-10\" or 12.10'",
    )
    assert fault.text.startswith("width: the length 12.10 may mean")


@pytest.mark.parametrize("typed", ["inf", "nan", "1e300", "0xff", "true", "[1]", "2027-05-04"])
def test_odd_values_are_no_length(typed: str) -> None:
    """What TOML takes as a value need not be a length."""
    root = table_of(f"width = {typed}\n")
    assert root.length("width", UnitStyle.FT_IN) is None
    assert marked(only(root)) in (typed, "e", "xff", "-04")


WRONG = [
    ("a = 3", lambda t: t.text("a"), "value-type", "a is a number; text is wanted", 'write a = "3"'),
    ("a = true", lambda t: t.cell("a"), "value-type", "a is true or false; text is wanted", 'write a = "…"'),
    (
        'a = "yes"',
        lambda t: t.flag("a"),
        "value-type",
        "a is text; true or false is wanted",
        "write a = true or a = false, without marks",
    ),
    ("a = 2.5", lambda t: t.count("a"), "value-whole", "a is 2.5; a whole number is wanted", ""),
    ("a = 9", lambda t: t.count("a", high=8), "value-range", "a is 9; 0 to 8 is wanted", ""),
    ("a = -1", lambda t: t.number("a"), "value-range", "a is -1; 0 or more is wanted", ""),
    ("a = nan", lambda t: t.number("a"), "value-range", "a is nan; 0 or more is wanted", ""),
    (
        'a = "3 in"',
        lambda t: t.number("a"),
        "value-number",
        "a is 3 in; a number without a unit is wanted",
        "",
    ),
    (
        "a = 1",
        lambda t: t.table("a"),
        "value-type",
        "a is a number; a table is wanted",
        "write [a] and its keys below",
    ),
    ("[[a]]", lambda t: t.table("a"), "value-type", "a is a list; a table is wanted", "write [a] once"),
    (
        "[a]",
        lambda t: t.tables("a"),
        "value-type",
        "a is a table; a list of tables is wanted",
        "write [[a]] with two brackets",
    ),
    (
        "a = [1]",
        lambda t: t.tables("a"),
        "value-type",
        "a is a list; a list of tables is wanted",
        "write [[a]] and its keys below",
    ),
    (
        "a = true",
        lambda t: t.texts("a"),
        "value-type",
        "a is true or false; a list of texts is wanted",
        'write a = ["…", "…"]',
    ),
    ("a = [[1]]", lambda t: t.texts("a"), "value-type", "a holds a list; a list of texts is wanted", ""),
    (
        "a = 3",
        lambda t: t.block("a"),
        "value-type",
        "a is a number; a block of lines is wanted",
        'write a = """ and the lines, then """',
    ),
    ('a = "-3"', lambda t: t.length("a", UnitStyle.M), "length-range", "a is -3; zero or more is wanted", ""),
    (
        "a = 0",
        lambda t: t.length("a", UnitStyle.M, above_zero=True),
        "length-range",
        "a is 0; more than zero is wanted",
        "",
    ),
    (
        'a = "ftin"',
        lambda t: t.choice("a", UnitStyle),
        "value-unknown",
        "a: ftin is not known",
        "did you mean ft-in? known: ft-in, ft, in, m, cm, mm",
    ),
    (
        'a = ""',
        lambda t: t.choice("a", UnitStyle),
        "value-unknown",
        "a: nothing is not known",
        "known: ft-in, ft, in, m, cm, mm",
    ),
    (
        "b = 1",
        lambda t: (t.ignore("b"), t.text("a", required=True)),
        "key-missing",
        "a is missing",
        "add a line a = …",
    ),
    (
        "gaap = 1",
        lambda t: (t.text("gap"), t.finish()),
        "key-unknown",
        "gaap is not a key of the top of the file",
        "did you mean gap?",
    ),
    (
        "xyz = 1",
        lambda t: (t.text("gap"), t.finish(["head"])),
        "key-unknown",
        "xyz is not a key of the top of the file",
        "known here: gap, head",
    ),
    (
        "xyz = 1",
        lambda t: (t.text("gap"), t.finish(["gap"])),
        "key-unknown",
        "xyz is not a key of the top of the file",
        "known here: gap",
    ),
    (
        "date = 1",
        lambda t: (t.text("data"), t.finish(elsewhere={"date": "in [sheet]"})),
        "key-unknown",
        "date is not a key of the top of the file",
        "date belongs in [sheet]",
    ),
]


@pytest.mark.parametrize(
    ("text", "ask", "code", "words", "hint"), WRONG, ids=[row[0] + " " + row[2] for row in WRONG]
)
def test_wrong_value_is_told(text: str, ask: object, code: str, words: str, hint: str) -> None:
    """Each accessor says what was found, what is wanted and how it is written."""
    table = table_of(text)
    ask(table)  # type: ignore[operator]
    fault = only(table)
    assert (fault.code, fault.text, fault.hint) == (code, words, hint)


def test_missing_key_names_its_table_and_unknown_key_its_header() -> None:
    """Faults inside a table call it as its header does."""
    root = table_of("[[slab]]\nname = 'x'\n[[slab.joint]]\nwidht = 1\n")
    joint = root.tables("slab")[0].tables("joint")[0]
    joint.length("width", UnitStyle.M, required=True)
    joint.finish()
    missing, unknown = root.faults.found
    assert (missing.text, str(missing.place)) == ("width is missing in slab.joint", "p.toml:3:1")
    assert (unknown.text, unknown.hint) == ("widht is not a key of [slab.joint]", "did you mean width?")


def test_faults_are_raised_once_in_the_order_of_the_file() -> None:
    """All faults come in one error, sorted by place, none twice."""
    root = table_of("a = 1\nb = 2\n")
    root.fault("x", "second", "b")
    root.fault("x", "first", "a")
    root.fault("x", "first", "a")
    with pytest.raises(PlanError) as caught:
        root.faults.raise_if_any(PlanError)
    assert [fault.text for fault in caught.value.faults] == ["first", "second"]


def test_cell_pieces() -> None:
    """Splitting, words and stripping keep columns; nothing gives an empty cell."""
    cell = Cell(" a , b  c ", "f", 3, 5, "     a , b  c ")
    assert [(c.text, c.column) for c in cell.split(",")] == [("a", 6), ("b  c", 10)]
    assert [(c.text, c.column) for c in cell.words()] == [("a", 6), (",", 8), ("b", 10), ("c", 13)]
    size = Cell("10 in × 1' 2\"", "f", 1, 9, "")
    assert [(c.text, c.column) for c in size.split_at(re.compile("[x×]"))] == [("10 in", 9), ("1' 2\"", 17)]
    assert not Cell("", "f", 1, 1, "").strip()
    assert [c.text for c in Cell("", "f", 1, 1, "").split(",")] == [""]
    assert Cell("a", "f", 1, 1, "a").partition("|")[1] is None
    assert Cell(" ", "f", 1, 1, " ").first_word()[0].text == ""


def test_many_unknown_keys_are_summed_up() -> None:
    """Twenty are told one by one, the rest in one line, in little time."""
    root = table_of("\n".join(f"k{i} = 1" for i in range(20_000)))
    root.text("title")
    root.finish()
    assert len(root.faults) == 21
    assert root.faults.found[-1].text == "19980 more keys are not keys of the top of the file"


def test_control_characters_do_not_reach_the_terminal() -> None:
    """A key that hides an escape sequence is shown with question marks."""
    root = table_of('"\\u001b[31m" = 1\n')
    root.finish()
    assert "\x1b" not in str(only(root))
    assert "?[31m is not a key" in str(only(root))
