"""Joints, cut-outs, faces and steps as typed, with what stands where a key is left out."""

from __future__ import annotations

import pytest

from floorplan.plan.model import (
    Cutout,
    Face,
    Joint,
    JointAlong,
    JointGrid,
    JointKind,
    JointLines,
    OutlineShape,
    Plan,
    Point,
    Rectangle,
    Round,
    Treatment,
)
from floorplan.plan.reader import read_plan
from floorplan.units.length import Length

FOOT_M = 0.3048
OUTDOORS, INDOORS = "outdoor-full-flake", "garage-full-flake"


def plan(more: str, system: str = OUTDOORS) -> Plan:
    """A square slab A B C D of 10 ft with more tables below it."""
    outline = "A 0, 0 | wall\nB 10, 0\nC 10, 10\nD 0, 10"
    return read_plan(f'[[slab]]\nsystem = "{system}"\noutline = """\n{outline}\n"""\n{more}')


def joint(more: str, system: str = OUTDOORS) -> Joint:
    """The one joint of a plan."""
    (found,) = plan(f"[[slab.joint]]\n{more}", system).slabs[0].joints
    return found


def cutouts(*tables: str) -> tuple[Cutout, ...]:
    """The cut-outs of a plan."""
    return plan("".join(f"[[slab.cutout]]\n{table}\n" for table in tables)).slabs[0].cutouts


# Common practice, no source: the default treatment of each kind.
@pytest.mark.parametrize(
    ("kind", "outdoors", "indoors"),
    [
        ("groove", "brush out", "brush out"),
        ("saw cut", "leave", "fill"),
        ("construction", "leave", "fill"),
        ("isolation", "seal", "seal"),
        ("crack", "fill", "fill"),
    ],
)
def test_usual_treatment(kind: str, outdoors: str, indoors: str) -> None:
    """A joint without a treatment gets the usual one of its kind, under the sky or under a roof."""
    text = f'kind = "{kind}"\nlines = "0, 5 -> 10, 5"\n'
    assert joint(text, OUTDOORS).treatment is Treatment(outdoors)
    assert joint(text, INDOORS).treatment is Treatment(indoors)


@pytest.mark.parametrize("kind", list(JointKind))
@pytest.mark.parametrize("treatment", list(Treatment))
def test_isolation_joint_is_never_filled_or_bridged(kind: JointKind, treatment: Treatment) -> None:
    """Only these two are refused; every other pair is read, with a warning where it is doubtful."""
    text = f'[[slab.joint]]\nkind = "{kind}"\ntreatment = "{treatment}"\nlines = "0, 5 -> 10, 5"\n'
    refused = kind is JointKind.ISOLATION and treatment in (Treatment.FILL, Treatment.BRIDGE)
    if refused:
        with pytest.raises(Exception, match="always moves"):
            plan(text)
    else:
        assert plan(text).slabs[0].joints[0].treatment is treatment


@pytest.mark.parametrize(
    ("kind", "treatment", "said"),
    [
        ("saw cut", "bridge", "a bridged saw cut moves with the seasons and will show a line"),
        ("groove", "bridge", "a bridged groove shows as a line and may crack"),
        ("construction", "bridge", "a bridged construction joint may move and show a line"),
        ("isolation", "brush out", "never coat across an isolation joint: mask it, then seal it"),
        ("crack", "brush out", "a crack is chased and filled, not brushed out"),
    ],
)
def test_doubtful_treatment_is_a_warning(kind: str, treatment: str, said: str) -> None:
    """The plan is read, and the user is told."""
    text = f'[[slab.joint]]\nkind = "{kind}"\ntreatment = "{treatment}"\nlines = "0, 5 -> 10, 5"\n'
    (notice,) = plan(text).notices
    assert (notice.code, notice.text, notice.where) == ("joint-treatment-doubtful", said, "Slab 1")


@pytest.mark.parametrize(("width", "warned"), [("1/4 in", False), ("5/16 in", True)])
def test_wide_crack_is_a_warning(width: str, warned: bool) -> None:
    """Above a quarter inch a crack is somebody else's question first."""
    text = f'[[slab.joint]]\nkind = "crack"\nwidth = "{width}"\nlines = "0, 5 -> 10, 5"\n'
    notices = plan(text).notices
    assert [notice.code for notice in notices] == (["crack-wide"] if warned else [])
    assert all(
        notice.text == "a crack 5/16 in wide is a structural or drainage question first: stop and ask"
        for notice in notices
    )


def test_joint_lines_of_points_and_letters() -> None:
    """A line has two or more points; a letter stands for its corner; any arrow will do."""
    form = joint('kind = "groove"\nlines = """\n0, 5 -> 5\', 5 → 10, 60"\nA -> C\n"""\n').form
    assert isinstance(form, JointLines)
    assert [len(line) for line in form.lines] == [3, 2]
    assert form.lines[1] == ("A", "C")


@pytest.mark.parametrize(
    ("spacing", "across", "up"),
    [
        ("8' x 7'", 8, 7),
        ("8 × 7", 8, 7),
        ("8' by 7'", 8, 7),
        ("8'", 8, 8),
        ("none x 7'", None, 7),
        ("8'x-", 8, None),
    ],
)
def test_joint_grid(spacing: str, across: float | None, up: float | None) -> None:
    """Two spacings, one for both, or none for one set of lines."""
    form = joint(f'kind = "groove"\nspacing = "{spacing}"\nturn = "30 deg"\n').form
    assert isinstance(form, JointGrid)
    for length, feet in ((form.spacing_x, across), (form.spacing_y, up)):
        assert length == (None if feet is None else Length(pytest.approx(feet * FOOT_M)))
    assert (form.origin, form.turn_deg) == ("A", 30.0)


