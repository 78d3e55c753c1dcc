"""Studies of the plain demo at coarse steps, each calculated once a run."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fakes.kept import kept
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


@kept
def plain_weather() -> Weather:
    return load_weather(plain(), ".")


@kept
def hot_of_plain() -> HotStudy:
    return hot_study(plain(), plain_weather())


@kept
def night_of_plain() -> NightStudy:
    return night_study(plain(), plain_weather(), STEP_S)


@kept
def comfort_of_plain() -> ComfortStudy:
    return comfort_study(plain(), plain_weather(), 3)


@kept
def compare_of_plain() -> CompareStudy:
    ways = [changed_by(plain_text(), name, changes) for name, changes in WAYS]
    return compare_study(plain(), ways, plain_weather(), STEP_S)
