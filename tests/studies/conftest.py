"""Studies of the plain demo, each calculated once for all the tests that look at it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from fakes.projects import plain, plain_text
from noonwall.climate.load import load_weather
from noonwall.studies.change import changed_by
from noonwall.studies.comfort import comfort_study
from noonwall.studies.compare import compare_study
from noonwall.studies.hot import hot_study
from noonwall.studies.night import night_study

if TYPE_CHECKING:
    from noonwall.climate.weather import Weather
    from noonwall.studies.comfort import ComfortStudy
    from noonwall.studies.compare import CompareStudy
    from noonwall.studies.hot import HotStudy
    from noonwall.studies.night import NightStudy

STEP_S = 900
WAYS = (("flap", ("flap",)), ("cover", ("cover",)), ("metal frame", ("metal frame",)))


@pytest.fixture(scope="session")
def weather() -> Weather:
    return load_weather(plain(), ".")


@pytest.fixture(scope="session")
def hot(weather: Weather) -> HotStudy:
    return hot_study(plain(), weather)


@pytest.fixture(scope="session")
def night(weather: Weather) -> NightStudy:
    return night_study(plain(), weather, STEP_S)


@pytest.fixture(scope="session")
def comfort(weather: Weather) -> ComfortStudy:
    return comfort_study(plain(), weather, 3)


@pytest.fixture(scope="session")
def compare(weather: Weather) -> CompareStudy:
    ways = [changed_by(plain_text(), name, changes) for name, changes in WAYS]
    return compare_study(plain(), ways, weather, STEP_S)
