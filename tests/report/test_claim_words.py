"""A claim as somebody types it, and what is said to it: beside what was measured, and what it would take."""

from __future__ import annotations

from dataclasses import replace
from typing import Literal

import pytest

from noonwall.errors import UnitError
from noonwall.logs.claim import Beside, hold
from noonwall.logs.worth import Worth
from noonwall.model.file import from_text
from noonwall.model.templates import demo_text
from noonwall.report.claim_words import claim_rows, claim_sentences, claim_verdict, refuse_other_than_a_year
from noonwall.report.heat_typed import MOST_LETTERS, claim_examples, heat_typed
from noonwall.report.reader import Reader

SUN_KWH = 6000.0


# Witness: NIST SP 811, appendix B: 1 Btu (IT) = 1,055.056 J, 1 therm = 100,000 Btu; fuels by the catalogue's rows.
@pytest.mark.parametrize(
    ("written", "system", "kwh"),
    [
        ("4350", "metric", 4350.0),
        (" 4,350 kWh", "us", 4350.0),
        ("3412.142", "us", 1000.0),
        ("1.5 MWh", "us", 1500.0),
        ("10 MMBtu", "metric", 2930.711),
        ("10 MMBTU", "us", 2930.711),
        ("10 million BTU", "metric", 2930.711),
        ("10 million BTU a year", "us", 2930.711),
        ("10,000,000 btus per year", "us", 2930.711),
        ("100 therms", "metric", 2930.711),
        ("1 therm/yr", "metric", 29.30711),
        ("36 MJ", "us", 10.0),
        ("3.6 GJ", "metric", 1000.0),
        ("90 gallons of oil", "us", 90 * 40.59 * 0.80),
        ("90 gal heating oil", "us", 90 * 40.59 * 0.80),
        ("2 cords", "us", 2 * 5861.0 * 0.60),
        ("3 m3 of wood", "metric", 3 * 1617.0 * 0.60),
        ("12 bags of pellets", "us", 12 * 96.1 * 0.80),
        ("4350 kWh/a", "metric", 4350.0),
        ("4350 kWh / a", "metric", 4350.0),
        ("4350 kWh/yr", "us", 4350.0),
        ("4350 kWh per year", "us", 4350.0),
        ("4350 kWh p.a.", "us", 4350.0),
        ("  2 \t  cords" + " " * 500 + "of   wood ", "us", 2 * 5861.0 * 0.60),
    ],
)
def test_heat_is_read_as_typed(written: str, system: str, kwh: float) -> None:
    found = heat_typed(written, Reader(system))  # type: ignore[arg-type]
    assert found.kwh == pytest.approx(kwh, rel=1e-6)
    assert found.yearly is any(word in written for word in ("year", "/yr", "/a", "/ a", "p.a."))


@pytest.mark.parametrize("each", ["1 ", "x ", "m3", "a ", "/ ", ". "])
def test_nasty_text_is_answered_and_long_text_refused(each: str) -> None:
    # The longest that is looked at, blanks wherever they may stand, and no end that fits.
    for text in ("1" + " " * 5000 + "x1", ("1 " + each * 40)[: MOST_LETTERS - 1] + "1"):
        with pytest.raises(UnitError, match="wanted an amount of heat"):
            heat_typed(text, Reader())
    for text in ("1 kWh " + each * 10_000 + "1", "1" * (MOST_LETTERS + 1)):
        with pytest.raises(UnitError, match="wanted an amount of heat") as told:
            heat_typed(text, Reader())
        assert len(str(told.value)) < 200


