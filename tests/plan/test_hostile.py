"""Nothing that is typed ends in anything but a plan or its faults, and in bounded time."""

from __future__ import annotations

import random
import time
import tracemalloc

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from floorplan.errors import PlanError
from floorplan.plan.reader import read_plan
from floorplan.plan.starters import SHAPES, starter

TEXTS = [starter(shape) for shape in SHAPES]
PIECES = (
    *"\"'[]{}=|,#?±½\\A\n\t\0\u202e",
    *("nan", "inf", "-inf", "1e999", "9" * 400, '"""', "'''", "->", "\x1b[2J", "''", "- ", "true", " x "),
    *("arc rise ", " in", "azimuth ", "turn left ", "[[slab]]\n", "[slab.tape]\n", "[edge_kind.wall]\n"),
    *("1979-05-27", "\\u0000"),
)


def outcome(text: str) -> str:
    """`plan` or `faults`; anything else is raised."""
    try:
        read_plan(text, "x.toml")
    except PlanError as problem:
        assert problem.faults
        assert all(fault.code and fault.text for fault in problem.faults)
        assert "Traceback" not in str(problem)
        return "faults"
    return "plan"


def mutated(text: str, chance: random.Random) -> str:
    """The text with one to five pieces put in, cut out, doubled or swapped."""
    for _ in range(chance.randint(1, 5)):
        i, j = sorted((chance.randrange(len(text) + 1), chance.randrange(len(text) + 1)))
        j = min(j, i + chance.choice((1, 3, 30)))
        match chance.randrange(4):
            case 0:
                text = text[:i] + chance.choice(PIECES) + text[i:]
            case 1:
                text = text[:i] + text[j:]
            case 2:
                text = text[:i] + text[i:j] * 2 + text[j:]
            case _:
                text = text[:i] + chance.choice(PIECES) + text[j:]
    return text


@pytest.mark.parametrize("seed", range(400))
def test_mutated_plan(seed: int) -> None:
    """A plan with slips of every sort is read, or its faults are named."""
    chance = random.Random(seed)
    assert outcome(mutated(chance.choice(TEXTS), chance)) in ("plan", "faults")


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(100))
def test_mutated_plan_long_run(seed: int) -> None:
    """The same for many more, two hundred a seed."""
    chance = random.Random(f"long {seed}")
    for _ in range(200):
        outcome(mutated(chance.choice(TEXTS), chance))


@settings(max_examples=150, deadline=None)
@given(
    st.text(max_size=60),
    st.sampled_from(["outline", "walk", "entry", "surface", "system", "accuracy", "name"]),
)
def test_any_text_as_a_value(text: str, key: str) -> None:
    """Whatever stands in a value of a slab."""
    clean = text.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n").replace("\r", "\\r")
    outcome(f'[[slab]]\noutline = "0, 0"\n{key} = "{clean}"\n')
    outcome(f'[[slab]]\n{key} = """\nA 0, 0\n{clean}\n"""\n')


@settings(max_examples=150, deadline=None)
@given(st.text(alphabet="ABN 0123456789.'\"°-,|?turnleftinsidazmhEWS±xby\n", max_size=80))
def test_any_lines(lines: str) -> None:
    """Whatever stands in the lines of a block."""
    for key in ("outline", "walk"):
        outcome(f"[[slab]]\n{key} = '''\n{lines}\n'''\n")
    head = "[[slab]]\n[slab.tape]\ncorners = 'A B N'\nturning = 'clockwise'\n"
    outcome(f"{head}points = 'P'\nlengths = '''\n{lines}\n'''\non_side = '''\n{lines}\n'''\n")
    outcome(f"[[slab]]\n[slab.offsets]\nbaseline = 9\nstations = '''\n{lines}\n'''\n")
    square = "[[slab]]\noutline = '''\n0, 0\n9, 0\n9, 9\n'''\n"
    outcome(f"{square}[[slab.joint]]\nkind = 'crack'\nlines = '''\n{lines}\n'''\n")
    outcome(f"{square}[[slab.cutout]]\nsize = '''{lines}'''\nat = '''\n{lines}\n'''\n")


