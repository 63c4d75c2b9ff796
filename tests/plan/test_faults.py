"""Each wrong line of a plan is answered with its code, its place, what is wrong and what would be right.

In the plan texts the marks « » stand round the piece that the fault must point at; they are taken out
before the text is read.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from floorplan.errors import Fault, PlanError
from floorplan.plan.reader import read_plan

SOURCES = Path(__file__).parents[2] / "floorplan" / "plan"
SQUARE = 'outline = """\nA 0, 0 | wall\nB 10, 0 | wall\nC 10, 10 | wall\nD 0, 10 | wall\n"""\n'
SLAB = f'[[slab]]\nsystem = "clear-seal"\n{SQUARE}'


def outline(*lines: str) -> str:
    """A plan with one slab of these corner lines."""
    return '[[slab]]\nsystem = "clear-seal"\noutline = """\n' + "\n".join(lines) + '\n"""\n'


def walk(*lines: str) -> str:
    """A plan with one slab of these walked lines."""
    return outline(*lines).replace("outline", "walk")


def tape(*lines: str, corners: str = "A B C D", more: str = "") -> str:
    """A plan with one slab of these taped lines."""
    head = f'[[slab]]\nsystem = "clear-seal"\n[slab.tape]\ncorners = "{corners}"\nturning = "clockwise"\n'
    return head + f'{more}lengths = """\n' + "\n".join(lines) + '\n"""\n'


def offsets(*lines: str, more: str = "") -> str:
    """A plan with one slab of these stations on a baseline of 40 ft."""
    head = '[[slab]]\nsystem = "clear-seal"\n[slab.offsets]\nbaseline = "40\'"\n'
    return head + f'{more}stations = """\n' + "\n".join(lines) + '\n"""\n'


def cutout(*lines: str) -> str:
    """A square slab with one cut-out of these keys."""
    return SLAB + "[[slab.cutout]]\n" + "\n".join(lines) + "\n"


def joint(*lines: str) -> str:
    """A square slab with one joint of these keys."""
    return SLAB + "[[slab.joint]]\n" + "\n".join(lines) + "\n"


ONE = 'lines = """\n0, 5 -> 10, 5\n"""'

CASES = {
    # The outline
    "outline-too-short": (
        outline("A 0, 0 | wall", "B 10, 0 | wall").replace('"""\nA', '«"""»\nA'),
        "slab Slab 1: 2 corners cannot make a floor",
        "type three corners or more, one a line",
    ),
    "outline-too-short/none": (
        outline("# nothing").replace('"""\n#', '«"""»\n#'),
        "slab Slab 1: no corners cannot make a floor",
        "type three corners or more, one a line",
    ),
    "corner-unreadable": (
        outline("A 0, 0", "«B 10 0» | wall", "C 10, 10"),
        "slab Slab 1: cannot read the corner B 10 0",
        "write it like: A   26', 14' 3\"   | wall",
    ),
    "corner-unreadable/three numbers": (
        outline("A 0, 0", "«B 10, 0, 3» | wall", "C 10, 10"),
        "slab Slab 1: cannot read the corner B 10, 0, 3",
        "write it like: A   26', 14' 3\"   | wall",
    ),
    "corner-unreadable/decimal comma": (
        outline("A 0, 0", "«B 7,85, 0»", "C 10, 10"),
        "slab Slab 1: cannot read the corner B 7,85, 0",
        "write decimals with a point: B 7.85, 0",
    ),
    "corner-unreadable/arc before the bar": (
        outline("A 0, 0", "«B 10, 0, arc rise 1' out»| slab", "C 10, 10"),
        "slab Slab 1: cannot read the corner B 10, 0, arc rise 1' out",
        "what stands along the side goes behind a bar: B 10, 0   | slab, arc rise 1' out",
    ),
    "corner-unreadable/edge kind without a bar": (
        outline("A 0, 0", "«B 10, 0, wall»", "C 10, 10"),
        "slab Slab 1: cannot read the corner B 10, 0, wall",
        "what stands along the side goes behind a bar: B 10, 0   | wall",
    ),
    "length-unreadable": (
        outline("A 0, 0", "B 10, 0", "C   26', «14'3''»   | open"),
        "corner C: cannot read the length 14'3''",
        "write 14' 3\" or 14.25'",
    ),
    "length-unit/x of a corner without a letter": (
        outline("0, 0", "12 «feets», 0", "C 10, 10"),
        "corner 2: cannot read the length 12 feets: feets is no unit of length",
        "units are ft, in, ', \", m, cm and mm",
    ),
    "length-ambiguous": (
        outline("A 0, 0", "B «12.11», 0", "C 10, 10"),
        "corner B: the length 12.11 may mean feet and inches or a decimal of a foot",
        "write 12'-11\" or 12.11'",
    ),
    "length-ambiguous/two numbers are no corner 12": (
        outline("0, 0", "«12 6», 0", "10, 10"),
        "corner 2: the length 12 6 has two numbers and no foot mark",
        "write 12'-6\" if feet and inches are meant",
    ),
    "corner-label-repeated": (
        outline("A 0, 0", "B 10, 0", "«A 10, 10»"),
        "slab Slab 1: two corners are called A",
        "the first stands in line 4",
    ),
    "corner-repeated": (
        outline("A 0, 0", "B 10, 0", "«C 120 in, 0»", "D 10, 10"),
        "slab Slab 1: corner C stands on corner B, so the side has no length",
        "leave one of them out, or check its numbers",
    ),
    "corner-repeated/closing line": (
        outline("A 0, 0", "B 10, 0", "C 10, 10", "«D 0, 0» | wall"),
        "slab Slab 1: the last corner D stands on the first, A",
        "leave the last line out: the outline closes by itself",
    ),
    # What stands along a side
    "edge-kind-unknown": (
        outline("A 0, 0 | «wal»", "B 10, 0", "C 10, 10"),
        "side from corner A: no edge kind is called wal",
        "did you mean wall?",
    ),
    "side-bars": (
        outline("A 0, 0 | «open | arc rise 2' out»", "B 10, 0", "C 10, 10"),
        "side from corner A: open | arc rise 2' out has a second bar",
        "write a comma there: open, arc rise 2' out",
    ),
    "arc-unreadable": (
        outline("A 0, 0 | wall, «curve 2'»", "B 10, 0", "C 10, 10"),
        "side from corner A: cannot read the arc curve 2'",
        "write it like: open, arc rise 2' out  or  open, arc radius 20' in",
    ),
    "arc-way-missing": (
        outline("A 0, 0 | «arc rise 2'»", "B 10, 0", "C 10, 10"),
        "side from corner A: arc rise 2' does not say which way the arc stands",
        "end with out (out of the floor) or in (into it): arc rise 2' out",
    ),
    "arc-in-ambiguous": (
        outline("A 0, 0 | open, «arc rise 6 in»", "B 10, 0", "C 10, 10"),
        "side from corner A: arc rise 6 in may mean inches, or an arc into the floor",
        "write arc rise 6 in out, or arc rise 6' in",
    ),
    "arc-major-rise": (
        outline("A 0, 0 | open, arc rise 2' out «major»", "B 10, 0", "C 10, 10"),
        "side from corner A: a rise already says which way round the arc goes",
        "leave major out; it goes with a radius only",
    ),
    "length-not-positive": (
        outline("A 0, 0 | open, arc rise «0» out", "B 10, 0", "C 10, 10"),
        "side from corner A: the arc: the length 0 is not more than nothing",
        "write a length above 0",
    ),
    # The walk
    "walk-unreadable": (
        walk("A right 10'", "«B along 5'»", "C left 10'"),
        "slab Slab 1: cannot read the line B along 5'",
        "write it like: A   right 26'   | wall (right, left, up, down, N, E, S, W, N 35 E, azimuth 125.5, "
        "turn left 118, inside 62, or ? for what is missing)",
    ),
    "walk-unreadable/arc before the bar": (
        walk("A right 10'", "«B turn left 90, 5', arc rise 1' out»  | wall", "C left 10'"),
        "slab Slab 1: cannot read the line B turn left 90, 5', arc rise 1' out",
        "what stands along the side goes behind a bar: B turn left 90, 5'   | wall, arc rise 1' out",
    ),
    "walk-length-missing": (
        walk("A right 10'", "B «turn left 60»", "C left 10'"),
        "corner B: no length stands after turn left 60",
        "add the length, or ? where it is to be found from closing",
    ),
    "corner-label-repeated/walk": (
        walk("A right 10'", "«A up 5'»", "C left 10'"),
        "slab Slab 1: two corners are called A",
        "the first stands in line 4",
    ),
    "bearing-range": (
        walk("A right 10'", "B «N 95 E» 5'", "C left 10'"),
        "corner B: the bearing N 95 E turns more than 90 degrees",
        "a bearing turns 0 to 90 degrees from north or south, as N 35 E; or write azimuth 125.5",
    ),
    "outline-too-short/walk": (
        walk("A right 10'").replace('"""\nA', '«"""»\nA'),
        "slab Slab 1: 1 side cannot make a floor",
        "type every side",
    ),
    "length-unreadable/walk": (
        walk("A right «10''»", "B up 5'", "C left 10'"),
        "corner A: cannot read the length 10''",
        "write 10\" or 0.8333'",
    ),
    "key-unused": (
        SLAB + 'accuracy = «"1/8 in"»\n',
        "slab Slab 1: accuracy goes with a walk",
        "leave it out here",
    ),
    "instrument-unknown": (
        walk("A right 10'", "B up 5'", "C left 10'") + 'accuracy = «"blde tape"»\n',
        "accuracy: no instrument is called blde tape",
        "did you mean blade tape?",
    ),
    # The tape
    "tape-unreadable": (
        tape("A-B 10'", "«BC 10'» | wall"),
        "slab Slab 1: cannot read the line BC 10'",
        "write it like: A-B   26' 0 1/8\"   | wall",
    ),
    "tape-unreadable/unknown length of nothing": (
        tape("A-B 10'", "B-C «?»"),
        "B-C: a length that is not known says nothing",
        "leave the line out, or say what stands along the side: A-B   ?   | wall",
    ),
    "tape-repeated": (
        tape("A-B 10'", "«B-A 10' 1\"»"),
        "slab Slab 1: B-A is taped twice",
        "the first stands in line 7: keep one of them",
    ),
    "tape-to-itself": (
        tape("«A»-A 10'"),
        "slab Slab 1: a length from A to itself",
        "name two different corners",
    ),
    "tape-side-of-tie": (
        tape("A-C 10' | «wall»"),
        "A-C is not a side, so nothing stands along it",
        "leave out what stands after the bar, or correct the letters",
    ),
    "corner-unknown/tape": (
        tape("A-«X» 10'"),
        "slab Slab 1: no corner or point is called X",
        "add it to corners, or to points",
    ),
    "corner-unknown/square": (
        tape("A-B 10'", more='square = «"A Q"»\n'),
        "slab Slab 1: square: no corner is called Q",
        "known are: A, B, C, D",
    ),
    "corner-unknown/on side": (
        tape("A-B 10'", more='points = "P"\non_side = """\n«R» A-B\n"""\n'),
        "slab Slab 1: no point is called R",
        "add it to points",
    ),
    "label-unreadable": (
        tape("A-B 10'", corners="A B «C*» D"),
        "slab Slab 1: corners: C* is no letter or name of a corner",
        "use letters and digits, as A, B, C or A1",
    ),
    "corner-label-repeated/tape": (
        tape("A-B 10'", corners="A B «A» D"),
        "slab Slab 1: corners: A stands there twice",
        "",
    ),
    "corner-label-repeated/point": (
        tape("A-B 10'", more='points = «"A"»\n'),
        "slab Slab 1: the point A is a corner too",
        "rename it",
    ),
    "outline-too-short/tape": (
        tape("A-B 10'", corners="A B").replace('"A B"', '«"A B"»'),
        "slab Slab 1: 2 corners cannot make a floor",
        "name every corner",
    ),
    "value-unknown/turning": (
        tape("A-B 10'").replace('"clockwise"', '"«clockwize»"'),
        "turning: clockwize is not known",
        "did you mean clockwise? known: clockwise, counter-clockwise",
    ),
    "length-not-positive/accuracy of one length": (
        tape("A-B 10' ± «0»"),
        "A-B: the accuracy: the length 0 is not more than nothing",
        "write a length above 0",
    ),
    # Offsets
    "station-unreadable": (
        offsets("0   6'", "«4'»", "8'   6'"),
        "slab Slab 1: cannot read the line 4'",
        "write the station, some spaces, and the offset there: 4'   6' 3\"",
    ),
    "stations-too-few": (
        offsets("0   6'").replace('"""\n0', '«"""»\n0'),
        "slab Slab 1: 1 station cannot make an edge",
        "give two or more",
    ),
    "stations-order": (
        offsets("0   6'", "8'   6'", "«4'   6'»"),
        "slab Slab 1: station 4' does not come after 8'",
        "list the stations in order along the baseline, each once",
    ),
    "station-beyond": (
        offsets("0   6'", "«41'   6'»"),
        "slab Slab 1: station 41' lies beyond the baseline of 40'",
        "check the station, or the length of the baseline",
    ),
    "stations-flat": (
        offsets("0   0", "40'   0").replace('"""\n0', '«"""»\n0'),
        "slab Slab 1: every offset is 0, so there is no floor",
        "give the offsets",
    ),
    "length-negative": (
        offsets("0   «-6'»", "40'   6'"),
        "slab Slab 1: the offset -6' is below nothing",
        "write 0 or more",
    ),
    "arc-unwanted": (
        offsets("0   6'", "40'   6'", more='along_edge = «"open, arc rise 2\' out"»\n'),
        "slab Slab 1: along_edge is no arc",
        "leave the arc out",
    ),
    # Cut-outs
    "point-unreadable": (
        cutout('at = ["«5, 5, 5»"]', 'round = "1 ft"'),
        "cut-out: cannot read the point 5, 5, 5",
        "write x and y with one comma between, as 26', 14' 3\"",
    ),
    "corner-unknown": (
        cutout('name = "pad"', 'at = ["«G»"]', 'round = "1 ft"'),
        "cut-out pad: no corner or point is called G",
        "known are: A, B, C, D",
    ),
    "point-half": (
        cutout('name = "pad"', 'at = ["«5 ft»"]', 'round = "1 ft"'),
        "cut-out pad: 5 ft is one length, and a point takes two",
        "write x and y in one text with a comma between, as \"26', 14'\"",
    ),
    "size-unreadable": (
        cutout('at = ["5, 5"]', 'size = "«10 in»"'),
        "cut-out: size: cannot read 10 in",
        "write two lengths with x between, as 10 in x 12 in",
    ),
    "key-missing/place of a cut-out": (
        SLAB + '«[[slab.cutout]]»\nsize = "1 x 1"\n',
        "cut-out: at is missing",
        "say where its middle is: at = [\"6', 20'\"]",
    ),
    "key-missing/form of a cut-out": (
        SLAB + '«[[slab.cutout]]»\nat = ["5, 5"]\n',
        "[[slab.cutout]] has none of size, round or outline",
        "give one of size, round or outline",
    ),
    "keys-exclude": (
        cutout('at = ["5, 5"]', 'size = "1 x 1"', 'round = «"1 ft"»'),
        "[[slab.cutout]] has size and round; only one may stand",
        "keep one of size and round",
    ),
    "cutout-side-kind": (
        cutout('kind = "coping"', 'outline = """', "4, 4 | «wall»", "6, 4", "6, 6", '"""'),
        "cut-out: one kind stands all round a cut-out, wall along one side cannot be kept",
        'leave it out and write kind = "wall" in the table of the cut-out',
    ),
    "edge-kind-unknown/cut-out": (
        cutout('kind = "«pst»"', 'at = ["5, 5"]', 'round = "1 ft"'),
        "cut-out: no edge kind is called pst",
        "did you mean post?",
    ),
    # Joints
    "joint-treatment-never": (
        joint('kind = "isolation"', 'treatment = «"fill"»', ONE),
        "an isolation joint always moves: a rigid fill cracks through",
        "seal it (recess the filler, backer and sealant last), or leave it and mask it",
    ),
    "joint-treatment-never/bridge": (
        joint('kind = "isolation"', 'treatment = «"bridge"»', ONE),
        "an isolation joint always moves: a coat across it tears",
        "seal it (recess the filler, backer and sealant last), or leave it and mask it",
    ),
    "joint-line-unreadable": (
        joint('kind = "groove"', 'lines = """', "«0, 5 10, 5»", '"""'),
        "joint: cannot read the line 0, 5 10, 5",
        "write two points with an arrow between, as 0, 7' -> 26', 7'",
    ),
    "joint-line-short": (
        joint('kind = "groove"', 'lines = """', "«0, 5 -> 0, 60 in»", '"""'),
        "joint: the line starts and ends at one point",
        "check its numbers",
    ),
    "joint-empty": (
        joint('kind = "groove"', 'lines = «"""»', '"""'),
        "joint: no line is given",
        "write lines like 0, 7' -> 26', 7'",
    ),
    "joint-empty/grid": (
        joint('kind = "groove"', 'spacing = «"none x none"»'),
        "joint: a grid without lines",
        "give one spacing at least",
    ),
    "side-unknown": (
        joint('kind = "groove"', 'along = ["«A-C»"]'),
        "joint: A-C is not a side",
        "the sides at A are A-B and D-A",
    ),
    "side-unreadable": (
        joint('kind = "groove"', 'along = ["«AB»"]'),
        "joint: AB does not name a side",
        "name a side by its two corners, as A-B",
    ),
    "corner-unknown/joint": (
        joint('kind = "groove"', 'along = ["A-«b»"]'),
        "joint: no corner is called b",
        "did you mean B?",
    ),
    "value-unknown/kind of a joint": (
        joint('kind = "«grove»"', ONE),
        "kind: grove is not known",
        "did you mean groove? known: groove, saw cut, construction, isolation, crack",
    ),
    "key-unused/joint": (
        joint('kind = "groove"', 'from = «"A"»', ONE),
        "joint: from goes with spacing only",
        "leave it out",
    ),
    "length-unit": (
        joint('kind = "groove"', 'width = "3/8 «inc»"', ONE),
        "width: cannot read the length 3/8 inc: inc is no unit of length",
        "units are ft, in, ', \", m, cm and mm",
    ),
    # Faces, entry, surface, system
    "cutout-unknown": (
        SLAB + '«[[slab.face]]»\ncutout = "pad"\nheight = "4 in"\n',
        "face: no cut-out is called pad",
        "name a side by its corners, as A-B",
    ),
    "side-unknown/entry": (
        SLAB + 'entry = "«B-D»"\n',
        "slab Slab 1: entry: B-D is not a side",
        "the sides at B are A-B and B-C",
    ),
    "surface-unknown": (
        SLAB + 'surface = «"brom"»\n',
        "surface: brom is not known",
        "did you mean broom?",
    ),
    "system-unknown": (
        SLAB.replace('"clear-seal"', '"«claer-seal»"'),
        "there is no coating system claer-seal",
        None,
    ),
    "path-leaves-folder": (
        SLAB.replace('"clear-seal"', '"«../ours.toml»"'),
        "system: ../ours.toml cannot be taken: it climbs out of the folder of the plan",
        "put the file beside the plan and write its name",
    ),
    "path-leaves-folder/absolute": (
        SLAB.replace('"clear-seal"', '"«/etc/ours.toml»"'),
        "system: /etc/ours.toml cannot be taken: it starts outside the folder of the plan",
        "put the file beside the plan and write its name",
    ),
    "path-leaves-folder/drive": (
        SLAB.replace('"clear-seal"', "'«C:\\ours.toml»'"),
        "system: C:\\ours.toml cannot be taken: it starts outside the folder of the plan",
        "put the file beside the plan and write its name",
    ),
    "path-leaves-folder/no folder": (
        SLAB.replace('"clear-seal"', '"«ours.toml»"'),
        "system: ours.toml cannot be taken: a plan that is not read from a file has no folder",
        "put the file beside the plan and write its name",
    ),
    "key-missing/shape": (
        '«[[slab]]»\nsystem = "clear-seal"\n',
        "[[slab]] has none of outline, walk, tape, offsets or dxf",
        "give one of outline, walk, tape, offsets or dxf",
    ),
    "keys-exclude/shapes": (
        SLAB + 'walk = «"""»\nA right 10\'\nB up 5\'\n"""\n',
        "[[slab]] has outline and walk; only one may stand",
        "keep one of outline and walk",
    ),
    # The drawing file
    "path-leaves-folder/drawing": (
        '[[slab]]\nsystem = "clear-seal"\n[slab.dxf]\nfile = "«../slab.dxf»"\n',
        "file: ../slab.dxf cannot be taken: it climbs out of the folder of the plan",
        "put the file beside the plan and write its name",
    ),
    "known-unreadable": (
        '[[slab]]\nsystem = "clear-seal"\n[slab.dxf]\nfile = "a.dxf"\nknown = «"A to B = 24"»\n',
        "slab Slab 1: cannot read the known length A to B = 24",
        "write it like A-B = 24'",
    ),
    "value-unknown/units of the drawing": (
        '[[slab]]\nsystem = "clear-seal"\n[slab.dxf]\nfile = "a.dxf"\nunits = «"feet"»\n',
        "units: feet is not known",
        "known: ft, in, m, cm, mm, yd, us-survey-ft",
    ),
    # The top, grinder, rules, sheet, steps, edge kinds
    "key-unknown": (
        "«titel» = 'x'\n" + SLAB,
        "titel is not a key of the top of the file",
        "did you mean title?",
    ),
    "key-unknown/at home elsewhere": (
        "«date» = '2027-05-04'\n" + SLAB,
        "date is not a key of the top of the file",
        "date belongs in [sheet]",
    ),
    "key-unknown/grinder": (
        SLAB + '[grinder]\n«overal» = "22 in"\n',
        "overal is not a key of [grinder]",
        "did you mean overall?",
    ),
    "key-unknown/cut-out": (
        cutout('at = ["5, 5"]', "«siz» = '1 x 1'", 'round = "1 ft"'),
        "siz is not a key of [slab.cutout]",
        "did you mean size?",
    ),
    "value-unknown": (
        'units = "«foot»"\n' + SLAB,
        "units: foot is not known",
        None,
    ),
    "grinder-narrow": (
        SLAB + '[grinder]\nhead = "18 in"\noverall = «"16 in"»\n',
        "the machine's overall width 16 in is less than its head 18 in",
        "overall is the widest part of the machine",
    ),
    "grinder-overhang": (
        SLAB + '[grinder]\noverhang = «"10 in"»\n',
        "an overhang of 10 in takes the head's centre past the edge",
        "keep it below half the head",
    ),
    "length-negative/gap": (
        SLAB + '[grinder]\ngap = «"-2 in"»\n',
        "gap is below nothing: -2 in",
        "write 0 or more",
    ),
    "area-unreadable": (
        SLAB + '[rules]\nignore_below = "«many»"\n',
        "ignore_below: cannot read the area many",
        None,
    ),
    "angle-unreadable": (
        SLAB + '[sheet]\nnorth = "«somewhere»"\n',
        "north: cannot read the angle somewhere",
        "write up, down, left, right, or degrees clockwise from straight up, as 30 deg",
    ),
    "text-control": (
        'title = «"a\\u0007b"»\n' + SLAB,
        "title holds a character that cannot be printed: a?b",
        "type it anew, on one line",
    ),
    "text-too-long": (
        f'title = "«{"x" * 201}»"\n' + SLAB,
        "title is 201 characters long",
        "use 200 characters at most",
    ),
    "edge-kind-name": (
        SLAB + '«[edge_kind."wall, high"]»\nmask = true\n',
        "an edge kind cannot be called 'wall, high'",
        "use words without , | # and ?, not starting with arc",
    ),
    "value-type": (
        SLAB + '[edge_kind.wall]\nmask = «"no"»\n',
        "mask is text; true or false is wanted",
        "write mask = true or mask = false, without marks",
    ),
    "key-missing": (
        SLAB + '«[[steps]]»\nwidth = "5\'"\ntreads = 3\ntread = "11 in"\n',
        "riser is missing in steps",
        "add a line riser = …",
    ),
    "value-range": (
        SLAB + '[[steps]]\nwidth = "5\'"\ntreads = «0»\ntread = "11 in"\nriser = "7 in"\n',
        "treads is 0; 1 to 200 is wanted",
        "",
    ),
    "steps-slab": (
        SLAB.replace("[[slab]]", '[[slab]]\nname = "Porch"')
        + '[[steps]]\nslab = "«Proch»"\nwidth = "5\'"\ntreads = 2\ntread = "11 in"\nriser = "7 in"\n',
        "Steps: no slab is called Proch",
        "did you mean Porch?",
    ),
    "reading-short": (
        SLAB + '«[conditions]»\nair = "72 F"\n',
        "[conditions] has a reading without both air and humidity, so no dew point can be told",
        'add air = "72 F" and humidity = "65 %"',
    ),
    "key-missing/slab": ('title = "x"\n', "slab is missing", "add [[slab]] and its keys below"),
}