@pytest.mark.parametrize(
    "written",
    ["", "much", "0", "-5", "1e9", "12 apples", "99999999999999999999", "1,2,3", "3 cords of apples"],
)
def test_what_is_no_heat_is_one_line(written: str) -> None:
    with pytest.raises(UnitError, match="wanted an amount of heat") as told:
        heat_typed(written, Reader())
    assert "\n" not in str(told.value)


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("10 MBtu", "a thousand Btu to some and a million"),
        ("90 gallons", 'gallons of what\\? Write for example "90 gallons of oil"'),
        ("2 tons", 'short tons of what\\? Write for example "2 short tons of pellets"'),
        ("1 ton", 'short tons of what\\? Write for example "1 short ton of pellets"'),
        ("5 m3", 'm3 of what\\? Write for example "5 m3 of natural gas"'),
        ("10 million", "million what"),
        ("2 cords of oil", "heating oil comes by gallon"),
    ],
)
def test_what_may_mean_two_things_is_asked(written: str, said: str) -> None:
    with pytest.raises(UnitError, match=said):
        heat_typed(written, Reader("us"))


def test_the_shops_own_heater_burns_its_fuel_as_it_is_described() -> None:
    heater = from_text(demo_text(), "demo").shop.heater
    assert heater is not None and heater.fuel == "propane"
    found = heat_typed("10 gallons of propane", Reader(), heater.model_copy(update={"efficiency": 0.5}))
    assert found.kwh == pytest.approx(10 * 26.80 * 0.5) and "your heater's" in str(found.how)


@pytest.mark.parametrize(
    ("written", "number", "unit"),
    [
        ("I saved 200 gallons", 200.0, 26.80),
        ("saved about 200 gallons last winter", 200.0, 26.80),
        ("200 gal less", 200.0, 26.80),
        ("about 2 cords", 2.0, None),
        ("a cord of wood", 1.0, None),
        ("half a cord", 0.5, None),
        ("1 1/2 cords", 1.5, None),
        ("Two cords of wood", 2.0, None),
    ],
)
def test_words_around_an_amount_are_understood_and_a_bare_one_is_the_shops_fuel(
    written: str, number: float, unit: float | None
) -> None:
    heater = from_text(demo_text(), "demo").shop.heater
    assert heater is not None
    found = heat_typed(written, Reader("us"), heater)
    assert found.kwh == pytest.approx(
        number * (5861.0 * 0.60 if unit is None else unit * heater.efficiency), rel=1e-6
    )
    assert found.saved and ("taken as propane, the shop's fuel" in str(found.how)) is (unit is not None)


def test_only_fuel_and_what_is_said_to_be_saved_is_a_saving() -> None:
    assert not heat_typed("4350 kWh", Reader()).saved and not heat_typed("15 million Btu", Reader()).saved
    assert heat_typed("I saved 4350 kWh", Reader()).saved and heat_typed("2 cords", Reader()).saved


@pytest.mark.parametrize("system", ["metric", "us"])
def test_examples_begin_with_the_shops_own_fuel(system: Literal["metric", "us"]) -> None:
    heater = from_text(demo_text(), "demo").shop.heater
    assert heater is not None
    assert claim_examples(Reader(system), heater).startswith("Or with its unit: 50 gallons of propane, ")
    with pytest.raises(UnitError, match="such as 50 gallons of propane, 15 million Btu or 4350 k"):
        heat_typed("apples", Reader(system), heater)
    wood = heater.model_copy(update={"fuel": "cordwood", "price_unit": None})
    assert claim_examples(Reader("us"), wood).startswith("Or with its unit: 2 cords of wood, ")


def spared(kwh: float) -> Beside:
    """A wall that was calculated to bring 2,200 kWh, of which 2,000 were measured give or take 400."""
    return replace(known(), spared=Worth("propane", kwh, kwh / 21.44, "gallon", None, 0.8))


@pytest.mark.parametrize(
    ("kwh", "verdict", "said"),
    [
        (5000.0, "refused", "cannot be true"),
        (
            2200.0,
            "possible by the sun, but more than the wall saves",
            "the claim is more",
        ),  # in the span of heat
        (1000.0, "possible", "between 34 gallons and 51 gallons, so it may well be true"),
        (300.0, "possible by the sun, but less than the wall saves", "the claim is less"),
    ],
)
def test_fuel_saved_is_held_against_what_the_wall_saves(kwh: float, verdict: str, said: str) -> None:
    # By hand: 1,000 kWh calculated, 2,000 of 2,200 came in: 909 kWh, less 20 %: 727 kWh, 34 gallons of 21.44 kWh.
    claim = replace(hold(kwh, SUN_KWH), saved=True)
    assert claim_verdict(claim, spared(1000.0)) == verdict
    told = claim_sentences(claim, spared(1000.0), Reader())
    assert any(said in line for line in told)
    if not claim.refused:
        assert "the wall saved 47 gallons of propane" in told[0] and "by the readings 91 %" in told[0]


