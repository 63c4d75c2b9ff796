"""A whole plan read: the example of the design, what stands where nothing is typed, files beside the plan."""

from __future__ import annotations

from pathlib import Path

import pytest

import floorplan
from floorplan.errors import PlanError
from floorplan.plan.keys import Holds, Key, Keys
from floorplan.plan.model import Grinder, OutlineShape, Plan, SheetInfo
from floorplan.plan.reader import KEYS, load_plan, read_plan
from floorplan.units.length import Length, UnitStyle

FOOT_M = 0.3048
INCH_M = 0.0254

PATIO = """
title = "Rear patio"
site  = "Lot 7, Quarry Row"
units = "ft-in"     # ft-in | ft | in | m | cm | mm

[grinder]
head = "20 in"
gap = "1 1/2 in"

[sheet]
paper = "letter"
north = "30 deg"
house = "A-B"
revision = 2
date = 2027-05-04
address = ["3 Quarry Row", "Ostervale"]

[rules]
ignore_below = "2 sq ft"

[[slab]]
name   = "Patio"
system = "outdoor-full-flake"
surface = "broom"
outline = '''
# corner  x, y            what stands along the side from here to the next corner
A   0, 0                | wall
B   26', 0              | siding
C   26', 14' 3"         | open, arc rise 2' out
D   8' 6", 22'          | open
E   0, 22'              | slab
'''
"""
SMALL = "[[slab]]\noutline = '''\n0, 0\n9, 0\n9, 9\n'''\n"


def small(more: str = "", top: str = "") -> Plan:
    """A plan of one triangle."""
    return read_plan(f"{top}\n{SMALL}{more}")


def test_plan_of_the_design() -> None:
    """Every table of the example comes out as typed, in metres."""
    plan = read_plan(PATIO, "rear-patio.toml")
    assert (plan.title, plan.site, plan.units) == ("Rear patio", "Lot 7, Quarry Row", UnitStyle.FT_IN)
    assert plan.grinder.head.m == pytest.approx(20 * INCH_M)
    assert plan.grinder.gap.text == "1 1/2 in"
    assert plan.ignore_below_m2 == pytest.approx(2 * 0.09290304)
    (slab,) = plan.slabs
    assert (slab.name, slab.system.name, slab.surface) == ("Patio", "outdoor-full-flake", "broom")
    assert isinstance(slab.shape, OutlineShape)
    assert [corner.label for corner in slab.shape.corners] == list("ABCDE")
    assert plan.notices == ()
    assert plan.path == "rear-patio.toml"


def test_sheet_of_the_design() -> None:
    """Numbers and dates are taken as typed; north is kept counter-clockwise from the sheet's right."""
    assert read_plan(PATIO).sheet == SheetInfo(
        paper="letter",
        north_deg=60.0,
        house="A-B",
        revision="2",
        date="2027-05-04",
        address=("3 Quarry Row", "Ostervale"),
    )


@pytest.mark.parametrize(
    ("typed", "degrees"), [("up", 90), ("Left", 180), ("down", 270), ("right", 0), ("0", 90), ("-90", 180)]
)
def test_north(typed: str, degrees: float) -> None:
    """Words for the edges of the sheet, or degrees clockwise from straight up as on a compass."""
    assert small(f'[sheet]\nnorth = "{typed}"\n').sheet.north_deg == degrees


def test_left_out() -> None:
    """A plan of one outline has a name, the usual grinder, rule, units and system, and says which system."""
    plan = read_plan(SMALL, "back-porch.toml")
    assert (plan.title, plan.site, plan.units, plan.steps) == ("back-porch", "", UnitStyle.FT_IN, ())
    # The usual grinder: common practice, no source.
    inches = {"head": 18, "overall": 22, "gap": 2, "overhang": 2, "band": 6}
    assert plan.grinder == Grinder(**{name: Length(pytest.approx(n * INCH_M)) for name, n in inches.items()})
    assert plan.ignore_below_m2 == pytest.approx(0.09290304)
    assert (plan.slabs[0].name, plan.slabs[0].system.name) == ("Slab 1", "outdoor-full-flake")
    (notice,) = plan.notices
    assert (notice.code, notice.where) == ("system-missing", "Slab 1")
    assert notice.text == "no coating system is stated: outdoor-full-flake is taken"


