"""The unit of a drawing: codes, factors, contradictions, taped lengths, sizes to choose from."""

from __future__ import annotations

from typing import Any

import pytest
from foreign.made import source_of
from outside import row

from floorplan.errors import DrawingFileError
from floorplan.foreign.drawing_units import INSUNITS, UNITS, contradiction
from floorplan.foreign.model import DimensionText, Source
from floorplan.foreign.scale import Known, Size, scale_of, sizes, unit_of_dimensions
from floorplan.units.factors import FOOT_M, INCH_M

PATIO = Size(area=600.0, width=30.0, depth=20.0)


def _source(units: int) -> Source:
    return source_of(lambda m: m.add_circle((0, 0), 1), units=units)


def test_codes_of_insunits() -> None:
    """Every code of the header variable has its unit (row I1)."""
    told = row("i_dxf", "I1")["expected"]
    names = {name.replace(" ", "").lower(): code for code, (name, _) in INSUNITS.items()}
    spelled = {"millimeters": "millimetres", "centimeters": "centimetres", "meters": "metres"}
    for name, code in told.items():
        if code == 0:
            assert code not in INSUNITS
            continue
        word = name.lower().replace("meters", "metres").replace("uss", "us s").replace(" ", "")
        word = spelled.get(word, word)
        plural = {
            "ussurveyinch": "ussurveyinches",
            "ussurveyyard": "ussurveyyards",
            "ussurveymile": "ussurveymiles",
        }
        word = plural.get(word, word).replace("angstroms", "ångströms")
        assert names[word] == code


def test_metres_for_one_unit() -> None:
    """Exact factors (row I2)."""
    case = row("i_dxf", "I2")
    for code, metres in zip(case["inputs"]["codes"], case["expected"]["m"], strict=True):
        assert INSUNITS[code][1] == pytest.approx(metres, rel=case["tolerance"], abs=case["tolerance"])


@pytest.mark.parametrize(
    ("code", "measurement", "told"),
    [(1, 1, True), (2, 1, True), (4, 0, True), (6, 0, True), (1, 0, False), (4, 1, False), (4, None, False)],
)
def test_contradiction_in_the_header(code: int, measurement: int | None, told: bool) -> None:
    """English $INSUNITS with metric $MEASUREMENT, or the other way round, is told."""
    assert bool(contradiction(code, measurement)) is told


def test_the_files_own_unit() -> None:
    """The file's unit is taken where it gives a slab of likely size."""
    assert scale_of(_source(2), PATIO).unit_m == FOOT_M
    assert scale_of(_source(2), PATIO).notices == ()


def test_missing_unit_is_asked_with_sizes() -> None:
    """No unit: a fault with the size in every unit and what to write."""
    with pytest.raises(DrawingFileError) as caught:
        scale_of(_source(0), PATIO)
    fault = caught.value.faults[0]
    assert fault.code == "drawing-units-missing"
    assert "30 x 20 drawing units" in fault.text
    for line in sizes(PATIO):
        assert line in fault.hint
    assert "ft  30'-0\" x 20'-0\", 600.0 sq ft  <- likely" in fault.hint
    assert 'known = "A-B = 24\'"' in fault.hint


@pytest.mark.parametrize(
    ("area_sqft", "asked"), [(39.9, True), (40.1, False), (9_990.0, False), (10_010.0, True)]
)
def test_unlikely_size_is_asked(area_sqft: float, asked: bool) -> None:
    """A slab outside 40 to 10,000 sq ft by the file's unit is asked about, on both sides of both limits."""
    size = Size(area_sqft, area_sqft**0.5, area_sqft**0.5)
    if not asked:
        assert scale_of(_source(2), size).unit_m == FOOT_M
        return
    with pytest.raises(DrawingFileError, match="outside 40 to 10,000 sq ft"):
        scale_of(_source(2), size)