@pytest.mark.parametrize(
    "text",
    [
        "a = " + "[" * 100_000,
        "a = " + "{a = " * 100_000,
        "[" + "a." * 50_000 + "a]\n",
        "slab = 3\n",
        "slab = [[1]]\n",
        "slab = [1, {}]\n",
        "[[slab]]\ncutout = 1\n",
        "[[slab]]\n[slab.outline]\n",
        "[slab]\noutline = ''\n",
        "edge_kind = 'x'\n",
        "[edge_kind]\nwall = 3\n",
        "[edge_kind.'']\n",
        "[[edge_kind]]\n",
        "title = [1, 2]\n",
        "units = true\n",
        "[sheet]\naddress = [[1], {a = 1}]\n",
        "[[slab]]\n[slab.dxf]\nedges = 3\n",
        "[[slab]]\n[slab.dxf]\nedges = {a = 1, b = []}\n",
        "[[steps]]\nwidth = nan\ntreads = 1e300\ntread = inf\nriser = -inf\n",
        "[grinder]\nhead = 1e308\ngap = -0.0\n",
    ],
)
def test_wrong_kinds_of_values(text: str) -> None:
    """Nesting, wrong types, and numbers that are none."""
    assert outcome(text) == "faults"


def many(line: str, number: int) -> str:
    """A plan with an outline of many lines."""
    lines = "\n".join(line.format(i) for i in range(number))
    return f"[[slab]]\nsystem = 'clear-seal'\noutline = '''\n{lines}\n'''\n"


def test_faults_end_at_a_hundred() -> None:
    """A file of nothing but faults is given up on, in words."""
    with pytest.raises(PlanError) as caught:
        read_plan(many("A {} nonsense", 20_000), "x.toml")
    *first, last = caught.value.faults
    assert len(first) == 100
    assert last.code == "faults-many"
    assert last.text == "100 faults were found; what comes after them was not looked at"


@pytest.mark.parametrize(
    "text",
    [
        many("A 0" + " " * 1900 + "0, 1", 50),
        many("0, 1 |" + " " * 1900 + "arc rise", 50),
        many("0, 0 | open, arc rise " + " " * 1900 + "2' in x", 50),
        many("x" * 5_000, 50),
        "[[slab]]\noutline = '0,0'\n[[slab.cutout]]\nat = '0, 0'\nsize = '1" + " " * 9_000 + "2'\n",
        "[[slab]]\n[slab.offsets]\nbaseline = 9\nstations = '''\n" + ("1 " * 900 + "\n") * 50 + "'''\n",
        "[[slab]]\nwalk = '''\n" + ("A N 3" + " " * 1900 + "x\n") * 50 + "'''\n",
    ],
)
def test_long_lines_are_refused_quickly(text: str) -> None:
    """No pattern of spaces makes the reader slow."""
    start = time.perf_counter()
    assert outcome(text) == "faults"
    assert time.perf_counter() - start < 5.0


def test_control_characters_stay_out_of_messages() -> None:
    """What steers a terminal is not sent to one."""
    text = 'title = "\\u001b[2J"\n[[slab]]\nsystem = "\\u001b[31m"\noutline = "\\u001b[1m, 0"\n'
    with pytest.raises(PlanError) as caught:
        read_plan(text, "x.toml")
    assert "\x1b" not in str(caught.value)


def big_plan() -> str:
    """Ten thousand corners and 500 joints."""
    lines = "\n".join(f"0, {i}' {i % 12}\" -> 100', {i}'" for i in range(500))
    return (
        many("{0}' 3 1/2\", {0}' 6\"  | wall", 10_000)
        + f"[[slab.joint]]\nkind = 'crack'\nlines = '''\n{lines}\n'''"
    )


def test_ten_thousand_corners_and_500_joints() -> None:
    """They are read in half a second on an idle machine; the test allows for a busy one."""
    text = big_plan()
    read_plan(text)
    start = time.perf_counter()
    plan = read_plan(text)
    assert time.perf_counter() - start < 2.0
    assert len(plan.slabs[0].joints[0].form.lines) == 500  # type: ignore[union-attr]


@pytest.mark.slow
def test_memory_of_ten_thousand_corners() -> None:
    """A corner takes a few kilobytes at most."""
    text = big_plan()
    read_plan(text)
    tracemalloc.start()
    read_plan(text)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert peak < 40_000_000


@pytest.mark.slow
def test_growth_to_a_million_corners() -> None:
    """Ten times the corners take about ten times as long."""
    seconds = []
    for number in (100_000, 1_000_000):
        text = many("{0}, {0}.5 | wall", number)
        start = time.perf_counter()
        read_plan(text)
        seconds.append(time.perf_counter() - start)
    assert seconds[1] < 16 * seconds[0]
