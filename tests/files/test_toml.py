"""TOML texts: every key, value and block line has its place; mistakes of writing are told in words."""

from __future__ import annotations

import time
import tomllib
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from floorplan.errors import Fault, FloorplanError, PlanError
from floorplan.files.cells import Faults
from floorplan.files.places import Mark, scan
from floorplan.files.toml import read_toml


def faults_of(text: str) -> tuple[Fault, ...]:
    """The faults of a text that is no TOML."""
    with pytest.raises(PlanError) as caught:
        read_toml(text, "p.toml", error=PlanError)
    return caught.value.faults


MISTAKES = [
    (
        'size = "10" x 10""',
        "toml-marks",
        1,
        8,
        "the text of size ends at its second mark",
        "write size = '10\" x 10\"'",
    ),
    (
        'at = ["14\'", "50""]  # beside the door',
        "toml-marks",
        1,
        6,
        "a text of at ends at its second mark",
        "write at = [\"14'\", '50\"']",
    ),
    (
        'width = "12\' 6""',
        "toml-marks",
        1,
        9,
        "the text of width ends at its second mark",
        "write width = '''12' 6\"'''",
    ),
    (
        "a = 1\nwidth = 26'",
        "toml-no-marks",
        2,
        9,
        "the text of width has no marks around it",
        'write width = "26\'"',
    ),
    (
        "width = 12 ft # wide",
        "toml-no-marks",
        1,
        9,
        "the text of width has no marks around it",
        'write width = "12 ft"',
    ),
    (
        'title = "Patio\nb = 2',
        "toml-unclosed",
        1,
        9,
        "the text of title does not end",
        'write title = "Patio"',
    ),
    (
        "a = 1\ntitle = 'Patio\n",
        "toml-no-marks",
        2,
        9,
        "the text of title has no marks around it",
        'write title = "Patio"',
    ),
    ("x =\n", "toml-no-value", 1, 1, "x has no value", 'write x = "…"'),
    ("a = 1\nwidth 5'\n", "toml-no-equals", 2, 1, "this line has no = sign", 'write width = "5\'"'),
    ("width: 5", "toml-no-equals", 1, 1, "this line has no = sign", 'write width = "5"'),
    (
        "A 0, 0 | wall",
        "toml-outside-block",
        1,
        1,
        "this line stands in no block",
        'a line of a block stands between key = """ and """',
    ),
    (
        'a = """\nx\n',
        "toml-block-open",
        1,
        5,
        "the block a is not closed",
        'close it with """ on a line of its own',
    ),
    (
        'a = """\nx\n[[b]]\nc = """\ny\n"""\n',
        "toml-block-open",
        1,
        5,
        "the block a is not closed",
        'close it with """ on a line of its own',
    ),
    ("a = 1\n\na = 2", "toml-twice", 3, 1, "a is given twice (first in line 1)", "keep one of them"),
    (
        "[g]\n[g]",
        "toml-twice",
        2,
        1,
        "[g] is given twice",
        "keep one [g], or write [[g]] for each of several",
    ),
    ('p = "C:\\plans"', "toml-backslash", 1, 10, "a backslash in double marks", "use / or single marks: '…'"),
    ("x = [1, 2\ny = 3\n", "toml-unclosed", 2, 1, "a list [ is not closed", "close it with ]"),
    (
        "[grinder\nx = 1",
        "toml-header",
        1,
        1,
        "the head of a table is not closed",
        "write it like [grinder] or [[slab]]",
    ),
    ("a = 1\nn = " + "9" * 5000, "toml-number", 2, 1, "a number too long to be read", "check the number"),
    ("a = 1 b = 2", "toml-after-value", 1, 7, "something stands after the value", "one key = value a line"),
    (
        "= 3",
        "toml-unreadable",
        1,
        1,
        "this line cannot be read",
        "write it like key = value, with text in marks",
    ),
]


