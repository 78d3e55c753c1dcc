"""Where the site is, held against the places whose weather is known."""

from __future__ import annotations

import pytest

from noonwall.climate.load import load_weather
from noonwall.climate.second_look import place_doubts
from noonwall.errors import WeatherError
from noonwall.model import file
from noonwall.model.slips import Look
from noonwall.model.templates import new_text

MONTANA = 'latitude = "45.7 N"\nlongitude = "111 W"\nelevation = "4800 ft"'
START = 'latitude = "45.0 N"\nlongitude = "70.0 W"\nelevation = "500 ft"'


def look(place, tail=""):
    text = new_text("x", "us").replace(START, place) + tail
    assert place in text
    return Look(file.from_text(text), file.parse_toml(text), "us")


def told(place, folder, tail=""):
    return [(fault.key, fault.text) for fault in place_doubts(look(place, tail), folder)]


def test_a_usual_place_raises_no_doubt(tmp_path):
    assert told(START, tmp_path) == []
    assert told(MONTANA, tmp_path) == []


def test_a_west_left_out_is_asked_about_and_the_year_refuses_it(tmp_path):
    lost = MONTANA.replace('"111 W"', "111")
    ((key, text),) = told(lost, tmp_path)
    assert key == "site.longitude"
    assert 'did you mean "111 W"?' in text
    assert "miles" in text
    with pytest.raises(WeatherError, match="check latitude and longitude"):
        load_weather(look(lost).project, tmp_path)


def test_feet_read_as_metres_are_asked_about(tmp_path):
    ((key, text),) = told(MONTANA.replace('"4800 ft"', "4800"), tmp_path)
    assert key == "site.elevation"
    assert 'did you mean "4800 ft"?' in text


def test_a_height_left_out_where_places_lie_high_is_told(tmp_path):
    ((key, text),) = told(MONTANA.replace('\nelevation = "4800 ft"', ""), tmp_path)
    assert key == "site.elevation"
    assert "sea level is taken" in text


def test_a_weather_file_is_opened(tmp_path):
    named = '\n[weather]\nfile = "year.epw"\n'
    with pytest.raises(WeatherError, match="no such file"):
        told(START, tmp_path, named)
    (tmp_path / "year.epw").write_text("")
    with pytest.raises(WeatherError, match="is empty"):
        told(START, tmp_path, named)
