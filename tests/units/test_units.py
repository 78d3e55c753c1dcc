"""Quantities as builders write them, against published factors; and never anything but a UnitError."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pytest import approx

from noonwall.errors import UnitError
from noonwall.units import KINDS, SI_UNIT, UNITS, in_both, in_reader_units, parse, show, significant

QUIET = settings(max_examples=150, deadline=None, derandomize=True)

# Witness: NIST Special Publication 811 (2008 edition), appendix B.8 and B.9, the factor column (from memory;
# the Btu, foot, pound and psf rows compared with public conversion tables).
PUBLISHED = [
    ("1 in", "length", 2.54e-2, 1e-12),
    ("1 ft", "length", 3.048e-1, 1e-12),
    ("1 yd", "length", 9.144e-1, 1e-12),
    ("1 mile", "length", 1.609344e3, 1e-12),
    ("1 sq in", "area", 6.4516e-4, 1e-12),
    ("1 ft2", "area", 9.290304e-2, 1e-12),
    ("1 acre", "area", 4.046873e3, 1e-6),
    ("1 cu ft", "volume", 2.831685e-2, 1e-6),
    ("1 gallon", "volume", 3.785412e-3, 1e-6),
    ("1 cord", "volume", 3.624556, 1e-6),
    ("1 lb", "mass", 4.5359237e-1, 1e-12),
    ("1 oz", "mass", 2.834952e-2, 1e-6),
    ("1 short ton", "mass", 9.071847e2, 1e-6),
    ("1 lb/ft3", "density", 1.601846e1, 1e-6),
    ("1 ft3/min", "flow", 4.719474e-4, 1e-6),
    ("1 cfm", "flow", 4.719474e-4, 1e-6),
    ("1 psi", "pressure", 6.894757e3, 1e-6),
    ("1 psf", "pressure", 4.788026e1, 1e-6),
    ("1 inH2O", "pressure", 2.490889e2, 1e-6),
    ("1 mm of water", "pressure", 9.80665, 1e-12),
    ("1 inHg", "pressure", 3.386389e3, 1e-6),
    ("1 mmHg", "pressure", 1.333224e2, 1e-6),
    ("1 mbar", "pressure", 1.0e2, 1e-12),
    ("1 Btu/h", "power", 2.930711e-1, 1e-6),
    ("1 hp", "power", 7.456999e2, 1e-6),
    ("1 Btu/(h ft2 F)", "u_value", 5.678263, 1e-6),
    ("1 h ft2 F/Btu", "r_value", 1.761102e-1, 1e-6),
    ("1 Btu ft/(h ft2 F)", "conductivity", 1.730735, 1e-6),
    ("1 Btu in/(h ft2 F)", "conductivity", 1.442279e-1, 1e-6),
    ("1 Btu/(h ft F)", "loss_per_length", 1.730735, 1e-6),
    ("1 Btu/(lb F)", "specific_heat", 4.1868e3, 1e-9),
    ("1 degF", "temperature_difference", 5.0 / 9.0, 1e-12),
    ("1 deg", "angle", 1.0, 1e-12),
    ("1 rad", "angle", 57.29578, 1e-7),
    ("1 minute", "angle", 1.0 / 60.0, 1e-12),
    ("32 degF", "temperature", 0.0, 1e-9),
    ("212 degF", "temperature", 100.0, 1e-9),
    ("273.15 K", "temperature", 0.0, 1e-9),
    ("-40 F", "temperature", -40.0, 1e-9),
]


@pytest.mark.parametrize(("text", "kind", "expected", "rel"), PUBLISHED)
def test_factors_are_the_published_ones(text, kind, expected, rel):
    assert parse(text, kind) == approx(expected, rel=rel, abs=1e-9)


# Witness: arithmetic on exact factors (inch 25.4 mm, foot 304.8 mm).
SPELLINGS = [
    ("8 ft", "length", 2.4384),
    ("2 ft 6 in", "length", 0.762),
    ("2' 6\"", "length", 0.762),
    ("2\u2032 6\u2033", "length", 0.762),
    ("8 ft .5 in", "length", 2.4511),
    ("3/8 in", "length", 0.009525),
    ("3 1/2 in", "length", 0.0889),
    ("3-1/2 in", "length", 0.0889),
    ("3½ in", "length", 0.0889),
    ("½ in", "length", 0.0127),
    ("90mm", "length", 0.09),
    ("90 MM", "length", 0.09),
    ("9 cm", "length", 0.09),
    ("1e-1 m", "length", 0.1),
    ("0.09", "length", 0.09),
    ("+90 mm", "length", 0.09),
    ("1 h 30 min", "time", 5400.0),
    ("12 sq. ft.", "area", 12 * 0.09290304),
    ("12 square feet", "area", 12 * 0.09290304),
    ("150 cm²", "area", 0.015),
    ("20 L/s", "flow", 0.02),
    ("20 litres per second", "flow", 0.02),
    ("360 m³/h", "flow", 0.1),
    ("6 kW", "power", 6000.0),
    ("12000 Btu/hr", "power", 12000 * 0.29307107),
    ("12000 BTUH", "power", 12000 * 0.29307107),
    ("0.1 in. w.g.", "pressure", 24.90889),
    ('0.1" wc', "pressure", 24.90889),
    ("0.1 inches of water", "pressure", 24.90889),
    ("0.35 W/m2K", "u_value", 0.35),
    ("0.35 W/(m²·K)", "u_value", 0.35),
    ("0.35 W/m²/K", "u_value", 0.35),
    ("0.35 W m-2 K-1", "u_value", 0.35),
    ("0.35 W/m^2-K", "u_value", 0.35),
    ("0.35 w/m2k", "u_value", 0.35),
    ("12 Btu/h ft2 F", "u_value", 68.13916),
    ("12 BTU/hr-ft²-°F", "u_value", 68.13916),
    ("12 Btu per hour per square foot per degree F", "u_value", 68.13916),
    ("R-19", "r_value", 3.346093),
    ("R19", "r_value", 3.346093),
    ("r 19", "r_value", 3.346093),
    ("RSI 3.3", "r_value", 3.3),
    ("RSI-3.3", "r_value", 3.3),
    ("5 %", "share", 0.05),
    ("5 percent", "share", 0.05),
    ("46.1 N", "latitude", 46.1),
    ("46.1 S", "latitude", -46.1),
    ("46 deg 6 min N", "latitude", 46.1),
    ("46° 6′ 0″ N", "latitude", 46.1),
    ("46.1 degrees", "latitude", 46.1),
    ("67.8 W", "longitude", -67.8),
    ("67.8 degrees West", "longitude", -67.8),
    ("8 deg east of south", "bearing", 172.0),
    ("8 degrees W of S", "bearing", 188.0),
    ("15 deg east of due south", "bearing", 165.0),
    ("10 deg west of north", "bearing", 350.0),
    ("south-southeast", "bearing", 157.5),
    ("south", "bearing", 180.0),
    ("172", "bearing", 172.0),
    ("7 ach", "per_hour", 7.0),
    ("7 /h", "per_hour", 7.0),
    ("7 1/h", "per_hour", 7.0),
    ("-0.35 %/K", "per_kelvin", -0.0035),
    ("12 in/yr", "growth", 0.3048),
    ("1 %/year", "per_year", 0.01),
    ("1 cm2/m", "leak_per_length", 1e-4),
    ("20 mΩ", "resistance", 0.02),
    ("400 mA", "current", 0.4),
    ("43 °C", "temperature", 43.0),
    ("43 degrees Celsius", "temperature", 43.0),
    ("8 C", "temperature_difference", 8.0),
]


@pytest.mark.parametrize(("text", "kind", "expected"), SPELLINGS)
def test_spellings_of_builders_are_understood(text, kind, expected):
    assert parse(text, kind) == approx(expected, rel=1e-6)


# What would be wrong to guess, and a word that the one-line answer must hold.
REFUSED = [
    ("", "length", "holds no number"),
    ("m", "length", "does not read"),
    ("nan", "length", "does not read"),
    ("inf", "length", "does not read"),
    ("1e999 m", "length", "not a finite number"),
    ("9,5 m", "length", "comma"),
    ("1,500 m", "length", "comma"),
    ("5 furlong", "length", "unknown unit"),
    ("5 metter", "length", "nearest"),
    ("90 C", "length", "is a temperature, wanted a length"),
    ("90 m2", "length", "is an area"),
    ("8 ft 3 ft", "length", "more than one quantity"),
    ("6 in 2 ft", "length", "more than one quantity"),
    ("10 20 mm", "length", "no unit"),
    ("8 - 9 ft", "length", "reads like"),
    ("10² m", "length", "raised digit"),
    ("1/0 in", "length", "divides by zero"),
    ("12000 Btu", "power", "amount of heat"),
    ("3 ton", "mass", "short or metric"),
    ("43 deg", "temperature", "deg C"),
    ("40-50 C", "temperature", "is no temperature"),
    ("-300 C", "temperature", "absolute zero"),
    ("5 K 3 K", "temperature", "is no temperature"),
    ("5 %", "per_year", "per what"),
    ("5 MW", "length", "wanted a length"),
    ("5 W/", "u_value", "cut short"),
    ("46 N", "longitude", "reads like"),
    ("30 E", "latitude", "reads like"),
    ("2.60 USD", "money", "currency"),
    ("R-19 m2K/W", "r_value", "reads like"),
    ("x" * 200, "length", "too long"),
    ("9\n9 m", "length", "no unit"),
    (True, "length", "is no quantity"),
    (None, "length", "is no quantity"),
    (math.nan, "length", "finite"),
    (math.inf, "power", "finite"),
    (10**400, "length", "finite"),
]


@pytest.mark.parametrize(("value", "kind", "told"), REFUSED)
def test_refuses_in_one_line_what_could_be_misread(value, kind, told):
    with pytest.raises(UnitError) as caught:
        parse(value, kind)
    assert told in str(caught.value)
    assert "\n" not in str(caught.value)
    assert len(str(caught.value)) < 300


def test_degrees_of_arc_are_not_read_as_south():
    assert parse("46 degs", "latitude") == 46.0
    assert parse("46 degrees", "latitude") == 46.0


def test_a_difference_of_temperatures_is_no_temperature():
    assert parse("50 degF", "temperature") == approx(10.0)
    assert parse("50 degF", "temperature_difference") == approx(250.0 / 9.0)


@pytest.mark.parametrize("kind", KINDS)
def test_every_example_of_a_kind_reads(kind):
    for example in KINDS[kind].examples:
        assert math.isfinite(parse(example, kind))
    assert parse(f"2 {SI_UNIT[kind]}".strip(), kind) == approx(2.0)


def test_units_are_few_enough_to_be_read_through():
    assert 50 < len(UNITS) < 90


SIZES = st.floats(1e-4, 1e5, allow_nan=False)


@QUIET
@given(value=SIZES, kind=st.sampled_from(sorted(KINDS)), system=st.sampled_from(["metric", "us"]))
def test_what_is_shown_reads_back(value, kind, system):
    text = show(value, kind, system, digits=9)
    if kind in ("temperature", "temperature_difference"):
        assert parse(text, kind) == approx(value, abs=0.06)
    elif kind in ("angle", "latitude", "longitude", "bearing"):
        assert parse(text, kind) == approx(value, abs=1e-8)
    else:
        assert parse(text, kind) == approx(value, rel=1e-7)


@QUIET
@given(value=SIZES, kind=st.sampled_from(sorted(KINDS)), system=st.sampled_from(["metric", "us"]))
def test_number_and_unit_for_a_table_read_back_exactly(value, kind, system):
    number, unit = in_reader_units(value, kind, system)
    assert parse(f"{number!r} {unit}".strip(), kind) == approx(value, rel=1e-9, abs=1e-9)


@QUIET
@given(st.floats(-1e4, 1e4, allow_nan=False), st.integers(2, 6))
def test_significant_digits_are_kept(number, digits):
    assert float(significant(number, digits)) == approx(number, rel=0.51 * 10 ** (1 - digits), abs=1e-300)
    assert "e" not in significant(number, digits)


@QUIET
@given(st.text(max_size=40), st.sampled_from(sorted(KINDS)))
def test_any_text_is_a_number_or_one_line(text, kind):
    try:
        assert math.isfinite(parse(text, kind))
    except UnitError as error:
        assert "\n" not in str(error)


UNITLIKE = st.text(alphabet="0123456789 ./-'\"°%²½ftinmhrBtuFCKWRSNEof", max_size=24)


@QUIET
@given(UNITLIKE, st.sampled_from(sorted(KINDS)))
def test_almost_units_are_numbers_or_one_line(text, kind):
    try:
        assert math.isfinite(parse(text, kind))
    except UnitError as error:
        assert "\n" not in str(error)


def test_shows_sensible_digits():
    shown = [
        show(0.09, "length"),
        show(2.4, "length"),
        show(0.1, "flow", "us"),
        show(3516.85, "power"),
        show(43.333, "temperature", "us"),
        show(0.05, "share"),
        show(7.0, "per_hour"),
        show(math.nan, "length"),
        show(0.0, "length"),
        show(0.0, "pressure"),
    ]
    assert shown == ["90 mm", "2.4 m", "212 cfm", "3.52 kW", "110 °F", "5 %", "7/h", "-", "0 m", "0 Pa"]


def test_metric_figures_in_a_sentence_have_the_us_figure_beside_them() -> None:
    # Factors: NIST SP 811 (2008), appendix B; printed to two digits.
    assert (
        in_both("80 Pa, or twice the rated pressure", "us")
        == "0.32 inwg (80 Pa), or twice the rated pressure"
    )
    assert in_both("at 60 to 75 °C, not 100 °C (212 °F)", "us") == (
        "at 140 to 167 °F (60 to 75 °C), not 212 °F (100 °C)"
    )
    assert in_both("38 mm wide every 1.2 m, 3 W/m2K, 90 m3/h", "us") == (
        "1.5 in (38 mm) wide every 3.9 ft (1.2 m), 3 W/m2K, 90 m3/h"
    )
    assert in_both("at 1,500 m, 3 km off", "us") == "at 4,900 ft (1,500 m), 1.9 miles (3 km) off"
    assert in_both("at 60 °C") == "at 60 °C"


@pytest.mark.parametrize("text", ["8 ft 3", "8' 3", "8ft 3", "8 feet 3"])
def test_what_follows_feet_alone_is_inches(text: str) -> None:
    assert parse(text, "length") == approx(99 * 0.0254)


@pytest.mark.parametrize("text", ["8 ft 12", "8 m 3", "3 in 4", "8 ft 3 4"])
def test_no_other_number_goes_without_its_unit(text: str) -> None:
    with pytest.raises(UnitError):
        parse(text, "length")


def test_examples_begin_with_the_readers_units() -> None:
    with pytest.raises(UnitError, match=r'a length reads like "3 1/2 in", "8 ft 6 in", "90 mm" or "2.4 m"'):
        parse("8 flurbs", "length", "us")
    with pytest.raises(UnitError, match=r'a length reads like "90 mm", "2.4 m", "3 1/2 in" or "8 ft 6 in"'):
        parse("8 flurbs", "length")


def test_a_leak_of_an_edge_is_told_for_each_foot() -> None:
    # Witness: 1 cm2/m = 0.155 in2 over 3.281 ft, by the exact inch and foot.
    assert in_both("1 cm2 for each metre of edge", "us") == (
        "0.047 in2 for each foot (1 cm2 for each metre) of edge"
    )