def faults_of(text: str, beside: Path | None = None) -> tuple[Fault, ...]:
    """What reading the text ends in."""
    with pytest.raises(PlanError) as caught:
        read_plan(text.replace("«", "").replace("»", ""), "patio.toml", beside)
    return caught.value.faults


def marked(text: str) -> tuple[int, int, int] | None:
    """(line, column, width) of what stands between the marks."""
    start = text.find("«")
    if start < 0:
        return None
    line = text.count("\n", 0, start) + 1
    column = start - (text.rfind("\n", 0, start) + 1) + 1
    return line, column, text.index("»") - start - 1


@pytest.mark.parametrize("name", CASES)
def test_fault_says_what_and_where(name: str, tmp_path: Path) -> None:
    """The code, the sentence, the cure and the place are as stated, and nothing else is found wrong."""
    text, said, hint = CASES[name]
    (fault,) = faults_of(text, None if name.endswith("no folder") else tmp_path)
    assert fault.code == name.partition("/")[0]
    assert fault.text == said
    assert hint is None or fault.hint == hint
    assert fault.place is not None
    assert fault.place.file == "patio.toml"
    spot = marked(text)
    if spot is not None:
        assert (fault.place.line, fault.place.column, fault.place.width) == spot
        line = text.replace("«", "").replace("»", "").split("\n")[spot[0] - 1]
        assert fault.place.text == line


