"""Every form of weather file, the real ones and a made year written in each form."""

from __future__ import annotations

import csv
from typing import TYPE_CHECKING

import numpy as np
import pytest
from pytest import approx

from climate import files
from climate.files import CSV_COLUMNS, JYVASKYLA, SITE, made, pvlib_data, shared, write
from noonwall.climate.humid import humidity
from noonwall.climate.read import read_weather
from noonwall.climate.sunhours import sun_hours
from noonwall.climate.timeline import months
from noonwall.errors import WeatherError

if TYPE_CHECKING:
    from pathlib import Path

    from noonwall.climate.weather import Weather

HOULTON = "weather/USA_ME_Houlton.Intl.AP.727033_TMY3.epw"
BOZEMAN = "weather/USA_MT_Bozeman-Gallatin.Field.726797_TMY3.epw"
GOLDEN = "weather/USA_CO_Golden-NREL.724666_TMY3.epw"
GOLDEN_TMY3 = "weather/724666TY_Golden_CO.csv"
PSM = "weather/NSRDB_PSM3_NWColorado_2017_30min.csv"
FMI = "weather/FIN_Jyvaskyla-TRY2020_FMI.csv"
FIGURES = ("air_c", "dewpoint_c", "pressure_pa", "wind_m_s", "ghi_w_m2", "dni_w_m2", "dhi_w_m2")


def monthly(weather: Weather, values: np.ndarray) -> np.ndarray:
    month = months(weather.start, weather.step_s, weather.steps)
    return np.bincount(month, values) / np.bincount(month)


def figures_of(place: str) -> dict[str, np.ndarray]:
    with shared("weather/normals.csv").open() as table:
        rows = [row for row in csv.DictReader(table) if row["place"] == place][:12]
    return {
        name: np.array([float(row[name]) for row in rows])
        for name in ("ghi_kwh_m2_day", "dni_kwh_m2_day", "dhi_kwh_m2_day", "temp_mean_c", "wind_mean_m_s")
    }


@pytest.mark.parametrize(
    ("file", "place"),
    [
        (HOULTON, "HOULTON INTL ARPT"),
        (BOZEMAN, "Bozeman Gallatin Field"),
        (GOLDEN, "Denver Centennial  Golden   Nr"),
        (GOLDEN_TMY3, "Denver Centennial  Golden   Nr"),
        (FMI, "Jyvaskyla"),
    ],
)
def test_real_typical_years_give_their_published_months(file: str, place: str):
    # Witness: monthly figures computed from the same files by another hand; printed to two digits.
    weather = read_weather(shared(file), site=JYVASKYLA if file == FMI else None)
    wanted = figures_of(place)
    assert weather.steps == 8760
    assert weather.step_s == 3600
    assert str(weather.start) == "2019-01-01T00:00:00"
    assert monthly(weather, weather.ghi_w_m2) * 0.024 == approx(wanted["ghi_kwh_m2_day"], abs=0.006)
    assert monthly(weather, weather.dni_w_m2) * 0.024 == approx(wanted["dni_kwh_m2_day"], abs=0.006)
    assert monthly(weather, weather.dhi_w_m2) * 0.024 == approx(wanted["dhi_kwh_m2_day"], abs=0.006)
    # Half an hour's shift of the readings moves a month's mean by its last reading at most.
    assert monthly(weather, weather.air_c) == approx(wanted["temp_mean_c"], abs=0.1)
    assert monthly(weather, weather.wind_m_s) == approx(wanted["wind_mean_m_s"], abs=0.07)


def test_the_two_forms_of_golden_are_the_same_year():
    one, other = read_weather(shared(GOLDEN)), read_weather(shared(GOLDEN_TMY3))
    for name in ("air_c", "dewpoint_c", "ghi_w_m2", "dni_w_m2", "dhi_w_m2", "wind_m_s"):
        assert getattr(one, name) == approx(getattr(other, name), abs=1e-6)
    assert one.kind == "epw"
    assert other.kind == "tmy3"