def test_stated_unit_wins_and_says_so() -> None:
    """A stated unit overrules the file, at any size, with a warning."""
    scale = scale_of(_source(4), PATIO, units="ft")
    assert scale.unit_m == FOOT_M
    assert [notice.code for notice in scale.notices] == ["drawing-units-overruled"]
    assert scale_of(_source(0), Size(1.0, 1.0, 1.0), units="mm").notices == ()


def test_taped_length_tells_the_unit() -> None:
    """A length within 2 % of a unit tells that unit exactly; the difference is told."""
    known = Known("A-B", drawn=288.0, true_m=24.05 * FOOT_M, text="24.05'")
    scale = scale_of(_source(0), PATIO, known=known)
    assert scale.unit_m == INCH_M
    assert [notice.code for notice in scale.notices] == ["drawing-known-off"]
    assert "24'-0\" in the drawing and 24.05' by tape" in scale.notices[0].text


def test_taped_length_against_the_file() -> None:
    """A taped length overrules the unit that the file states, with a warning."""
    known = Known("A-B", drawn=192.0, true_m=16.0 * FOOT_M, text="16'")
    scale = scale_of(_source(4), PATIO, known=known)
    assert scale.unit_m == INCH_M
    assert [notice.code for notice in scale.notices] == ["drawing-units-wrong"]


def test_taped_length_of_no_usual_unit() -> None:
    """A drawing in no usual unit is scaled by the taped length, and that is said."""
    scale = scale_of(_source(0), PATIO, known=Known("A-B", drawn=10.0, true_m=4.5, text="4.5 m"))
    assert scale.unit_m == pytest.approx(0.45)
    assert [notice.code for notice in scale.notices] == ["drawing-unit-odd"]


def test_dimensions_speak_for_a_unit() -> None:
    """A dimension that reads 16'-0" over 192 units speaks for inches; a bare number for nothing."""
    told = unit_of_dimensions((DimensionText("16'-0\"", 192.0), DimensionText("12", 12.0)))
    assert told is not None
    assert told[0] == "in"
    assert unit_of_dimensions((DimensionText("12.5", 12.5), DimensionText("typ.", 3.0))) is None


def test_stated_dimensions_of_a_file_are_read() -> None:
    """A dimension whose text was typed over counts with what it measures; one that shows its own does not."""

    def draw(model: Any) -> None:
        model.add_lwpolyline([(0, 0), (288, 0), (288, 144), (0, 144)], close=True)
        for y, text in ((-20, "24'-0\""), (-40, "<>"), (-60, "")):
            made = model.add_linear_dim(base=(0, y), p1=(0, 0), p2=(288, 0), text=text)
            made.dimension.dxf.actual_measurement = 288.0
            made.render()

    assert source_of(draw).dimensions == (DimensionText("24'-0\"", 288.0),)
    with pytest.raises(DrawingFileError) as caught:
        scale_of(source_of(draw, units=0), Size(area=288.0 * 144.0, width=288.0, depth=144.0))
    assert "its dimension 24'-0\" over 288 units speaks for in" in caught.value.faults[0].hint


def test_dimensions_against_the_header() -> None:
    """A real plan says millimetres while its dimensions read feet over inches: that is told."""
    source = source_of(lambda m: m.add_aligned_dim((0, 0), (192, 0), 10, text="16'-0\"").render(), units=4)
    # ezdxf leaves the measured value to the program that draws; files of CAD programs carry it.
    assert source.dimensions == ()
    from dataclasses import replace

    with_text = replace(source, dimensions=(DimensionText("16'-0\"", 192.0),))
    big = Size(area=1e7, width=4e3, depth=2.5e3)
    scale = scale_of(with_text, big)
    assert [notice.code for notice in scale.notices] == ["drawing-dimensions-differ"]
    assert "16'-0\" measures 192 units" in scale.notices[0].text
    with pytest.raises(DrawingFileError, match="speaks for in"):
        scale_of(with_text, PATIO)


def test_units_that_may_be_stated() -> None:
    """Every unit to state is a unit of the header's list."""
    known = [metres for _, metres in INSUNITS.values()]
    assert all(metres in known for metres in UNITS.values())