def test_every_code_of_the_reader_has_a_case() -> None:
    """No message can be added without a case here that reads it."""
    source = "\n".join(path.read_text() for path in SOURCES.glob("*.py"))
    codes = set(re.findall(r"fault\(\s*\"([a-z-]+)\"", source))
    assert codes
    assert codes <= {name.partition("/")[0] for name in CASES}


def test_all_faults_come_together_in_the_order_of_the_file() -> None:
    """One reading names every fault, cross references included, from the top down."""
    text = (
        outline("A 0, 0 | wal", "B 10, 0", "C 10, 10", "D 0, 10").replace(
            "[[slab]]", 'units = "foot"\n[[slab]]', 1
        )
        + '[[slab.joint]]\nkind = "groove"\nalong = ["A-C", "A-Q"]\n'
        + '[[slab]]\nwalk = """\nA right 10\'\'\n"""\n'
    )
    found = faults_of(text)
    assert [fault.code for fault in found] == [
        "value-unknown",
        "edge-kind-unknown",
        "side-unknown",
        "corner-unknown",
        "length-unreadable",
    ]
    lines = [fault.place.line for fault in found if fault.place]
    assert lines == sorted(lines)


def test_references_are_checked_beside_other_faults() -> None:
    """A slip in one table does not hide an unknown corner in another."""
    text = SLAB + (
        '[[slab.joint]]\nkind = "grove"\nalong = ["A-Q"]\n'
        '[[slab.face]]\nside = "A-R"\nheight = "4 in"\n'
        '[[slab.cutout]]\nat = ["S"]\nround = "0"\n'
    )
    codes = [fault.code for fault in faults_of(text)]
    assert codes == [
        "value-unknown",
        "corner-unknown",
        "corner-unknown",
        "corner-unknown",
        "length-not-positive",
    ]


@pytest.mark.parametrize(
    "shape",
    [
        outline("A 0, 0", "B 10 0", "C 12 feets, 1", "5, 5 | wal"),
        walk("A right 10''", "B along 5'", "C left", "up 2' | wal"),
        tape("A-B 10 feets", "B-C 10' | wal"),
    ],
)
def test_letters_of_a_faulty_shape_are_known(shape: str) -> None:
    """An unknown corner is told though the shape has faults of its own, and a known one is not."""
    found = faults_of(shape + '[[slab.joint]]\nkind = "groove"\nlines = "A -> D\\nB -> E"\n')
    unknown = [fault.text for fault in found if fault.code == "corner-unknown"]
    assert unknown == ["joint: no corner or point is called E"]


def test_message_as_the_terminal_shows_it() -> None:
    """The line is quoted with a marker under the wrong piece and the cure below."""
    text = outline("A   0, 0", "B   26', 0", "C   26', 14'3''   | open")
    (fault,) = faults_of(text)
    assert str(fault) == (
        "patio.toml:6:10: fault: corner C: cannot read the length 14'3''\n"
        "      C   26', 14'3''   | open\n"
        "               ^^^^^^\n"
        "    write 14' 3\" or 14.25'"
    )
