"""A second logger read in later, with channels of roles that are there already, leaves the earlier months alone."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import pytest

from logs.lived import NEW_YEAR_S, keep, shed
from noonwall.logs import invent as made
from noonwall.logs.period import period_of
from noonwall.logs.recap import AS_IT_STANDS, NOT_PROVEN, Recap, recap
from noonwall.logs.records import Channel, Conversion
from noonwall.logs.seen import seen
from noonwall.logs.store import Store
from noonwall.logs.weather_of import lived_weather
from noonwall.report.reader import Reader
from noonwall.report.recap_document import recap_document
from noonwall.report.recap_page import recap_page
from noonwall.report.recap_steps import answer
from noonwall.units import dates_in

if TYPE_CHECKING:
    from pathlib import Path

DAYS = 59
LATER = 100  # day of the year on which the second logger begins
SHOP_C = 4.0


def second(place: Path, first_day: int, days: int) -> None:
    """Read some days of a logger with other names for the same roles."""
    times = NEW_YEAR_S + first_day * 86_400 + 1800 * np.arange(days * 48)
    with Store(place) as store, store.importing("my.csv", "second", {}, 0) as intake:
        for name, role, value in (
            ("yard", "outdoor", -10.0),
            ("hall", "shop", SHOP_C),
            ("up", "gap top", 2.0),
        ):
            number = intake.channel(Channel(name, role, "temperature"), name, Conversion(""))
            intake.add(number, times, np.full(len(times), value))


@pytest.fixture(scope="module")
def pair(tmp_path_factory: pytest.TempPathFactory) -> tuple[Recap, Recap]:
    """Return the recap before and after; the wall has a flap that the readings were made without."""
    place, found = tmp_path_factory.mktemp("second"), []
    keep(place, made.invent(shed(), faults=made.Faults(swapped=None, gaps=())), days=(0, DAYS))
    for later in (False, True):
        if later:
            second(place, LATER, 6)
        with Store(place) as store:
            found.append(recap(shed(flap=True), store))
    return found[0], found[1]


def test_months_read_before_stay_as_measured(pair: tuple[Recap, Recap]) -> None:
    before, after = pair
    assert after.period.days == LATER + 6
    assert any(item.kind == "flap stuck open" for item in before.chain.mishaps)
    for old, new in zip(before.months, after.months, strict=False):
        assert old.name == new.name
        assert new.measured_kwh == pytest.approx(old.measured_kwh, rel=0.02, abs=1.0)
        assert new.error_kwh == pytest.approx(old.error_kwh, rel=0.02)
    assert after.chain.measured_kwh == pytest.approx(before.chain.measured_kwh, rel=0.02)
    assert after.verdict == before.verdict


def test_a_month_without_readings_is_a_dash_and_the_empty_days_are_counted(pair: tuple[Recap, Recap]) -> None:
    found, project, reader = pair[1], shed(flap=True), Reader()
    page = str(recap_page(found, project, reader))
    march = next(line for line in page.splitlines() if line.startswith("Mar 2025"))
    assert march.split()[2:9] == ["-", "-", "-", "-", "0", "%", "-"]
    assert f"(on {LATER + 6 - DAYS} of {LATER + 6} days in none)" in " ".join(page.split())
    row = next(item for item in recap_document(found)["months"] if item["name"] == "2025-03")
    assert row["expected_kwh"] is None
    assert row["typical_kwh"] is None
    assert row["fan_hours"] is None
    assert "Shop: of shop, hall the first that has readings" in page


def test_causes_follow_the_verdict_with_dates(pair: tuple[Recap, Recap]) -> None:
    found = pair[0]
    document = recap_document(found)
    texts = [item.text for item in found.causes]
    assert any("fans stood still" in item and "2025-02-08 to 2025-02-16" in item for item in texts)
    assert document["expectation"] == AS_IT_STANDS
    for said in (
        " ".join(str(recap_page(found, shed(flap=True), Reader())).split()),
        " ".join(answer(document, Reader())),
    ):
        assert f"; {'but' if found.verdict == NOT_PROVEN else 'found:'} {dates_in(texts[0])} (" in said
        assert f"Also found, largest first: {dates_in(texts[1])} (" in said
        assert all(dates_in(text) in said for text in texts)
    by_key = {item.key: item for item in found.chain.links}
    for cause in found.causes:
        if cause.key in by_key:
            assert abs(cause.kwh) <= np.abs(by_key[cause.key].by_day).sum() + 1e-9
    links = {item.key: abs(item.kwh) for item in found.chain.links}
    dead = next(i for i, item in enumerate(found.causes) if "fans stood" in item.text)
    flap = next(i for i, item in enumerate(found.causes) if "flap" in item.text)
    assert (flap < dead) == (links["reversed"] > links["dead"])


def test_where_both_have_readings_the_longer_lived_stands_alone(tmp_path: Path) -> None:
    keep(tmp_path, made.invent(shed()), ("outdoor", "shop"), days=(0, 5))
    with Store(tmp_path) as store:
        period = period_of(store, -5.0)
        alone, air = seen(store, period, None).shop_c, lived_weather(shed(), store, period).actual.air_c
    second(tmp_path, 3, 1)
    with Store(tmp_path) as store:
        both, mixed = seen(store, period, None), lived_weather(shed(), store, period).actual.air_c
    assert alone is not None
    assert both.shop_c == pytest.approx(alone, nan_ok=True)
    assert mixed == pytest.approx(air)
    assert both.notes


def test_where_the_longer_lived_is_silent_the_other_stands(tmp_path: Path) -> None:
    keep(tmp_path, made.invent(shed()), ("shop",), days=(0, 5))
    second(tmp_path, 7, 1)
    with Store(tmp_path) as store:
        found = seen(store, period_of(store, -5.0), None).shop_c
    assert found is not None
    assert found[7 * 96 + 2 : 8 * 96 - 2] == pytest.approx(SHOP_C)
    assert np.isnan(found[6 * 96 : 7 * 96 - 2]).all()