@pytest.mark.parametrize("name", ["703165TY.csv", "723170TYA.CSV"])
def test_years_that_come_with_pvlib(name: str):
    weather = read_weather(pvlib_data(name))
    assert weather.kind == "tmy3"
    assert weather.steps == 8760
    assert not any(np.isnan(getattr(weather, figure)).any() for figure in FIGURES)


def test_half_hourly_satellite_year_keeps_its_own_dates():
    weather = read_weather(shared(PSM))
    assert weather.kind == "psm"
    assert weather.step_s == 1800
    assert weather.steps == 17520
    # A satellite's moment is the middle of its step: the first step of 2017 begins a quarter past midnight.
    assert str(weather.start) == "2017-01-01T00:15:00"
    assert weather.albedo is not None
    assert weather.albedo.max() > 0.6


def test_one_measured_day_by_the_minute():
    weather = read_weather(shared("weather/golden-measured-2012-05-17-1min.csv"), whole_year=False)
    assert (weather.steps, weather.step_s) == (1440, 60)
    assert str(weather.start) == "2012-05-17T00:00:00"
    with pytest.raises(WeatherError, match="a year has 525600"):
        read_weather(shared("weather/golden-measured-2012-05-17-1min.csv"))


@pytest.mark.parametrize("file", [HOULTON, BOZEMAN, GOLDEN, GOLDEN_TMY3, PSM, FMI])
def test_light_is_stamped_where_the_sun_is(file: str):
    """Beam needs the sun above the horizon; a wrong half hour would show at once."""
    weather = read_weather(shared(file), site=JYVASKYLA if file == FMI else None)
    sun = sun_hours(
        weather.latitude_deg,
        weather.longitude_deg,
        weather.utc_offset_h,
        weather.start,
        weather.step_s,
        weather.steps,
    )
    down = sun.highest_deg < -1.0
    assert float(weather.dni_w_m2[down].sum()) < 1e-4 * float(weather.dni_w_m2.sum())
    parts = weather.dni_w_m2 * sun.mean_up + weather.dhi_w_m2
    high = (sun.lit == 1.0) & (sun.mean_up > 0.2)
    assert np.abs(parts - weather.ghi_w_m2)[high].mean() < 0.02 * weather.ghi_w_m2[high].mean()


@pytest.mark.parametrize(
    ("name", "lines", "kind"),
    [
        ("a.epw", files.epw_lines, "epw"),
        ("b.csv", files.tmy3_lines, "tmy3"),
        ("c.csv", files.pvgis_lines, "pvgis"),
        ("d.csv", files.psm_lines, "psm"),
    ],
)
def test_a_year_comes_back_from_every_form(tmp_path: Path, name: str, lines, kind: str):
    weather, wanted = read_weather(write(tmp_path, name, lines())), made()
    assert weather.kind == kind
    assert weather.step_s == 3600
    assert str(weather.start)[5:] == "01-01T00:00:00"
    for figure in ("ghi_w_m2", "dni_w_m2", "dhi_w_m2"):
        assert getattr(weather, figure) == approx(getattr(wanted, figure), abs=0.0051)
    assert weather.air_c.mean() == approx(wanted.air_c.mean(), abs=0.01)
    assert np.abs(weather.air_c - wanted.air_c).mean() < 0.6
    assert weather.hours_repaired == 0.0


def test_a_year_comes_back_from_json(tmp_path: Path):
    weather = read_weather(write(tmp_path, "e.txt", [files.pvgis_json()]))
    assert weather.kind == "pvgis"
    assert weather.ghi_w_m2 == approx(made().ghi_w_m2, abs=0.0051)


def test_form_is_told_from_content_not_from_name(tmp_path: Path):
    assert read_weather(write(tmp_path, "weather.txt", files.epw_lines())).kind == "epw"
    assert read_weather(write(tmp_path, "weather.epw", files.tmy3_lines())).kind == "tmy3"


