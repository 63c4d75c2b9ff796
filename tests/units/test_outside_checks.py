"""Factors, spreading rates and rounding against the published and exact rows of the outside checks."""

from __future__ import annotations

import pytest
from outside import row, rows

from floorplan.units import factors
from floorplan.units.reading import read_area, read_rate, read_thickness
from floorplan.units.rounding import half_up, whole_packs

UNITS = {
    "ft_m": factors.FOOT_M,
    "in_mm": factors.INCH_MM,
    "gal_in3": factors.GALLON_CUIN,
    "gal_L": factors.GALLON_L,
    "floz_mL": factors.FLUID_OUNCE_L * 1000,
    "floz_in3": factors.FLUID_OUNCE_L / factors.CUIN_L,
    "mil_um": factors.MIL_M / factors.UM_M,
    "lb_kg": factors.POUND_KG,
    "oz_g": factors.OUNCE_KG * 1000,
    "ft2_m2": factors.SQFT_M2,
    "in3_cm3": factors.CUIN_L * 1000,
    "ft3_gal": factors.CUFT_L / factors.GALLON_L,
    "gal_floz": factors.GALLON_L / factors.FLUID_OUNCE_L,
}
KNOWN = [r for r in rows("b_coating", "B-unit-") if r["inputs"]["conversion"] in UNITS]


@pytest.mark.parametrize("check", KNOWN, ids=lambda r: r["id"])
def test_factor_is_the_published_one(check: dict) -> None:
    """Each factor is the one of its source."""
    tolerance = check["tolerance"]
    limit = tolerance["value"] if isinstance(tolerance, dict) else tolerance
    assert UNITS[check["inputs"]["conversion"]] == pytest.approx(
        check["expected"]["value"], abs=limit, rel=1e-12
    ), check["source"]


def test_factor_rows_are_found() -> None:
    """The rows for foot, inch, gallon and fluid ounce are among those tested."""
    assert {"in_mm", "gal_in3", "gal_L", "floz_mL"} <= {r["inputs"]["conversion"] for r in KNOWN}


@pytest.mark.parametrize(
    "check", [r for r in rows("b_coating", "B4-") if r["tol_kind"] == "abs"], ids=lambda r: r["id"]
)
def test_spreading_rate_table_through_units(check: dict) -> None:
    """Rate x dry film = solids, read from US units, gives the table's sq ft a gallon."""
    film_m = read_thickness(f"{check['inputs']['dft_mil']} mil")
    m2_per_l = check["inputs"]["volume_solids"] / film_m / factors.M3_L
    expected = check["expected"]["ft2_per_gal"]
    assert m2_per_l / read_rate("1 sq ft/gal") == pytest.approx(expected, abs=check["tolerance"])


def test_spreading_constants() -> None:
    """One gallon covers 1604.1667 sq ft at one mil, one litre 1000 m2 at one micron."""
    b1, b2, b6 = (row("b_coating", i) for i in ("B1", "B2", "B6"))
    m2_per_l = 1 / read_thickness("1 mil") / factors.M3_L
    assert m2_per_l / read_rate("1 sf/gal") == pytest.approx(b1["expected"]["ft2_mil_per_gal"], abs=1e-9)
    assert 1 / read_thickness("1 um") / factors.M3_L == pytest.approx(b2["expected"]["m2_um_per_L"], abs=1e-9)
    assert 0.65 / read_thickness("125 µm") / factors.M3_L == pytest.approx(
        b6["expected"]["m2_per_L"], abs=1e-9
    )


@pytest.mark.parametrize("id_", ["H1-1", "H1-3"])
def test_small_void_limits_in_both_units(id_: str) -> None:
    """0.5 m2 is 5.38 sq ft."""
    check = row("h_measurement", id_)["expected"]
    area_m2 = read_area(f"{check['no_deduction_up_to_m2']} m2")
    assert area_m2 / factors.SQFT_M2 == pytest.approx(check["in_ft2"], abs=1e-9)


def test_round_once_at_the_end() -> None:
    """Five rooms of 12.4 are 62, not 60."""
    check = row("h_measurement", "H4")
    areas = check["inputs"]["areas"]
    assert half_up(sum(areas)) == check["expected"]["sum_then_round"]
    assert sum(half_up(a) for a in areas) == check["expected"]["round_then_sum"]


def test_kits_rounded_up_once() -> None:
    """480 sq ft at 160 with 10 % waste is 3.3 gal: 3 kits of 1.5 gal."""
    check = row("b_coating", "B10")
    i = check["inputs"]
    need = i["area_ft2"] / i["rate_ft2_gal"] * (1 + i["waste"])
    assert need == pytest.approx(check["expected"]["gal_gross"])
    assert whole_packs(need, i["kit_gal"]) == check["expected"]["kits"]
