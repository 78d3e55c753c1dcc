"""Cases for tests of the engine: variants of the plain demo, measured years, and weather that stands still."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest

from fakes.projects import plain
from noonwall.climate.load import load_weather
from noonwall.climate.read import read_weather
from noonwall.engine.numbers import Drive
from noonwall.engine.simulate import build_case, surroundings

if TYPE_CHECKING:
    from noonwall.climate.weather import Weather
    from noonwall.engine.numbers import Floats
    from noonwall.engine.simulate import Case, Surroundings
    from noonwall.model.project import Project

SHARED = Path(__file__).parents[3] / "shared" / "weather"
ALWAYS = (("01-01", "12-31"),)


def varied(wall: dict[str, Any] | None = None, **parts: Any) -> Project:
    """Return the demo under a plain overhang with some of its wall's and its own attributes replaced."""
    project = plain()
    return project.model_copy(update={"wall": project.wall.model_copy(update=wall or {}), **parts})


def switched_at(close: float, open_: float) -> tuple[Any, ...]:
    """Return the demo's gap switch with other set points, for ``switches=``."""
    return (plain().switches[0].model_copy(update={"close": close, "open": open_}),)


def fans(word: str) -> Any:
    """Return the demo's circuit with the fans 'off' or 'on' by hand, for ``circuit=``."""
    return plain().circuit.model_copy(update={"fans": word})


def vents_shut() -> Any:
    """Return the demo's vents shut by hand all year, for ``wall={'vents': ...}``."""
    return plain().wall.vents.model_copy(update={"closed": ALWAYS})


@cache
def made_weather() -> Weather:
    """Return the demo's own year, made from monthly figures of the nearest place."""
    return load_weather(plain(), ".")


@cache
def made_surroundings(step_s: int) -> Surroundings:
    """Return sun and weather of the demo's year; all variants on the same site and bearing share them."""
    return surroundings(plain(), made_weather(), step_s)


def case_of(project: Project, step_s: int = 300, strips: int = 8) -> Case:
    """Return the numbers of a variant of the demo over the demo's year."""
    return build_case(project, made_surroundings(step_s), strips=strips)


@cache
def sun_and_cold() -> tuple[Floats, Floats]:
    """Return the sun on the open wall [kWh/m2] and the mean outdoor air [C] of each day of the made year, (365,)."""
    around = made_surroundings(900)
    sun = around.plane.total.reshape(365, 96).mean(axis=1) * 0.024
    return sun, around.fine.air_c.reshape(365, 96).mean(axis=1)


def day_with(months: tuple[int, ...], sun: str, at_least: float = 0.0, at_most: float = 99.0) -> int:
    """Return the day of some months with the 'most' or 'least' sun, or the 'coldest' with sun between two bounds."""
    light, cold = sun_and_cold()
    month = (np.datetime64("2019-01-01") + np.arange(365)).astype("datetime64[M]").astype(int) % 12 + 1
    chosen = np.isin(month, months) & (light >= at_least) & (light <= at_most)
    rank = {"most": light, "least": -light, "coldest": -cold}[sun]
    return int(np.argmax(np.where(chosen, rank, -1e9)))


def measured_year(name: str) -> tuple[Project, Weather]:
    """Return the demo moved to where a weather file was measured, and that weather; skips where it is absent."""
    path = SHARED / name
    if not path.exists():
        pytest.skip(f"shared weather file {name} is not here")
    weather = read_weather(path)
    place = {
        "latitude_deg": weather.latitude_deg,
        "longitude_deg": weather.longitude_deg,
        "elevation_m": weather.elevation_m,
        "utc_offset_h": weather.utc_offset_h,
    }
    return varied(site=plain().site.model_copy(update=place)), weather


def standing(case: Case, steps: int, step_s: float, **figures: float) -> Case:
    """Return the case under weather that stands still: no sun, no wind, all around at 0 C, unless told.

    figures  values of the drive's arrays, each held in every step, every strip and every part
    """
    strips, parts = max(case.wall.strips, 1), len(case.shop.part_in_w_k)
    shapes = {
        "take_beam": (len(case.drive.take_sky), steps),
        "beam_share": (1, strips), "ground_share": (1, strips),
        "sky_view": (1, strips), "horizon_view": (1, strips), "ground_view": (1, strips),
        "rows": (1, steps), "part_sun_w": (parts, steps),
    }  # fmt: skip
    usual = {
        "pressure_pa": 101325.0, "outer_film": 10.0, "pass_share": 1.0, "vents_open": 1.0, "mains": 1.0,
        "beam_share": 1.0, "ground_share": 1.0, "sky_view": 1.0, "horizon_view": 1.0, "ground_view": 1.0,
    }  # fmt: skip
    arrays: dict[str, Any] = {
        name: np.full(shapes.get(name, (steps,)), {**usual, **figures}.get(name, 0.0))
        for name in Drive._fields
    }
    arrays["step_s"] = step_s
    arrays["day"] = np.zeros(steps, dtype=np.int64)
    for name in ("take_sky", "take_horizon", "take_ground"):
        arrays[name] = case.drive.take_sky * 0.0 + figures.get(name, 0.0)
    return case._replace(drive=Drive(**arrays))


def held(case: Case) -> Case:
    """Return the case with a shop so heavy that its air keeps the temperature it begins with."""
    return case._replace(shop=case.shop._replace(air_capacity=1e16, heater_w=0.0))