def test_overall_width_follows_the_head() -> None:
    """A head alone keeps the usual 4 in between the cut and the widest part."""
    grinder = small('[grinder]\nhead = "30 in"\n').grinder
    assert grinder.overall.m == pytest.approx(34 * INCH_M)


def test_system_of_the_plan() -> None:
    """A system at the top serves slabs that name none."""
    plan = small(SMALL + 'system = "clear-seal"\n', top='system = "garage-full-flake"')
    assert [slab.system.name for slab in plan.slabs] == ["garage-full-flake", "clear-seal"]
    assert plan.notices == ()


@pytest.mark.parametrize(
    ("units", "metres"),
    [("ft-in", 9 * FOOT_M), ("ft", 9 * FOOT_M), ("in", 9 * INCH_M), ("m", 9), ("cm", 0.09), ("mm", 0.009)],
)
def test_bare_numbers_are_in_units(units: str, metres: float) -> None:
    """In text, and as TOML numbers."""
    plan = small(
        "[grinder]\nband = 9\n[[steps]]\nwidth = 9\ntreads = 1\ntread = '9'\nriser = 9.0\n",
        f'units = "{units}"',
    )
    shape = plan.slabs[0].shape
    assert isinstance(shape, OutlineShape)
    found = [
        shape.corners[1].at.x,
        plan.grinder.band,
        plan.steps[0].width,
        plan.steps[0].tread,
        plan.steps[0].riser,
    ]
    assert [length.m for length in found] == pytest.approx([metres] * 5)


def test_slabs_of_one_name_are_told() -> None:
    """Lists and drawings tell slabs apart by name."""
    plan = small(SMALL + "name = 'Slab 1'\n", top="system = 'clear-seal'")
    (notice,) = plan.notices
    assert (notice.code, notice.where) == ("slab-name-repeated", "Slab 1")
    assert notice.text == "2 slabs are called Slab 1: give each its own name"


def test_standard_input_has_no_path_and_no_title() -> None:
    """A plan read from a pipe takes no name from it."""
    plan = read_plan(SMALL)
    assert (plan.path, plan.title) == ("", "")


def test_decimals_that_may_be_inches() -> None:
    """Four different decimals, all from .1 to .11, are read as tenths and asked about."""
    text = "[[slab]]\nsystem = 'clear-seal'\noutline = '''\n0, 0\n12.6, 0.3\n12.6, 8.9\n3.5, 9.2\n'''\n"
    (notice,) = read_plan(text).notices
    assert notice.code == "decimals-doubtful"
    assert notice.text == (
        "every decimal here could be feet and inches: 12.6 is read as 12'-7 1/4\", not 12'-6\"; "
        "write 12.6' or 12'-6\" to settle it"
    )
    for settled in (
        text.replace("9.2", "9.25"),
        text.replace("9.2", "9").replace("8.9", "9"),
        "units = 'ft'\n" + text,
    ):
        assert read_plan(settled).notices == ()


def test_halves_alone_say_nothing() -> None:
    """A sheet of whole and half feet is not asked about."""
    text = "[[slab]]\nsystem = 'clear-seal'\noutline = '''\n0.5, 1.5\n12.5, 2.5\n12.5, 8.5\n3.5, 9.5\n'''\n"
    assert read_plan(text).notices == ()


# Files beside the plan

OURS = """
title = "Ours"
grade = "broom"
[[layer]]
name = "seal"
kind = "coat"
"""