def test_plain_csv_in_builders_units(tmp_path: Path):
    weather = read_weather(write(tmp_path, "own.csv", files.csv_lines()), CSV_COLUMNS, SITE)
    wanted = made()
    assert weather.kind == "csv"
    assert weather.air_c == approx(wanted.air_c, abs=0.006)
    assert weather.wind_m_s == approx(wanted.wind_m_s, abs=0.004)
    assert weather.ghi_w_m2 == approx(wanted.ghi_w_m2, abs=0.001)
    assert any("Erbs" in note for note in weather.notes)
    assert any("no pressure" in note for note in weather.notes)


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"stamps": "now"}, "'start', 'middle' or 'end'"),
        ({"air": "temp"}, "no column 'temp' (for air)"),
        ({"globl": "sun"}, "nearest is 'global'"),
        ({"air_unit": "m/s"}, "one of: degC, degF, K"),
        ({"readings": "later"}, "'at'"),
        ({"utc_offset": "noon"}, "utc_offset is 'noon'"),
        ({"time": "rh"}, "wanted YYYY-MM-DD HH:MM"),
    ],
)
def test_wrong_column_maps_are_refused(tmp_path: Path, change: dict[str, str], message: str):
    path = write(tmp_path, "own.csv", files.csv_lines())
    with pytest.raises(WeatherError) as problem:
        read_weather(path, CSV_COLUMNS | change, SITE)
    assert message in str(problem.value)
    assert "\n" not in str(problem.value)


def test_what_the_stamps_mean_moves_the_light(tmp_path: Path):
    path = write(tmp_path, "own.csv", files.csv_lines())
    ends = read_weather(path, CSV_COLUMNS, SITE)
    middles = read_weather(path, CSV_COLUMNS | {"stamps": "middle"}, SITE)
    assert middles.start - ends.start == np.timedelta64(1800, "s")
    # An hour too late puts light where the night is: the claim itself is refused.
    with pytest.raises(WeatherError, match=r"below the horizon.*what moment the stamps mean"):
        read_weather(path, CSV_COLUMNS | {"stamps": "start"}, SITE)


def without(column: int, code: str, tmp_path: Path) -> Weather:
    lines = [line.split(",") for line in files.epw_lines()]
    for fields in lines[8:]:
        fields[column] = code
    return read_weather(write(tmp_path, "part.epw", [",".join(fields) for fields in lines]))


@pytest.mark.parametrize(("column", "figure", "word"), [(13, "ghi_w_m2", "no global"), (14, "dni_w_m2", "no beam"),
                                                        (15, "dhi_w_m2", "no diffuse")])  # fmt: skip
def test_a_missing_part_of_the_light_is_worked_out(tmp_path: Path, column: int, figure: str, word: str):
    weather = without(column, "9999", tmp_path)
    wanted = getattr(made(), figure)
    assert getattr(weather, figure).sum() == approx(wanted.sum(), rel=0.02)
    assert np.abs(getattr(weather, figure) - wanted).mean() < 0.03 * wanted.mean()
    assert any(word in note for note in weather.notes)


def test_dew_point_from_humidity(tmp_path: Path):
    # The test file says 70 % all along.
    weather = without(7, "99.9", tmp_path)
    assert humidity(weather.air_c, weather.dewpoint_c) == approx(0.7, abs=0.02)


def test_a_column_of_nonsense_is_left_out_and_told(tmp_path: Path):
    weather = without(32, "-3", tmp_path)
    assert weather.albedo is None
    assert any("albedo has gaps or impossible values" in note for note in weather.notes)


def test_distance_from_the_site():
    weather = read_weather(shared(HOULTON), site=SITE)
    # 0.02 degree of latitude: 2.2 km.
    assert weather.distance_km == approx(2.2, abs=0.1)
