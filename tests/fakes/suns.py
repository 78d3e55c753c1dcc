"""The demo's sun, cuts and awning, calculated once, at coarse steps."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fakes.kept import kept
from fakes.projects import demo
from noonwall.climate.load import load_weather
from noonwall.studies.awning import awning_curve
from noonwall.studies.sunlight import sunlight
from noonwall.studies.trees import rank_cuts

if TYPE_CHECKING:
    from noonwall.climate.weather import Weather
    from noonwall.studies.awning import Curve
    from noonwall.studies.sunlight import Sunlight
    from noonwall.studies.trees import Cuts

STEP_S = 3600


@kept
def demo_weather() -> Weather:
    """Return the demo's made year."""
    return load_weather(demo(), ".")


@kept
def demo_sun() -> Sunlight:
    """Return the sun on the demo's wall."""
    return sunlight(demo(), demo_weather(), step_s=STEP_S, takes_step_s=STEP_S)


@kept
def demo_cuts() -> Cuts:
    """Return the demo's cuts."""
    return rank_cuts(demo(), demo_weather(), step_s=STEP_S)


@kept
def demo_awning() -> Curve:
    """Return the trade-off of the demo's modules."""
    return awning_curve(demo(), demo_weather(), points=4, step_s=STEP_S)
