"""`look`, `convert`, `export` and `draw -o FILE.dxf` from the command line."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from command_runs import PATIO, run
from foreign.made import dxf

import floorplan


def _patio(model: Any) -> None:
    rows = [(0, 0, 0), (31.5, 0, 0), (31.5, 13, 0), (19, 13, 0), (19, 22, 6 / 20.5), (-1.5, 22, 0)]
    model.add_lwpolyline(rows, format="xyb", close=True, dxfattribs={"layer": "SLAB"})
    model.add_circle((17.6, 20.9), 0.5, dxfattribs={"layer": "POST"})
    model.add_line((6.5, -1), (6.5, 30), dxfattribs={"layer": "GROOVE"})
    model.add_line((0, 0), (31.5, 0), dxfattribs={"layer": "A-WALL"})


@pytest.fixture(name="drawing")
def _drawing(tmp_path: Path) -> Path:
    path = tmp_path / "slab.dxf"
    path.write_bytes(dxf(_patio, units=2))
    return path


def test_look_prints_and_warns_apart(drawing: Path) -> None:
    """The report on stdout, nothing on stderr for a clean file, exit 0."""
    done = run("look", str(drawing))
    assert done.exit_code == 0
    assert "closed regions" in done.stdout
    assert done.stderr == ""
    document = json.loads(run("look", str(drawing), "--json").stdout)
    assert document["outlines"][0]["layer"] == "SLAB"


def test_look_at_a_damaged_file(drawing: Path) -> None:
    """A file cut off is shown as far as it goes, with the loss on stderr."""
    data = drawing.read_bytes()
    drawing.write_bytes(data[: data.index(b"ENDSEC", data.index(b"ENTITIES")) - 40])
    done = run("look", str(drawing))
    assert done.exit_code == 0
    assert "breaks off" in done.stderr
    refused = run("convert", str(drawing), "-o", "-")
    assert refused.exit_code == 1
    assert "floorplan look" in refused.stderr


@pytest.mark.parametrize("name", ["nothing.dxf", "text.dxf"])
def test_look_at_no_drawing(tmp_path: Path, name: str) -> None:
    """A file that is not there or is no drawing: words, exit 1."""
    if name == "text.dxf":
        (tmp_path / name).write_text("Dear sir")
    done = run("look", str(tmp_path / name))
    assert done.exit_code == 1
    assert "fault:" in done.stderr
    assert done.stdout == ""


def test_convert_writes_a_plan_that_measures(drawing: Path, tmp_path: Path) -> None:
    """The plan is written, named, and measures as the drawing does."""
    out = tmp_path / "patio.toml"
    done = run(
        "convert", str(drawing), "-o", str(out), "--joints", "GROOVE", "--edge", "A-WALL=wall",
        "--edge", "POST=post", "--title", "Patio",
    )  # fmt: skip
    assert done.exit_code == 0, done.stderr
    assert done.stdout == ""
    assert f"floorplan check {out}" in done.stderr
    plan = floorplan.load(out)
    slab = floorplan.takeoff(plan).slabs[0]
    assert plan.title == "Patio"
    assert slab.gross_area_m2 / 0.09290304 == pytest.approx(638.694, abs=0.001)
    assert [edge.kind for edge in slab.edges].count("wall") == 1
    assert slab.cutouts[0].kind == "post"


def test_convert_to_stdout_and_all(drawing: Path) -> None:
    """`-` prints the plan; `--all` makes a slab of every outline."""
    assert run("convert", str(drawing), "-o", "-").stdout.startswith("# From slab.dxf")
    two = drawing.with_name("two.dxf")
    squares = ([(x, 0), (x + 10, 0), (x + 10, 9), (x, 9)] for x in (0, 20))
    two.write_bytes(dxf(lambda m: [m.add_lwpolyline(square, close=True) for square in squares], units=2))
    done = run("convert", str(two), "-o", "-", "--all")
    assert done.exit_code == 0
    assert done.stdout.count("[[slab]]") == 2
    assert "20', 0" in done.stdout.replace("20'-0\"", "20'")


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("-o", "plan.dxf"), ".toml"),
        (("-o", "-", "--edge", "A-WALL"), "A-WALL=wall"),
        (("-o", "-", "--edge", "A-WALL=hedge"), "kinds: wall"),
        (("-o", "-", "--all", "--pick", "1"), "not both"),
        (("-o", "-", "--known", "A-B"), "length"),
        (("-o", "-", "--units", "furlong"), "furlong"),
        (("-o", "-", "--scale", "48"), "1:48"),
        (("-o", "-", "--snap", "wide"), "wide"),
        (("-o", "-", "--system", "garage-ful-flake"), "did you mean garage-full-flake"),
        (("-o", "-", "--system", "moisture-layer"), "only add-ons"),
    ],
)
def test_convert_wrong_usage(drawing: Path, arguments: tuple[str, ...], words: str) -> None:
    """Wrong options end with exit code 2 and say what would be right."""
    done = run("convert", str(drawing), *arguments)
    assert done.exit_code == 2
    assert words in done.stderr


def test_convert_asks_for_the_unit(tmp_path: Path) -> None:
    """Where the file does not say its unit nothing is written, and the sizes are listed line by line."""
    path = tmp_path / "slab.dxf"
    path.write_bytes(dxf(_patio, units=0))
    out = tmp_path / "plan.toml"
    done = run("convert", str(path), "-o", str(out))
    assert done.exit_code == 1
    assert "\n      ft  33'-0\" x 25'-0\", 638.7 sq ft  <- likely\n" in done.stderr
    assert not out.exists()
    assert run("convert", str(path), "-o", str(out), "--known", "A-B = 31' 6\"").exit_code == 0


@pytest.mark.parametrize(
    ("asked", "system", "treatment"),
    [
        ((), "outdoor-full-flake", "leave"),
        (("--system", "garage-full-flake"), "garage-full-flake", "fill"),
        (("--system", "clear-seal"), "clear-seal", "leave"),
    ],
)
def test_convert_system_and_its_joints(
    drawing: Path, asked: tuple[str, ...], system: str, treatment: str
) -> None:
    """Saw cuts are filled indoors and left outdoors (common practice, no source), as the system says.

    The plan says that the system was taken only where nobody asked for it, and a joint follows the system
    that is chosen afterwards.
    """
    text = run("convert", str(drawing), "-o", "-", "--joints", "GROOVE", *asked).stdout
    slab = floorplan.read(text).slabs[0]
    assert (slab.system.name, slab.joints[0].treatment.value) == (system, treatment)
    assert ("# Choose the coating system" in text) == (not asked)
    indoors = floorplan.read(text.replace(f'"{system}"', '"quartz-double"')).slabs[0]
    assert indoors.joints[0].treatment.value == "fill"


def test_convert_strict_refuses_warnings(drawing: Path) -> None:
    """Under --strict the warning about loose lines is a fault."""
    done = run("convert", str(drawing), "-o", "-", "--strict")
    assert done.exit_code == 1
    assert "bound nothing" in done.stderr
    assert done.stdout == ""


def test_convert_svg_by_its_scale(tmp_path: Path) -> None:
    """An SVG at a stated scale: 100 mm at 1:50 is 5 m."""
    path = tmp_path / "slab.svg"
    path.write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" width="200mm" viewBox="0 0 200 100">'
        '<rect width="160" height="80"/></svg>'
    )
    done = run("convert", str(path), "-o", "-", "--scale", "1:50", "--write-in", "m")
    assert done.exit_code == 0, done.stderr
    assert "8, 4" in done.stdout


def test_export_formats(tmp_path: Path) -> None:
    """GeoJSON and CSV by suffix, GeoJSON on stdout, other suffixes are wrong usage."""
    for name in ("regions.geojson", "regions.csv"):
        done = run("export", PATIO, "-o", str(tmp_path / name), "--region", "net")
        assert done.exit_code == 0
        # Written by us, so it may be written over.
        assert run("export", PATIO, "-o", str(tmp_path / name)).exit_code == 0
    document = json.loads(run("export", PATIO, "-o", "-", "--region", "pocket").stdout)
    assert {feature["properties"]["region"] for feature in document["features"]} == {"pocket"}
    assert run("export", PATIO, "-o", "regions.shp").exit_code == 2
    assert run("export", PATIO, "-o", "-", "--region", "roof").exit_code == 2


def test_draw_dxf_reads_back(tmp_path: Path) -> None:
    """`draw -o FILE.dxf`, looked at: the outline and its area; it may be written over."""
    out = tmp_path / "patio.dxf"
    assert run("draw", PATIO, "-o", str(out)).exit_code == 0
    assert run("draw", PATIO, "-o", str(out)).exit_code == 0
    area = floorplan.takeoff(floorplan.load(PATIO)).slabs[0].gross_area_m2
    document = json.loads(run("look", str(out), "--json").stdout)
    assert document["outlines"][0]["area_m2"] == pytest.approx(area, rel=1e-9)
