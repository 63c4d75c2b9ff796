"""What is wrong with a text that is no TOML, in words, with the cure for the mistakes people make.

The commonest by far are inch and foot marks: `size = "10" x 10""` ends its text at the second mark, and
`width = 26'` lacks marks around it.
"""

from __future__ import annotations

import re
from typing import Final

from ..errors import Fault, Place
from ..patterns import pattern
from ..values import dataclass
from .places import Source

_AT = pattern(r" \(at (?:line ([0-9]+), column ([0-9]+)|end of document)\)$")
_KEY = pattern(r"""[A-Za-z0-9_."' -]+""")
_HEADER = pattern(r"^\s*\[")
_BLOCK_OPENS = pattern(r'^\s*(?P<key>[\w."-]+)\s*=\s*(?P<quotes>"""|\'\'\')')
_DATE = pattern(r"^[0-9]{4}-[0-9]{2}-[0-9]{2}")
_LONG_NUMBER = pattern(r"[0-9_]{4000,}")
_PLAIN_VALUE = pattern(r"^(?:true|false|[-+]?[0-9][0-9_.eE+-]*|[-+]?(?:inf|nan))$")

# What tomllib says, and what we say of it when nothing better is known.
_WORDS: Final = (
    ("Unclosed array", "toml-unclosed", "a list [ is not closed", "close it with ]"),
    ("Unclosed inline table", "toml-unclosed", "a table { is not closed", "close it with } on the same line"),
    ("Unescaped '\\'", "toml-backslash", "a backslash in double marks", "use / or single marks: '…'"),
    ("Invalid hex value", "toml-backslash", "a backslash in double marks", "use / or single marks: '…'"),
    ("Escaped character", "toml-backslash", "a backslash in double marks", "use / or single marks: '…'"),
    (
        "Illegal character",
        "toml-character",
        "a character that may not stand here",
        "delete it and type it anew",
    ),
    ("Found invalid character", "toml-character", "a character that may not stand here", "delete it"),
    (
        "Expected ']",
        "toml-header",
        "the head of a table is not closed",
        "write it like [grinder] or [[slab]]",
    ),
    ("Invalid date", "toml-date", "no such date or time", 'write it in marks, like "2027-05-04"'),
    ("Expected newline", "toml-after-value", "something stands after the value", "one key = value a line"),
    ("Exceeds the limit", "toml-number", "a number too long to be read", "check the number"),
)


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why `tomllib` refused a text: its words and where; no line is the end of the text."""

    words: str
    line: int | None
    column: int | None

    @classmethod
    def of(cls, problem: ValueError) -> Refusal:
        """The refusal of an error that `tomllib` raised."""
        message = str(problem)
        match = _AT.search(message)
        if match is None:
            return cls(message, None, None)
        line, column = match[1], match[2]
        return cls(message[: match.start()], int(line) if line else None, int(column) if column else None)


@dataclass(frozen=True, slots=True)
class _Statement:
    """A line like `key = value`, cut by hand: a pattern with so many spaces is slow on long lines."""

    key: str
    value: str
    key_start: int
    value_start: int

    @classmethod
    def of(cls, line: str) -> _Statement | None:
        before, equals, after = line.partition("=")
        key = before.strip()
        if not equals or not _KEY.fullmatch(key):
            return None
        key_start = len(before) - len(before.lstrip())
        value_start = len(line) - len(after.lstrip())
        return cls(key, after.strip(), key_start, value_start)


def explain(source: Source, refusal: Refusal) -> tuple[Fault, bool]:
    """The fault in words, and whether it stays on its own line, so that those below can be read."""
    swallowed = _swallowed_block(source)
    if swallowed is not None:
        return swallowed, False
    lines = source.lines
    number = refusal.line or _line_that_runs_on(source) or len(lines)
    number = min(number, len(lines))
    column = refusal.column or 1
    if refusal.line is None or column == 1:
        # The end of a line without its end mark is told as the first column of the next.
        while number > 1 and not lines[number - 1].strip():
            number -= 1
    line = lines[number - 1]
    twice = _twice(source, refusal, number)
    if twice is not None:
        return twice, True
    return _of_line(source, refusal, number, line)


def _line_that_runs_on(source: Source) -> int | None:
    """Line of a mistake that is told without a line: a single mark that is not closed, a number too long."""
    for number, line in enumerate(source.lines, 1):
        statement = _Statement.of(line)
        value = statement.value if statement else ""
        if (value.startswith("'") and value.count("'") == 1) or _LONG_NUMBER.search(line):
            return number
    return None


def _of_line(source: Source, refusal: Refusal, number: int, line: str) -> tuple[Fault, bool]:
    statement = _Statement.of(line)
    if statement is not None:
        fault = _of_value(source, number, line, statement)
        if fault is not None:
            return fault, True
    elif not _HEADER.match(line) and "=" not in line and line.strip():
        return _no_equals(source, number, line), True
    for start, code, text, hint in _WORDS:
        if start.lower() in refusal.words.lower():
            alone = code not in ("toml-unclosed",)
            return _fault(source, code, text, number, _columns(line, refusal), hint), alone
    hint = "write it like key = value, with text in marks"
    return _fault(
        source, "toml-unreadable", "this line cannot be read", number, _columns(line, refusal), hint
    ), False


def _columns(line: str, refusal: Refusal) -> tuple[int, int]:
    start = (refusal.column or 1) - 1
    return (start, start + 1) if start < len(line) else (0, max(1, len(line)))


def _fault(source: Source, code: str, text: str, number: int, columns: tuple[int, int], hint: str) -> Fault:
    line = source.lines[number - 1]
    start, end = columns
    place = Place(file=source.file, line=number, column=start + 1, width=max(1, end - start), text=line)
    return Fault(code=code, text=text, place=place, hint=hint)


def _of_value(source: Source, number: int, line: str, statement: _Statement) -> Fault | None:
    """Faults of marks: text that ends too early, text without marks, text that does not end."""
    key, value = statement.key, statement.value
    columns = (statement.value_start, statement.value_start + len(value))
    if not value:
        at = (statement.key_start, statement.key_start + len(key))
        return _fault(source, "toml-no-value", f"{key} has no value", number, at, f'write {key} = "…"')
    bare = _without_comment(value)
    if bare.startswith('["') and bare.endswith('""]'):
        items = [_quote(item) for item in re.split(r'"\s*,\s*"', bare[2:-2])]
        text, hint = f"a text of {key} ends at its second mark", f"write {key} = [{', '.join(items)}]"
        return _fault(source, "toml-marks", text, number, columns, hint)
    if value.startswith(('"""', "'''", "[", "{")):
        return None
    if value[0] == '"' or (value[0] == "'" and value.count("'") > 1):
        inner = bare[1:-1] if len(bare) > 1 and bare.endswith(value[0]) else bare[1:]
        if value[0] not in bare[1:]:
            text, code = f"the text of {key} does not end", "toml-unclosed"
        elif value[0] in inner:
            text, code = f"the text of {key} ends at its second mark", "toml-marks"
        else:
            return None
        return _fault(source, code, text, number, columns, f"write {key} = {_quote(inner)}")
    if _PLAIN_VALUE.match(bare) or "=" in bare or _DATE.match(bare):
        return None
    hint = f"write {key} = {_quote(bare.strip(chr(39)) if value[0] == chr(39) else bare)}"
    return _fault(source, "toml-no-marks", f"the text of {key} has no marks around it", number, columns, hint)


def _without_comment(value: str) -> str:
    """The value without a comment after it, as far as can be told."""
    return re.split(r"\s#", value, maxsplit=1)[0].rstrip()


def _quote(text: str) -> str:
    """The text in marks that it does not hold itself."""
    if '"' not in text and "\\" not in text:
        return f'"{text}"'
    if "'" not in text:
        return f"'{text}'"
    return f"'''{text}'''"


def _no_equals(source: Source, number: int, line: str) -> Fault:
    start = len(line) - len(line.lstrip())
    columns = (start, len(line.rstrip()))
    if '"""' in line:
        return _fault(
            source,
            "toml-block",
            "three marks that open or close no block",
            number,
            columns,
            'a block is key = """ … """',
        )
    if "|" in line or "->" in line or "," in line:
        hint = 'a line of a block stands between key = """ and """'
        return _fault(source, "toml-outside-block", "this line stands in no block", number, columns, hint)
    first, _, rest = line.strip().partition(" ")
    value = rest.strip(" :").strip('"')
    hint = f"write {first.rstrip(':')} = {_quote(value)}" if value else 'write key = "value"'
    return _fault(source, "toml-no-equals", "this line has no = sign", number, columns, hint)


def _swallowed_block(source: Source) -> Fault | None:
    """A block that was not closed: the next one's opening marks closed it, or it runs to the end."""
    opened: tuple[int, re.Match[str]] | None = None
    for number, line in enumerate(source.lines, 1):
        if '"""' not in line and "'''" not in line:
            continue
        opening = _BLOCK_OPENS.match(line)
        if opened is None:
            if opening and line.count(opening["quotes"]) == 1:
                opened = (number, opening)
        elif opening and opening["quotes"] == opened[1]["quotes"]:
            return _block_open(source, *opened)
        elif opened[1]["quotes"] in line:
            opened = None
    return _block_open(source, *opened) if opened else None


def _block_open(source: Source, number: int, opening: re.Match[str]) -> Fault:
    quotes = opening["quotes"]
    columns = (opening.start("quotes"), opening.end("quotes"))
    text = f"the block {opening['key']} is not closed"
    return _fault(
        source, "toml-block-open", text, number, columns, f"close it with {quotes} on a line of its own"
    )


def _twice(source: Source, refusal: Refusal, number: int) -> Fault | None:
    """A key or a table that is given a second time."""
    words = refusal.words
    line = source.lines[number - 1]
    if not words.startswith(("Cannot overwrite", "Cannot declare", "Cannot mutate", "Duplicate", "Can't")):
        return None
    columns = (len(line) - len(line.lstrip()), len(line.rstrip()))
    if _HEADER.match(line):
        head = line.split("#")[0].strip()
        name = head.strip("[] ")
        hint = f"keep one {head}, or write [[{name}]] for each of several"
        return _fault(source, "toml-twice", f"{head} is given twice", number, columns, hint)
    key = line.split("=")[0].strip()
    first = _first_line_of(source, key, number)
    where = f" (first in line {first})" if first else ""
    columns = (columns[0], columns[0] + len(key))
    return _fault(source, "toml-twice", f"{key} is given twice{where}", number, columns, "keep one of them")


def _first_line_of(source: Source, key: str, before: int) -> int | None:
    """The line above, in the same table, that gives the key."""
    pattern = re.compile(rf"^\s*{re.escape(key)}\s*=")
    for number in range(before - 1, 0, -1):
        line = source.lines[number - 1]
        if pattern.match(line):
            return number
        if re.match(r"^\s*\[[^\]]*\]", line):
            return None
    return None
