"""A project's weather: its file, its months, or the nearest place."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from pytest import approx

from climate.files import epw_lines, write
from climate.test_monthly import TYPED
from noonwall.climate.load import load_weather
from noonwall.errors import WeatherError
from noonwall.model.file import from_text
from noonwall.model.project import WeatherChoice
from noonwall.model.templates import demo_text

if TYPE_CHECKING:
    from pathlib import Path

    from noonwall.model.project import Project


def project(site: dict[str, object] | None = None, **choice: object) -> Project:
    demo = from_text(demo_text())
    place = demo.site.model_copy(update=site or {})
    return demo.model_copy(update={"weather": WeatherChoice(**choice), "site": place})  # type: ignore[arg-type]


def test_a_file_counts_from_the_projects_folder(tmp_path: Path):
    write(tmp_path, "my.epw", epw_lines())
    assert load_weather(project(file="my.epw"), tmp_path).kind == "epw"
    with pytest.raises(WeatherError, match=r"other\.epw: no such file"):
        load_weather(project(file="other.epw"), tmp_path)


def test_typed_months_and_nearest_place(tmp_path: Path):
    assert load_weather(project(months=TYPED), tmp_path).kind == "typed months"
    weather = load_weather(project(), tmp_path)
    assert weather.kind == "monthly figures"
    assert weather.distance_km is not None
    assert weather.distance_km < 10.0


def test_a_file_and_months_together_are_refused(tmp_path: Path):
    with pytest.raises(WeatherError, match="keep one of them"):
        load_weather(project(file="my.epw", months=TYPED), tmp_path)


def test_weather_from_another_part_of_the_world_is_refused(tmp_path: Path):
    write(tmp_path, "my.epw", epw_lines())
    with pytest.raises(WeatherError, match="west is negative"):
        load_weather(project({"longitude_deg": 67.8, "utc_offset_h": 5.0}, file="my.epw"), tmp_path)


def test_far_and_high_places_are_told(tmp_path: Path):
    write(tmp_path, "my.epw", epw_lines())
    weather = load_weather(project({"latitude_deg": 44.0, "elevation_m": 900.0}, file="my.epw"), tmp_path)
    assert any("km from the site" in note for note in weather.notes)
    assert weather.distance_km == approx(233.5, abs=1.0)
    assert any("750 m above" in note for note in weather.notes)