def test_a_saving_that_is_not_known_is_never_called_likely() -> None:
    claim = replace(hold(1000.0, SUN_KWH), saved=True)
    assert claim_verdict(claim, known()) == "possible by the sun; what the wall saves is not known"
    assert "no heater" in claim_sentences(claim, known(), Reader())[0]
    assert "saved the heater nothing" in claim_sentences(claim, spared(-5.0), Reader())[0]
    assert claim_verdict(claim, spared(-5.0)) == "possible by the sun, but more than the wall saves"


def test_what_has_no_plural_is_told_without() -> None:
    assert str(heat_typed("5 m3 of natural gas", Reader()).how).startswith("5 m3 of natural gas")
    assert str(heat_typed("2 tons of pellets", Reader()).how).startswith("2 short tons of pellets")


def test_a_years_figure_needs_a_year() -> None:
    refuse_other_than_a_year(365)
    with pytest.raises(UnitError, match="these are of 28 days"):
        refuse_other_than_a_year(28)


def known(share: float = 1.0) -> Beside:
    return Beside(
        90, share, 2000.0, 400.0, 100.0 if share < 1.0 else 0.0, 2200.0, 0.7 * SUN_KWH, 0.6 * SUN_KWH
    )


@pytest.mark.parametrize(
    ("kwh", "verdict", "said"),
    [
        (5000.0, "refused", "cannot be true of this wall in this time: no more than 4,200 kWh"),
        (4000.0, "doubtful", "would have to be 2.0 times what the readings say"),
        (3000.0, "possible", "would have to be 1.5 times what the readings say"),
        (2300.0, "possible", "inside that span, so it may well be true. Above 4,200 kWh"),
        (1000.0, "possible", "is smaller than they say, by 50 %"),
    ],
)
def test_each_claim_is_told_what_it_would_take(kwh: float, verdict: str, said: str) -> None:
    claim = hold(kwh, SUN_KWH)
    sentences = claim_sentences(claim, known(), Reader())
    assert claim.verdict == verdict
    assert sentences[0] == "By the readings it was between 1,600 kWh and 2,400 kWh."
    assert said in sentences[1]


@pytest.mark.parametrize("system", ["metric", "us"])
def test_the_claim_stands_beside_what_was_measured_and_calculated(system: str) -> None:
    reader = Reader(system)  # type: ignore[arg-type]
    rows = claim_rows(hold(3000.0, SUN_KWH), known(0.9), reader)
    assert [what for what, _, _ in rows][:3] == [
        "claimed", "measured, in 90 % of the hours", "calculated for that weather, all hours",
    ]  # fmt: skip
    whole = claim_rows(hold(3000.0, SUN_KWH), replace(known(1.0), unmeasured_kwh=0.0), reader)
    assert [what for what, _, _ in whole][1:3] == ["measured", "calculated for the weather that was"]
    assert rows[1][1] == f"{reader.heat_text(2000.0)} ± {reader.heat_text(400.0)}"
    assert rows[4][1:] == (reader.heat_text(4200.0), "70 %")
    assert (
        "without readings taken as calculated"
        in claim_sentences(hold(3000.0, SUN_KWH), known(0.9), reader)[0]
    )


@pytest.mark.parametrize("system", ["metric", "us"])
def test_every_example_of_a_claim_reads(system: Literal["metric", "us"]) -> None:
    told = claim_examples(Reader(system))
    listed, yearly = told.removeprefix("Or with its unit: ").split("; a year's figure as ")
    for example in [*listed.split(", "), yearly.split("'")[1]]:
        assert heat_typed(example, Reader(system)).kwh > 0.0
    assert ("GJ" in told) == (system == "metric")