@pytest.mark.parametrize(
    ("text", "code", "line", "column", "words", "hint"), MISTAKES, ids=[row[0][:20] for row in MISTAKES]
)
def test_mistake_of_writing(text: str, code: str, line: int, column: int, words: str, hint: str) -> None:
    """Each has its code, its place, its words and its cure."""
    (fault,) = faults_of(text)
    assert fault.place is not None
    assert (fault.code, fault.place.line, fault.place.column) == (code, line, column)
    assert (fault.text, fault.hint) == (words, hint)
    assert fault.place.text == text.split("\n")[line - 1]


@pytest.mark.parametrize(
    "text", ["a = " + "[" * 100_000, "a = " + "{b = " * 50_000, "a = " + "[" * 20_000 + "]" * 20_000]
)
def test_deep_brackets_end_in_words(text: str) -> None:
    """Brackets a thousand deep are a fault, not a full stack."""
    (fault,) = faults_of(text)
    assert fault.code == "toml-too-deep"


def test_mistakes_on_several_lines_are_told_together() -> None:
    """Mistakes that stay on their lines are all found in one reading, in the order of the file."""
    found = faults_of(
        'size = "10" x 10""\nb = 26\'\n[grinder]\nhead = \'26" \nhead2\n[grinder]\nx = 1\nx = 2\n'
    )
    assert [(f.code, f.place.line) for f in found if f.place] == [
        ("toml-marks", 1),
        ("toml-no-marks", 2),
        ("toml-no-marks", 4),
        ("toml-no-equals", 5),
        ("toml-twice", 6),
        ("toml-twice", 8),
    ]


def test_mark_of_a_mistake_is_as_wide_as_what_is_wrong() -> None:
    """All of `"10" x 10""` is marked, 11 characters with its marks; a place that the library names is one."""
    widths = {}
    for text in ('size = "10" x 10""', "a = 1 b = 2", "x = [1, 2\ny = 3\n"):
        (fault,) = faults_of(text)
        assert fault.place is not None
        widths[text] = fault.place.width
    assert list(widths.values()) == [11, 1, 1]


def test_mistake_on_the_first_line_is_told_there() -> None:
    """Blank lines after the end are passed over, up to the first line of the file and no farther."""
    (fault,) = faults_of("x = [1,\n\n\n")
    assert fault.place is not None and fault.place.line == 1
    (fault,) = faults_of("\nx = [1,\n\n\n")
    assert fault.place is not None and fault.place.line == 2


def test_key_in_single_marks_is_named_without_them() -> None:
    """A literal key is its own name, backslashes and all."""
    text = "'a b' = 1\n'c\\d' = 2\n"
    assert shape_of(scan(text)) == shape_of_values(tomllib.loads(text))


def test_every_shape_of_key_and_value_has_its_place() -> None:
    """Dotted and quoted keys, inline tables, lists over lines, blocks and nested lists of tables."""
    text = '''# comment with "quotes" and = signs
a.b."c d" = 'it # is "not" a comment' # but this is
list = [ # one
  1, "two # 2",
  { x = 3, y.z = [4] },
]
[[slab]]
when = 2027-05-04 07:30:00
text = """four"""" # four quotes
[[slab.hole]]
n = 1
[[slab.hole]]
n = 2
[[slab]]
name = "\\u0041\\"b"
"e\\u0041" = 5
'''
    marks = scan(text)
    assert shape_of(marks) == shape_of_values(tomllib.loads(text))
    assert spans(marks, text) == [
        "'it # is \"not\" a comment'",
        "1",
        '"two # 2"',
        "3",
        "4",
        "2027-05-04 07:30:00",
        '"""four""""',
        "1",
        "2",
        '"\\u0041\\"b"',
        "5",
    ]


def shape_of(mark: Mark) -> Any:
    """Names and lengths of a mark, without places."""
    if mark.keys is not None:
        return {name: shape_of(entry.value) for name, entry in mark.keys.items()}
    return [shape_of(item) for item in mark.items] if mark.items is not None else None


def shape_of_values(value: Any) -> Any:
    """Names and lengths of values as `tomllib` gives them."""
    if isinstance(value, dict):
        return {name: shape_of_values(item) for name, item in value.items()}
    return [shape_of_values(item) for item in value] if isinstance(value, list) else None


