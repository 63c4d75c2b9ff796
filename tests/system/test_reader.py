"""Coating systems: shipped ones complete, a user's own read with the faults of a plan."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from outside import rows

from floorplan.errors import DataFileError
from floorplan.system.model import Coat, Surface
from floorplan.system.notations import rate_of_film, read_above_zero_rate
from floorplan.system.reader import grades, load_system, read_system, shipped

SQFT_PER_GAL = 0.3048**2 / (231 * 0.0254**3 * 1000)
NEEDED = (
    "outdoor-full-flake",
    "garage-full-flake",
    "partial-flake",
    "quartz-double",
    "clear-seal",
    "clear-film-seal",
    "plain-colour",
    "one-day-flake",
    "moisture-layer",
)


def faults_of(text: str) -> list[str]:
    """What is wrong with a system file, one line a fault."""
    with pytest.raises(DataFileError) as caught:
        read_system(text, "ours.toml", "ours")
    return [f"{fault.place.line if fault.place else 0}: {fault.code}" for fault in caught.value.faults]


def test_every_system_of_the_trade_brief_is_shipped() -> None:
    """S1 to S8 in generic words."""
    assert set(NEEDED) == set(shipped())


@pytest.mark.parametrize("name", [n for n in NEEDED if n != "moisture-layer"])
def test_shipped_system_is_marked_typical(name: str) -> None:
    """Each is typical, has coats with positive rates, and names its file as the source."""
    system = load_system(name)
    assert system.typical and system.coats and system.title and system.customer
    assert all(coat.rate_m2_per_l > 0 and coat.product.packs for coat in system.coats)
    assert (
        "typical"
        in Path(__file__).parents[2].joinpath(f"floorplan/system/data/{name}.toml").read_text().lower()
    )


@pytest.mark.parametrize(
    ("system", "layer", "surface", "expected"),
    [
        # Trade brief, section 4 (common practice, no source): 160 / 1.15, 200 less 40 %, verticals 120.
        ("outdoor-full-flake", "primer", Surface.FLOOR, 160 / 1.15),
        ("outdoor-full-flake", "primer", Surface.FACES, 120),
        ("outdoor-full-flake", "topcoat 1", Surface.FLOOR, 120),
        ("outdoor-full-flake", "topcoat 2", Surface.FLOOR, 200),
        ("garage-full-flake", "primer", Surface.TREADS, 160 / 1.10),
        ("garage-full-flake", "topcoat", Surface.FLOOR, 110),
        ("partial-flake", "topcoat", Surface.FLOOR, 200),
    ],
)
def test_coverage_after_grade_and_texture(system: str, layer: str, surface: Surface, expected: float) -> None:
    """The grade counts on the first coat only, the texture on the first topcoat only."""
    rate = load_system(system).coverage_m2_per_l(layer, surface)
    assert rate / SQFT_PER_GAL == pytest.approx(expected, rel=1e-9)


def test_times_of_the_primer_and_topcoat() -> None:
    """Trade brief 4.1: primer 30 min in the pail, 45 on the floor; topcoat recoat from 18 h."""
    system = load_system("outdoor-full-flake")
    primer, topcoat = system.coats[0], system.coats[1]
    assert (primer.times.pail_min, primer.times.floor_min, primer.times.recoat_min_h) == (30, 45, 6.5)
    assert primer.times.recoat_max_h is None
    assert (topcoat.times.recoat_min_h, topcoat.times.recoat_max_h, topcoat.times.vehicle_h) == (18, 36, 168)
    assert primer.times.at_c == pytest.approx(23.889, abs=1e-3)


@pytest.mark.parametrize(
    "check", [r for r in rows("b_coating", "B4-") if r["tol_kind"] == "abs"], ids=lambda r: r["id"]
)
def test_spreading_rate_of_film_thickness(check: dict) -> None:
    """Published spreading rates: 1604 x solids / dry film (see each row's source)."""
    given = check["inputs"]
    rate = rate_of_film(given["dft_mil"] * 2.54e-5, given["volume_solids"]) / SQFT_PER_GAL
    assert rate == pytest.approx(check["expected"]["ft2_per_gal"], abs=check["tolerance"]), check["source"]


@pytest.mark.parametrize(
    ("text", "rate"),
    [
        ("0.25 L/m2", 4.0),
        ("0.25 l per m2", 4.0),
        ("250 ml/m2", 4.0),
        ("4 m2/L", 4.0),
        ("1 gal/160 sq ft", None),
        ("160 sq ft/gal", 160 * SQFT_PER_GAL),
        ("0 L/m2", None),
    ],
)
def test_rate_as_spread_or_as_consumption(text: str, rate: float | None) -> None:
    """A litre to four square metres, said either way; none and half-said ones are refused."""
    if rate is None:
        with pytest.raises(ValueError, match="rate"):
            read_above_zero_rate(text)
    else:
        assert read_above_zero_rate(text) == pytest.approx(rate)


def test_moisture_layer_goes_before_the_first_coat_and_takes_the_grade() -> None:
    """The primer then lies on a film, so that its rate is the smooth one."""
    system = load_system("garage-full-flake + moisture-layer")
    assert [coat.name for coat in system.coats] == ["moisture layer", "primer", "topcoat"]
    assert system.coverage_m2_per_l("primer") / SQFT_PER_GAL == pytest.approx(160)
    assert system.coverage_m2_per_l("moisture layer") / SQFT_PER_GAL == pytest.approx(100 / 1.10)


def test_unknown_system_offers_the_nearest() -> None:
    """The fault names what was read and what may have been meant."""
    with pytest.raises(DataFileError, match=r"no coating system garage-full-flak\b") as caught:
        load_system("garage-full-flak")
    assert "did you mean garage-full-flake?" in caught.value.faults[0].hint


def test_two_systems_or_only_an_add_on_are_refused() -> None:
    """One system, then add-ons."""
    for name in ("moisture-layer", "clear-seal + plain-colour"):
        with pytest.raises(DataFileError) as caught:
            load_system(name)
        assert caught.value.faults[0].code == "system-add-on"


OURS = """
title = "Ours"
surface = "broom"
[product."house base"]
packs = ["10 L"]
mix = "3:1"
densities = ["1.5 kg/L", "1.0 kg/L"]
solids = "80 %"
pack = "kit"
[[layer]]
name = "base"
coat = "house base"
on = ["floor", "steps"]
dry_film = "200 um"
first = true
grit = "grit, 50 g/L"
[[layer]]
name = "flake"
broadcast = "flake"
thrown = "1 kg/m2"
"""


def test_own_system_by_film_thickness(tmp_path: Path) -> None:
    """80 % solids at 200 µm dry is 1000 x 0.8 / 200 = 4 m²/L; the file beside the plan is found by name."""
    (tmp_path / "ours.toml").write_text(OURS, encoding="utf-8")
    for name in ("ours", "ours.toml"):
        coat = load_system(name, tmp_path).coats[0]
        assert coat.rate_m2_per_l == pytest.approx(4.0)
        assert coat.coverage_m2_per_l(factor=1.25) == pytest.approx(3.2)
        assert [part.share for part in coat.product.parts] == pytest.approx([0.75, 0.25])
        assert coat.grit is not None and coat.grit.kg_per_l == pytest.approx(0.05)


def test_layer_in_several_coats_is_several_layers() -> None:
    """Only the first of two coats meets the bare ground: 160 / 1.15, then 160."""
    text = 'surface = "broom"\n[[layer]]\ncoat = "clear film seal"\nname = "seal"\n'
    text += 'rate = "160 sf/gal"\nfirst = true\ncoats = 2\n'
    system, _ = read_system(text, "ours.toml", "ours")
    assert [coat.name for coat in system.coats] == ["seal 1", "seal 2"]
    rates = [system.coverage_m2_per_l(coat.name) / SQFT_PER_GAL for coat in system.coats]
    assert rates == pytest.approx([160 / 1.15, 160])


def test_restated_product_keeps_what_it_does_not_state() -> None:
    """A firm's primer in other kits: the clock and the mix stay the shipped ones."""
    text = '[product."epoxy primer"]\npacks = ["1.5 gal"]\n'
    text += '[[layer]]\ncoat = "epoxy primer"\nrate = "150 sf/gal"\n'
    system, _ = read_system(text, "ours.toml", "ours")
    product = system.coats[0].product
    assert product.packs == pytest.approx((1.5 * 3.785411784,))
    assert product.times.pail_min == 30 and len(product.parts) == 2


@pytest.mark.parametrize(
    ("change", "faults"),
    [
        (("surface =", "surfase ="), ["3: key-unknown"]),
        (('"broom"', '"brom"'), ["3: value-unknown"]),
        (('dry_film = "200 um"', ""), ["10: rate-missing"]),
        (('dry_film = "200 um"', 'dry_film = "0 um"'), ["14: film-range"]),
        (('dry_film = "200 um"', 'rate = "160"'), ["14: rate-no-unit"]),
        (('"house base"\non', '"hose base"\non'), ["12: value-unknown"]),
        (('"10 L"', '"10 L", "4 kg"'), ["5: packs-mixed"]),
        (('"10 L"', '"10 L", "a pail"'), ["5: pack-unreadable"]),
        (("first = true", "frist = true"), ["15: key-unknown"]),
        (
            ('solids = "80 %"', 'colours = { grey = "50 %", white = "49.9 %" }'),
            ["14: solids-missing", "8: colours-sum"],
        ),
        (('"10 L"', '"0 L"'), ["5: pack-size"]),
        (('"10 L"', '"0 kg"'), ["5: pack-size"]),
        (('"10 L"', '"100 ft"'), ["5: pack-unreadable"]),
        (('"grit, 50 g/L"', '"house base, 50 g/L"'), ["16: grit-measure"]),
        (('surface = "broom"', 'surface = "broom"\njoint_filler = "flake"'), ["4: joint-measure"]),
        (('surface = "broom"', 'surface = "broom"\njoint_sealant = "grit"'), ["4: joint-measure"]),
        (('"10 L"', '"1.5"'), ["5: pack-unreadable"]),
        (('"10 L"', '"a pail"'), ["5: pack-unreadable"]),
        (('"80 %"', '"0 %"'), ["14: solids-missing", "8: value-range"]),
        (('"80 %"', '"101 %"'), ["8: value-range"]),
        (('thrown = "1 kg/m2"', 'thrown = "0 kg/m2"'), ["20: value-range"]),
        (('thrown = "1 kg/m2"', 'thrown = "1 kg/m2"\nback = "100 %"'), ["21: value-range"]),
        (('thrown = "1 kg/m2"', 'thrown = "1 kg/m2"\nvertical_back = "-1 %"'), ["21: value-range"]),
        (("first = true", 'waste = "100 %"'), ["15: value-range"]),
        (('broadcast = "flake"', 'broadcast = "house base"'), ["19: broadcast-measure"]),
        (('packs = ["10 L"]', 'packs = ["10 kg"]'), ["12: coat-measure"]),
        (
            ('packs = ["10 L"]', 'packs = ["10 L"]\nrecoat_min = "9 h"\nrecoat_max = "8 h"'),
            ["12: times-order", "7: times-order"],
        ),
        (('mix = "3:1"', 'mix = "3 to 1"'), ["6: ratio-unreadable"]),
        (('"grit, 50 g/L"', '"grit"'), ["16: grit-unreadable"]),
        (('thrown = "1 kg/m2"', ""), ["17: key-missing"]),
        (('broadcast = "flake"', 'broadcast = "flake"\nwork = "scrape"'), ["20: layer-kind"]),
        (('name = "flake"', 'name = "base"'), []),
    ],
)
def test_faults_of_a_system_file(change: tuple[str, str], faults: list[str]) -> None:
    """All faults of a file together, each with its line."""
    text = OURS.replace(*change)
    assert text != OURS
    if faults:
        assert sorted(faults_of(text)) == sorted(faults)
    else:
        assert faults_of(text)[0].endswith("layer-twice")


def test_time_that_a_product_has_not_is_taken_away_alone() -> None:
    """Without a pail life the floor's stays what is stated, in minutes, and days to drive in hours."""
    text = OURS.replace('pack = "kit"', 'pail = "none"\nfloor = "0.5 h"\nvehicle = "3 d"')
    times = read_system(text, "ours.toml", "ours")[0].coats[0].product.times
    assert (times.pail_min, times.floor_min, times.vehicle_h) == (None, 30.0, 72.0)


def test_reclaim_is_a_range() -> None:
    """What may be swept up and thrown again is stated as two shares, in either order."""
    text = OURS.replace('thrown = "1 kg/m2"', 'thrown = "1 kg/m2"\nreclaim = ["50 %", "30 %"]\nback = "45 %"')
    flake = read_system(text, "ours.toml", "ours")[0].broadcasts[0]
    assert (flake.reclaim_low, flake.reclaim_high, flake.back) == pytest.approx((0.3, 0.5, 0.45))


def test_share_out_of_range_is_told_in_percent() -> None:
    """The figure is shown as it was typed, with the range that is wanted."""
    with pytest.raises(DataFileError) as caught:
        read_system(OURS.replace("first = true", 'waste = "120 %"'), "ours.toml", "ours")
    (fault,) = caught.value.faults
    assert fault.text == "waste of 120 %; 0 % to 100 % is wanted"


def test_grades_run_from_smooth_to_rough() -> None:
    """Trade brief 4.4: factors 1.00, 1.10, 1.15, 1.30, 1.50 in trade words."""
    assert [(g.name, g.factor) for g in grades()] == [
        ("trowelled", 1.00),
        ("ordinary", 1.10),
        ("broom", 1.15),
        ("weathered", 1.30),
        ("aggregate", 1.50),
    ]


def test_layer_lookup_refuses_what_is_no_coat() -> None:
    """Asking for the coverage of flake is the caller's mistake."""
    system = load_system("outdoor-full-flake")
    with pytest.raises(TypeError):
        system.coverage_m2_per_l("flake")
    with pytest.raises(KeyError):
        system.coverage_m2_per_l("nothing")
    assert isinstance(system.layer("primer"), Coat)


def test_own_system_extends_a_shipped_one(tmp_path: Path) -> None:
    """Only what differs is stated: a blend and other boxes; layers, rates and clock are the shipped ones."""
    text = 'extends = "outdoor-full-flake"\ntitle = "Ours"\n[product.flake]\npacks = ["50 lb"]\n'
    text += 'colours = { grey = "50 %", black = "30 %", white = "20 %" }\n'
    (tmp_path / "ours.toml").write_text(text, encoding="utf-8")
    ours, shipped_one = load_system("ours", tmp_path), load_system("outdoor-full-flake")
    assert ours.title == "Ours" and ours.outdoors
    assert [layer.name for layer in ours.layers] == [layer.name for layer in shipped_one.layers]
    flake = ours.broadcasts[0].product
    assert flake.packs == pytest.approx((50 * 0.45359237,))
    assert dict(flake.colours) == pytest.approx({"grey": 0.5, "black": 0.3, "white": 0.2})
    assert ours.source == f"{tmp_path / 'ours.toml'}, outdoor-full-flake.toml (shipped)"


def test_densities_alone_go_to_the_parts_of_the_shipped_product() -> None:
    """A file that states what the data sheet adds keeps the shipped mix of 2:1."""
    text = 'extends = "clear-seal"\n[product."epoxy primer"]\ndensities = ["9.6 lb/gal", "8.4 lb/gal"]\n'
    text += '[[layer]]\ncoat = "epoxy primer"\nrate = "160 sf/gal"\n'
    a, b = read_system(text, "ours.toml", "ours")[0].coats[0].product.parts
    assert (a.share, b.share) == pytest.approx((2 / 3, 1 / 3))
    assert a.density_kg_per_l == pytest.approx(9.6 * 0.45359237 / 3.785411784)


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ('extends = "outdoor-full-flak"\n', "value-unknown"),
        ('extends = "clear-seal"\n[product.flake]\ncolours = { a = "60 %", b = "30 %" }\n', "colours-sum"),
        ('[[layer]]\ncoat = "epoxy primer"\nrate = "160 sf/gal"\non = ["border"]\n', "border-missing"),
    ],
)
def test_faults_of_extending_blends_and_borders(text: str, code: str) -> None:
    """An unknown base, colours that do not make a whole, a border without a width."""
    assert faults_of(text)[0].endswith(code)


README = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
SYSTEMS = [
    block
    for block in re.findall(r"```toml\n(.*?)```", README, re.DOTALL)
    if "[product" in block or "coat " in block
]


@pytest.mark.parametrize("text", SYSTEMS, ids=["extending", "layers"])
def test_system_files_of_the_readme_read(text: str) -> None:
    """Both examples are systems without a fault."""
    system, _ = read_system(text, "README.md", "ours")
    assert system.coats and system.title
