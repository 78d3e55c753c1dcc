"""The catalogues: every row has its source, and the numbers give what standards and makers print."""

from __future__ import annotations

import math

import pytest
from pytest import approx

from noonwall.errors import ProjectError
from noonwall.model import catalogue
from noonwall.model.absorber import Absorber
from noonwall.model.control import Fan
from noonwall.model.glazing import Glazing
from noonwall.model.layers import Layer
from noonwall.model.shop import Air, Slab
from noonwall.units import parse

SHELVES = ("material", "glazing", "face", "fuel", "tightness")


def test_every_row_names_its_source():
    sources = catalogue.sources()
    assert len(sources) > 60
    assert [row for row, source in sources.items() if len(source) < 20] == []


@pytest.mark.parametrize("shelf", SHELVES)
def test_no_two_rows_answer_to_one_word(shelf):
    words = [word for row in catalogue._rows(shelf) for word in (row["name"], *row.get("also", ()))]
    keys = [catalogue._key(word) for word in words]
    assert sorted(set(keys)) == sorted(keys)
    assert all(catalogue.search(shelf, word.upper()) for word in words)


def test_every_service_limit_names_its_source():
    for shelf in ("material", "glazing"):
        for row in catalogue._rows(shelf):
            assert ("service_limit_c" in row) == ("service_source" in row), row["name"]


@pytest.mark.parametrize("name", catalogue.names("material"))
def test_materials_are_within_what_stuff_can_be(name):
    found = catalogue.material(name)
    assert 1.0 <= found.density_kg_m3 <= 9000.0
    assert 300.0 <= found.specific_heat_j_kgk <= 2100.0
    assert 0.02 <= found.emittance <= 0.98
    assert found.conductivity_w_mk is None or 0.02 <= found.conductivity_w_mk <= 400.0


# Witness: California Joint Appendix 4, table 4.5.2 (R of boards, h ft2 F/Btu); boards differ.
@pytest.mark.parametrize(
    ("material", "thickness", "printed"), [("gypsum board", "1/2 in", 0.45), ("plywood", "5/8 in", 0.78)]
)
def test_boards_have_about_the_printed_resistance(material, thickness, printed):
    solid = catalogue.resolve_layer(Layer(material=material, thickness=parse(thickness, "length")))
    assert solid.resistance_m2k_w / parse("1 h ft2 F/Btu", "r_value") == approx(printed, rel=0.4)


# Witness: ISO 6946:2007, table 2, horizontal heat flow: 5, 7, 25, 50 mm.
@pytest.mark.parametrize(
    ("thickness", "printed"), [(0.005, 0.11), (0.007, 0.13), (0.025, 0.18), (0.050, 0.18)]
)
def test_air_spaces_have_the_printed_resistance(thickness, printed):
    solid = catalogue.resolve_layer(Layer(material="air space", thickness=thickness))
    assert solid.resistance_m2k_w == approx(printed)


# Witness: d / lambda of ISO 6946 by hand: 12.5 mm gypsum .25, 11 mm OSB .13 W/mK.
def test_layers_resolve_to_thickness_over_conductivity():
    gypsum = catalogue.resolve_layer(Layer(material="gypsum board", thickness=0.0125))
    board = catalogue.resolve_layer(Layer(material="osb", thickness=0.011))
    assert gypsum.resistance_m2k_w == approx(0.0125 / 0.25)
    assert board.resistance_m2k_w == approx(0.011 / 0.13)
    assert board.heat_capacity_j_m2k == approx(0.011 * 600 * 1700)
    assert (gypsum.combustible, board.combustible) == (False, True)


def test_own_numbers_go_before_the_catalogue():
    own = Layer(material="softwood", thickness=0.02, conductivity=0.2, density=100.0, combustible=False)
    solid = catalogue.resolve_layer(own)
    assert solid.resistance_m2k_w == approx(0.1)
    assert solid.heat_capacity_j_m2k == approx(0.02 * 100.0 * 1600.0)
    assert not solid.combustible


def test_a_bare_resistance_stores_nothing_and_counts_as_combustible():
    solid = catalogue.resolve_layer(Layer(r=2.0))
    assert (solid.resistance_m2k_w, solid.heat_capacity_j_m2k, solid.combustible) == (2.0, 0.0, True)


@pytest.mark.parametrize(
    ("layer", "told"),
    [
        (Layer(), "needs a thickness"),
        (Layer(thickness=0.1), "material"),
        (Layer(material="softwood"), "needs a thickness"),
        (Layer(conductivity=0.1, thickness=0.1), "density"),
        (Layer(material="sofwood", thickness=0.1), 'nearest is "softwood"'),
        (Layer(material="cheese\nwheel", thickness=0.1), "no material"),
    ],
)
def test_layers_that_do_not_make_a_resistance_are_told(layer, told):
    with pytest.raises(ProjectError, match=told) as caught:
        catalogue.resolve_layer(layer)
    assert "\n" not in str(caught.value)


