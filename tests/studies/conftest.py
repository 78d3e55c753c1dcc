"""Studies of the plain demo, each calculated once for all the tests that look at it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from fakes import studies

if TYPE_CHECKING:
    from noonwall.climate.weather import Weather
    from noonwall.studies.comfort import ComfortStudy
    from noonwall.studies.compare import CompareStudy
    from noonwall.studies.hot import HotStudy
    from noonwall.studies.night import NightStudy


@pytest.fixture
def weather() -> Weather:
    return studies.plain_weather()


@pytest.fixture
def hot() -> HotStudy:
    return studies.hot_of_plain()


@pytest.fixture
def night() -> NightStudy:
    return studies.night_of_plain()


@pytest.fixture
def comfort() -> ComfortStudy:
    return studies.comfort_of_plain()


@pytest.fixture
def compare() -> CompareStudy:
    return studies.compare_of_plain()