def spans(mark: Mark, text: str) -> list[str]:
    """Typed text of each scalar."""
    if mark.keys is not None:
        return [span for entry in mark.keys.values() for span in spans(entry.value, text)]
    if mark.items is not None:
        return [span for item in mark.items for span in spans(item, text)]
    return [text[mark.start : mark.end]]


def basic(text: str) -> str:
    """A text in double marks, with what must be escaped."""
    return '"' + "".join(c if c.isprintable() and c not in '"\\' else f"\\U{ord(c):08x}" for c in text) + '"'


NAMES = st.text(alphabet="abc-_1", min_size=1, max_size=4) | st.text(
    alphabet=st.characters(blacklist_categories=("Cs",)), max_size=5
).map(basic)
SCALARS = (
    st.integers(-(10**6), 10**6).map(str)
    | st.booleans().map(lambda b: str(b).lower())
    | st.floats(allow_nan=False, allow_infinity=False).map(lambda x: repr(float(x)))
    | st.text(alphabet=st.characters(blacklist_categories=("Cs",)), max_size=8).map(basic)
    | st.sampled_from(
        ["'#='", '"""\n a # b\n"c" """', "'''it's'''", "2027-05-04", "07:30:00", "2027-05-04 07:30:00Z"]
    )
)
VALUES = st.recursive(
    SCALARS,
    lambda inner: (
        st.lists(inner, max_size=3).map(lambda v: "[ # x\n" + ",\n".join(v) + "]")
        | st.dictionaries(NAMES, inner.filter(lambda v: "\n" not in v), max_size=3).map(
            lambda d: "{" + ", ".join(f"{k} = {v}" for k, v in d.items()) + "}"
        )
    ),
    max_leaves=6,
)
STATEMENTS = st.tuples(st.lists(NAMES, min_size=1, max_size=3), VALUES).map(
    lambda p: f"{' . '.join(p[0])} = {p[1]} # c"
)
HEADERS = st.lists(NAMES, min_size=1, max_size=3).flatmap(
    lambda p: st.sampled_from([f"[{'.'.join(p)}]", f"[[ {' . '.join(p)} ]] # h"])
)


@settings(max_examples=300, deadline=None)
@given(st.lists(STATEMENTS | HEADERS, max_size=8))
def test_scan_finds_every_key_that_the_library_finds(parts: list[str]) -> None:
    """For any good text the marks have the shape of the values."""
    text = "\n".join(parts)
    try:
        values = tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        with pytest.raises(FloorplanError):
            read_toml(text, "p.toml")
        return
    assert shape_of(scan(text)) == shape_of_values(values)


@settings(max_examples=200, deadline=None)
@given(st.text(alphabet="ab=\"'[]{}#.,\n 1\\|", max_size=40))
def test_any_text_is_a_document_or_faults(text: str) -> None:
    """Whatever is typed, faults with a line of the text come out, or a document."""
    try:
        read_toml(text, "p.toml")
    except FloorplanError as error:
        for fault in error.faults:
            assert fault.text
            assert fault.place is not None and 1 <= (fault.place.line or 0) <= text.count("\n") + 1
            str(fault)


def test_large_block_is_quick_and_near_linear() -> None:
    """Four times the lines take less than twelve times as long; no step looks through the text again."""

    def seconds(lines: int) -> float:
        text = (
            'o = """\n'
            + "A  1' 2\", 3' 4\" | wall\n" * lines
            + '"""\n'
            + "".join(f"k{i} = 1\n" for i in range(lines))
        )
        start = time.perf_counter()
        table = read_toml(text, "p").table(Faults())
        assert len(table.block("o")) == lines
        assert table.key_place(f"k{lines - 1}").line == 2 * lines + 2
        return time.perf_counter() - start

    seconds(100)
    assert min(seconds(8000) for _ in range(3)) < 12 * min(seconds(2000) for _ in range(3))


@pytest.mark.parametrize(
    "line", [" " * 200_000 + "x", "a " * 100_000, "a = " + " " * 200_000 + "b c", "a = 1" + "\r" * 9]
)
def test_long_bad_lines_are_told_at_once(line: str) -> None:
    """A bad line of any length is a fault within a second."""
    start = time.perf_counter()
    assert faults_of(line)
    assert time.perf_counter() - start < 1