def still_u_w_m2k(spec):
    """U between ISO 6946 surface films, cavities by ISO 6946:2017 annex D, at 10 °C."""
    resistance = 0.13 + 0.04 + sum(skin.resistance_m2k_w for skin in spec.skins)
    radiative = 4.0 * 5.670374e-8 * 283.15**3
    for cavity in spec.cavities:
        air = max(1.25, 0.025 / cavity.depth_m)
        resistance += 1.0 / (air + radiative * cavity.exchange_emittance + cavity.web_conductance_w_m2k)
    return 1.0 / resistance


# Witness: makers' tables (ASTM C976: 0.72/0.62/0.60/0.56 Btu/h ft2 F for 4/6/8/10 mm twin-wall, 0.42 for
# 16 mm triple-wall; 2.8-3.0 W/m2K for 10 mm multiwall); glass: EN 673. Makers differ by 0.2 W/m2K.
@pytest.mark.parametrize(
    "name", [n for n in catalogue.names("glazing") if catalogue.glazing(n).published_u_w_m2k]
)
def test_sheets_lose_what_their_makers_print(name):
    spec = catalogue.glazing(name)
    assert still_u_w_m2k(spec) == approx(spec.published_u_w_m2k, abs=0.2)


def normal_transmittance(spec):
    """Sun let through by one skin at normal incidence: Fresnel, Stokes and Bouguer."""
    (skin,) = spec.skins
    r = ((skin.refractive_index - 1.0) / (skin.refractive_index + 1.0)) ** 2
    t = math.exp(-skin.extinction_1_m * skin.thickness_m)
    return t * (1.0 - r) ** 2 / (1.0 - (r * t) ** 2)


# Witness: public table of optical properties of glazing materials, short-wave transmittance: float 4 mm .83,
# acrylic 3 mm .82, polyester 0.1 mm .87.
@pytest.mark.parametrize("name", ["float glass", "acrylic 3 mm", "plastic film 0.1 mm"])
def test_single_sheets_pass_the_printed_sun(name):
    spec = catalogue.glazing(name)
    assert normal_transmittance(spec) == approx(spec.published_solar, abs=0.005)


# Witness: makers' tables: 0.8, 1.3, 1.5, 1.7 kg/m2 for 4, 6, 8, 10 mm twin-wall; 2.7 for 16 mm triple-wall.
@pytest.mark.parametrize("name", [n for n in catalogue.names("glazing") if "wall polycarbonate" in n])
def test_skins_and_ribs_weigh_what_the_sheet_weighs(name):
    row = catalogue._row("glazing", name)
    ribs = sum(row["web_thickness"] * depth / row["web_spacing"] for depth in row["cavity"])
    assert 1200.0 * (sum(row["thickness"]) + ribs) == approx(row["mass"], rel=0.05)
    assert sum(row["thickness"]) + sum(row["cavity"]) == approx(float(name.split()[-2]) / 1000.0, rel=0.001)


def test_more_ribs_pass_more_heat_and_less_radiation():
    wide = catalogue.exchange_emittance(0.9, 0.9, 0.01, 0.1)
    narrow = catalogue.exchange_emittance(0.9, 0.9, 0.01, 0.005)
    none = catalogue.exchange_emittance(0.9, 0.9, 0.01, None)
    # Witness: two grey parallel plates, 1 / (1/.9 + 1/.9 - 1), by hand.
    assert none == approx(0.8182, abs=5e-5)
    assert narrow < wide < none


def test_two_sheets_are_two_sheets_with_a_gap():
    one = catalogue.glazing_of(Glazing(kind="acrylic"))
    two = catalogue.glazing_of(Glazing(kind="acrylic", sheets=2, sheet_gap=0.03))
    assert len(two.skins) == 2 * len(one.skins)
    assert two.cavities[0].depth_m == 0.03
    assert two.mass_kg_m2 == 2.0 * one.mass_kg_m2
    double = catalogue.glazing_of(Glazing(kind="twin-wall 6 mm", sheets=2))
    assert (len(double.skins), len(double.cavities)) == (4, 3)


def test_own_skins_take_the_place_of_a_sheet():
    skin = {"thickness": 0.003, "refractive_index": 1.5, "extinction": 10.0, "emittance_in": 0.5}
    spec = catalogue.glazing_of(Glazing(kind="own", skin=(skin, skin)))
    assert len(spec.skins) == 2
    assert spec.skins[0].heat_capacity_j_m2k == approx(0.003 * 1200.0 * 1200.0)
    # Witness: 1 / (1/.5 + 1/.9 - 1), by hand.
    assert spec.cavities[0].exchange_emittance == approx(0.47368, abs=1e-5)