def test_load_plan_names_the_file(tmp_path: Path) -> None:
    """Faults and the plan carry the path as given."""
    path = tmp_path / "patio.toml"
    path.write_text(SMALL)
    assert load_plan(str(path)).path == str(path)
    path.write_text("[[slab]]\n")
    with pytest.raises(PlanError) as caught:
        load_plan(path)
    assert {fault.place.file for fault in caught.value.faults if fault.place} == {str(path)}


def test_load_plan_missing(tmp_path: Path) -> None:
    """A file that is not there is a fault of the plan."""
    with pytest.raises(PlanError) as caught:
        load_plan(tmp_path / "patio.toml")
    assert caught.value.faults[0].code == "file-missing"


def test_system_file_with_faults_speaks_for_itself(tmp_path: Path) -> None:
    """Faults of a system file name that file, and come with those of the plan."""
    (tmp_path / "ours.toml").write_text("titel = 'x'\n")
    (tmp_path / "patio.toml").write_text(SMALL + "system = 'ours.toml'\nsurfac = 'broom'\n")
    with pytest.raises(PlanError) as caught:
        load_plan(tmp_path / "patio.toml")
    files = {Path(fault.place.file).name for fault in caught.value.faults if fault.place}
    assert files == {"ours.toml", "patio.toml"}


def test_link_out_of_the_folder_is_refused(tmp_path: Path) -> None:
    """A link beside the plan that leads elsewhere is not followed."""
    inside = tmp_path / "job"
    inside.mkdir()
    (tmp_path / "secret.toml").write_text("title = 'x'\n")
    (inside / "ours.toml").symlink_to(tmp_path / "secret.toml")
    (inside / "patio.toml").write_text(SMALL + "system = 'ours.toml'\n")
    with pytest.raises(PlanError) as caught:
        load_plan(inside / "patio.toml")
    (fault,) = caught.value.faults
    assert (fault.code, fault.text) == (
        "path-leaves-folder",
        "system: ours.toml cannot be taken: a link leads out of the folder of the plan",
    )


def test_logo_stays_beside_the_plan(tmp_path: Path) -> None:
    """A logo is read from its path beside the plan, and from no other; a missing one is a fault."""
    (tmp_path / "art").mkdir()
    (tmp_path / "art" / "logo.svg").write_bytes(b"<svg/>")
    sheet = read_plan(SMALL + '[sheet]\nlogo = "art/logo.svg"\n', "p", tmp_path).sheet
    assert (sheet.logo, sheet.logo_data) == ("art/logo.svg", b"<svg/>")
    with pytest.raises(PlanError, match="no such file"):
        read_plan(SMALL + '[sheet]\nlogo = "art/other.svg"\n', "p", tmp_path)
    with pytest.raises(PlanError, match="it climbs out of the folder"):
        read_plan(SMALL + '[sheet]\nlogo = "../logo.svg"\n', "p", tmp_path)


# What the firm usually has

FIRM = {
    "grinder": {"head": "25 in", "overall": "30 in", "gap": "3 in"},
    "rules": {"ignore_below": "4 sq ft"},
    "sheet": {"firm": "Quarry Row Floors", "address": ["3 Quarry Row"]},
}


def test_usual_values_stand_where_the_plan_says_nothing() -> None:
    """Tables and keys that the plan leaves out are the firm's; what it says goes first."""
    plan = read_plan(SMALL + '[grinder]\ngap = "1 in"\n[sheet]\nrevision = "B"\n', usual=FIRM)
    inches = [plan.grinder.head, plan.grinder.overall, plan.grinder.gap, plan.grinder.band]
    assert [length.m / INCH_M for length in inches] == pytest.approx([25, 30, 1, 6])
    assert plan.ignore_below_m2 == pytest.approx(4 * 0.09290304)
    assert (plan.sheet.firm, plan.sheet.address) == ("Quarry Row Floors", ("3 Quarry Row",))
    assert plan.sheet.revision == "B"