def test_joint_along_sides() -> None:
    """Sides may be named either way and come back in the order of the outline."""
    assert joint('kind = "isolation"\nalong = ["B-A", "C–D"]\n').form == JointAlong(
        sides=(("A", "B"), ("C", "D"))
    )


def test_joint_names() -> None:
    """A joint without a name takes its kind, numbered from the second on."""
    text = '[[slab.joint]]\nkind = "crack"\nlines = "0, 5 -> 10, 5"\n'
    named = text + 'name = "long one"\n'
    assert [row.name for row in plan(text + named + text).slabs[0].joints] == ["crack", "long one", "crack 2"]


def test_cutout_forms() -> None:
    """A rectangle, a circle, or corners, each at one place or more."""
    pad, column, pool = cutouts(
        'name = "pad"\nkind = "low wall"\nat = "8, 8"\nsize = "3\' x 2\'"\nturn = 45\nface = "4 in"',
        'kind = "post"\nat = ["1, 1", "C"]\nround = \'12"\'',
        'name = "pool"\nkind = "coping"\noutline = """\n4, 4\n6, 4 | coping\n6, 6 | arc rise 1 m out\n"""',
    )
    assert pad.form == Rectangle(
        width=Length(pytest.approx(3 * FOOT_M)), depth=Length(pytest.approx(2 * FOOT_M))
    )
    assert (pad.turn_deg, pad.face) == (45.0, Length(pytest.approx(FOOT_M / 3)))
    assert column.form == Round(diameter=Length(pytest.approx(FOOT_M)))
    assert isinstance(column.at[0], Point)
    assert column.at[1] == "C"
    assert isinstance(pool.form, OutlineShape)
    assert [side.kind for side in pool.form.sides] == ["coping"] * 3
    assert pool.at == ()


def test_cutout_places_as_lines() -> None:
    """Places may stand in a block, so that inch marks need no escape."""
    (post,) = cutouts('kind = "post"\nat = """\n6\' 6", 2   # by the door\n8\' 6", 2\n"""\nround = "4 in"')
    assert len(post.at) == 2


def test_cutout_names() -> None:
    """A cut-out without a name takes its kind, and later ones count on past its copies."""
    post, other = 'kind = "post"\nat = ["1, 1", "2, 2"]\nround = "4 in"', 'at = "5, 5"\nround = "1 ft"'
    assert [row.name for row in cutouts(post, post, other, other)] == [
        "post",
        "post 3",
        "cut-out",
        "cut-out 2",
    ]


def test_faces_of_a_side_and_of_a_cutout() -> None:
    """A face names a side, or a cut-out under either key."""
    pad = '[[slab.cutout]]\nname = "pad"\nkind = "low wall"\nat = "5, 5"\nsize = "1 x 1"\n'
    faces = (
        plan(
            pad
            + "".join(
                f'[[slab.face]]\n{what}\nheight = "4 in"\n'
                for what in ('side = "B-A"', 'side = "pad"', 'cutout = "pad"')
            )
        )
        .slabs[0]
        .faces
    )
    height = Length(pytest.approx(FOOT_M / 3))
    assert faces == tuple(Face(side=side, height=height) for side in (("A", "B"), "pad", "pad"))


def test_steps_with_and_without_defaults() -> None:
    """As many risers as treads, and no open side, unless it is said."""
    text = "[[steps]]\nwidth = 5\ntreads = 3\ntread = '11 in'\nriser = '7 in'\n"
    first, second = plan(text + text + "risers = 4\nopen_sides = 2\nname = 'Back'\n").steps
    assert (first.name, first.treads, first.risers, first.open_sides) == ("Steps", 3, 3, 0)
    assert (second.name, second.risers, second.open_sides) == ("Back", 4, 2)
    assert first.width.m == pytest.approx(5 * FOOT_M)


def test_steps_of_a_slab() -> None:
    """A flight is coated with the slab that it names, in any case of letters, else with the first."""
    text = "[[steps]]\nwidth = 5\ntreads = 3\ntread = '11 in'\nriser = '7 in'\n"
    porch = '[[slab]]\nname = "Porch"\noutline = """\n0, 0\n5, 0\n5, 5\n"""\n'
    first, second = plan(porch + text + text + "slab = 'porch'\n").steps
    assert (first.slab, second.slab) == (0, 1)


def test_steps_at_a_side() -> None:
    """The side by its corners, given back in the order around the slab that the flight is coated with."""
    text = "[[steps]]\nwidth = 5\ntreads = 3\ntread = '11 in'\nriser = '7 in'\n"
    first, second = plan(text + text + "side = 'C-B'\n").steps
    assert (first.side, second.side) == (None, ("B", "C"))


def test_entry_and_exits() -> None:
    """A side, a corner or a point."""
    slab = plan('entry = "C-B"\nexits = ["D", "5, 0", "A-B"]\nnotes = ["hose at D"]\n').slabs[0]
    assert slab.entry == ("B", "C")
    assert slab.exits[0] == "D"
    assert isinstance(slab.exits[1], Point)
    assert slab.exits[2] == ("A", "B")
    assert slab.notes == ("hose at D",)