# Witness: WAC 51-11C-61061, table A106.1 (F-factors, Btu/h ft F), every printed cell in use.
F_FACTORS = [
    ("down the edge", 0, 2, 0.73),
    ("down the edge", 5, 2, 0.58),
    ("down the edge", 10, 2, 0.54),
    ("down the edge", 15, 2, 0.52),
    ("down the edge", 5, 4, 0.54),
    ("down the edge", 10, 4, 0.48),
    ("down the edge", 15, 4, 0.45),
    ("flat under the edge", 5, 2, 0.70),
    ("flat under the edge", 15, 2, 0.69),
    ("flat under the edge", 5, 4, 0.67),
    ("flat under the edge", 10, 4, 0.64),
    ("flat under the edge", 15, 4, 0.63),
    ("under the whole slab", 10, 4, 0.36),
    ("under the whole slab", 15, 4, 0.31),
    ("under the whole slab", 20, 4, 0.26),
    ("under the whole slab", 30, 4, 0.21),
]


@pytest.mark.parametrize(("way", "r", "feet", "printed"), F_FACTORS)
def test_slab_edges_lose_what_the_code_prints(way, r, feet, printed):
    slab = Slab(
        edge_insulation=parse(f"R-{r}", "r_value"),
        edge_insulation_depth=parse(f"{feet} ft", "length"),
        edge_insulation_way=way,
    )
    assert catalogue.edge_loss_w_mk(slab) == approx(printed * 1.730735, rel=1e-6)


def test_more_edge_insulation_never_loses_more():
    by_r = [catalogue.edge_loss_w_mk(Slab(edge_insulation=r / 4.0)) for r in range(20)]
    by_depth = [
        catalogue.edge_loss_w_mk(Slab(edge_insulation=2.0, edge_insulation_depth=d / 10.0)) for d in range(20)
    ]
    assert by_r == sorted(by_r, reverse=True)
    assert by_depth == sorted(by_depth, reverse=True)
    assert catalogue.edge_loss_w_mk(Slab(edge_loss=0.9, edge_insulation=2.0)) == 0.9


# Witness: US EIA, 91,452 Btu/gal, 138,500 Btu/gal, 100,000 Btu/therm, 20 MMBtu/cord, over 3412.14 Btu/kWh.
@pytest.mark.parametrize(
    ("name", "unit", "kwh"),
    [
        ("propane", "gallon", 26.802),
        ("propane", "litre", 7.0804),
        ("heating oil", "gallon", 40.590),
        ("natural gas", "therm", 29.307),
        ("cordwood", "cord", 5861.4),
        ("pellets", "short ton", 4806.4),
        ("electricity", "kWh", 1.0),
    ],
)
def test_fuels_hold_the_printed_heat(name, unit, kwh):
    assert catalogue.fuel(name).kwh_per[unit] == approx(kwh, rel=1e-3)


# Witness: 40 CFR 98 table C-1: propane 62.87, oil 73.96, gas 53.06 kg CO2/MMBtu; 293.071 kWh/MMBtu.
@pytest.mark.parametrize(("name", "kg"), [("propane", 62.87), ("heating oil", 73.96), ("natural gas", 53.06)])
def test_fuels_give_off_the_printed_carbon_dioxide(name, kg):
    assert catalogue.fuel(name).co2_kg_per_kwh == approx(kg / 293.071, rel=1e-3)


def test_every_usual_unit_is_one_of_the_fuels_units():
    for name in catalogue.names("fuel"):
        assert catalogue.fuel(name).usual_unit in catalogue.fuel(name).kwh_per


def test_a_measured_leak_goes_before_the_word():
    assert catalogue.air_changes_50pa(Air(tightness="leaky")) > catalogue.air_changes_50pa(
        Air(tightness="tight")
    )
    assert catalogue.air_changes_50pa(Air(tightness="leaky", air_changes_at_50_pa=4.0)) == 4.0
    words = [catalogue.tightness_50pa(name) for name in catalogue.names("tightness")]
    assert words == sorted(words)


def test_fan_curves_go_through_the_rated_point_and_fall():
    for pressure in (0.0, 12.0, 50.0):
        curve = catalogue.fan_curve(Fan(flow=0.1, pressure=pressure, power=30.0))
        flows, pressures = zip(*curve, strict=True)
        assert list(flows) == sorted(flows)
        assert list(pressures) == sorted(pressures, reverse=True)
        assert catalogue._between(flows, pressures, 0.1) == approx(pressure, abs=0.5)
    own = Fan(flow=0.1, power=30.0, curve=((0.2, 0.0), (0.0, 40.0)))
    assert catalogue.fan_curve(own) == ((0.0, 40.0), (0.2, 0.0))


def test_a_named_face_gives_its_figures_and_own_figures_go_before():
    layers = ({"material": "steel", "thickness": 0.001},)
    named = Absorber.model_validate({"face": "selective foil", "layer": layers})
    assert (named.absorptance, named.emittance) == (0.94, 0.15)
    mixed = Absorber.model_validate({"face": "selective foil", "emittance": 0.3, "layer": layers})
    assert (mixed.absorptance, mixed.emittance) == (0.94, 0.3)


@pytest.mark.parametrize("name", ["", "x" * 400, "tripel-wall polycarbonate 16 mm", "a\nb"])
def test_unknown_names_are_told_in_one_line(name):
    with pytest.raises(ProjectError, match="no glazing called") as caught:
        catalogue.glazing(name)
    assert "\n" not in str(caught.value)
    assert len(str(caught.value)) < 600