def test_usual_overall_width_belongs_to_the_usual_head() -> None:
    """A plan with another head does not take the width of the firm's machine."""
    plan = read_plan(SMALL + '[grinder]\nhead = "36 in"\n', usual=FIRM)
    assert plan.grinder.overall.m == pytest.approx(40 * INCH_M)
    assert plan.grinder.gap.m == pytest.approx(3 * INCH_M)


@pytest.mark.parametrize(
    ("own", "lines"),
    [
        ("", ("9 Quarry Row",)),
        ('firm = "Usual"', ("9 Quarry Row",)),
        ('firm = "Other"', ()),
        ('firm = "Other"\naddress = ["1 Mill Lane"]', ("1 Mill Lane",)),
    ],
)
def test_usual_address_belongs_to_the_usual_firm(own: str, lines: tuple[str, ...]) -> None:
    """A plan that names another firm is not drawn with the address of the usual one."""
    usual = {"sheet": {"firm": "Usual", "address": ["9 Quarry Row"]}}
    assert read_plan(f"{SMALL}[sheet]\n{own}\n", usual=usual).sheet.address == lines


def test_usual_values_do_not_hide_faults() -> None:
    """A table of the wrong kind is still told."""
    with pytest.raises(PlanError, match="grinder is a number; a table is wanted"):
        read_plan("grinder = 3\n" + SMALL, usual=FIRM)


def test_system_from_the_users_folder(tmp_path: Path) -> None:
    """A name that is not shipped is looked for in the folders given."""
    shipped = Path(__file__).parents[2] / "floorplan" / "system" / "data" / "clear-seal.toml"
    (tmp_path / "ours.toml").write_text('name = "ours"\n' + shipped.read_text())
    plan = read_plan(SMALL + 'system = "ours"\n', folders=[tmp_path])
    assert plan.slabs[0].system.name == "ours"


# The declaration


def leaves(keys: Keys, path: tuple[str, ...] = ()) -> list[tuple[tuple[str, ...], Key]]:
    """Every key that holds a value, with the tables above it."""
    found = []
    for key in keys.keys:
        if key.keys is None:
            found.append((path, key))
        else:
            found += leaves(key.keys, (*path, key.name))
    return found


LEAVES = leaves(KEYS)


@pytest.mark.parametrize(("path", "key"), LEAVES, ids=[".".join((*path, key.name)) for path, key in LEAVES])
def test_every_declared_key_is_read(path: tuple[str, ...], key: Key) -> None:
    """A value of the wrong kind is complained about at its key, so nothing is declared and then ignored."""
    wrong = "true" if key.holds is not Holds.FLAG else '"yes"'
    text, header = "", ""
    if path and path[0] == "slab":
        text = (
            "[[slab]]\n"
            if len(path) == 1
            else SMALL
            if path[1] in ("cutout", "joint", "face")
            else "[[slab]]\n"
        )
    if path:
        many = path[-1] in ("slab", "steps", "cutout", "joint", "face")
        name = ".".join((*path, "x") if path == ("edge_kind",) else path)
        header = "" if path == ("slab",) else f"[[{name}]]\n" if many else f"[{name}]\n"
    text += f"{header}{key.name} = {wrong}\n"
    with pytest.raises(PlanError) as caught:
        read_plan(text)
    line = text.count("\n")
    assert any(f.place and f.place.line == line and key.name in f.text for f in caught.value.faults)


def test_undeclared_key_is_the_authors_mistake() -> None:
    """A reader that asks for a key which was not declared fails at once."""
    with pytest.raises(KeyError):
        KEYS.key("colour")


def test_arc_before_the_kind_reads_the_same() -> None:
    """Kind and arc in either order."""
    rows = "A 0, 0 | {}\nB 10, 0\nC 10, 10\n"
    found = [
        floorplan.read(f"[[slab]]\noutline = '''\n{rows.format(side)}'''\n").slabs[0].shape
        for side in ("open, arc rise 2' out", "arc rise 2' out, open")
    ]
    assert found[0] == found[1]
