"""The weather month by month, as text and as a document."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from noonwall.report.blocks import Title, filled, month_table, page_of, words
from noonwall.report.reader import name_of, percent
from noonwall.report.tables import facing, place_lines
from noonwall.units import in_both

if TYPE_CHECKING:
    from noonwall.assess.climate import ClimateMonth
    from noonwall.climate.weather import Weather
    from noonwall.model.project import Project
    from noonwall.report.blocks import Page, Table
    from noonwall.report.reader import Reader

SCHEMA = "noonwall.climate/1"
MILE_PER_HOUR_M_S = 0.44704
BTU_FT2_PER_KWH_M2 = 316.998  # 3412.142 Btu over 10.7639 ft2


def climate_page(
    months: tuple[ClimateMonth, ...], whole: ClimateMonth, weather: Weather, project: Project, reader: Reader
) -> Page:
    """Return the page of ``noonwall climate``."""
    head = [name_of(project)]
    told = (weather.kind, weather.place, weather.distance_km, weather.hours_repaired)
    head += place_lines(project, reader, *told)
    head += [filled(f"    {in_both(note, reader.system)}", indent=6) for note in weather.notes]
    way = facing(project.wall.azimuth_deg)
    wall = f"on the wall: sun on its plane, facing {way}, with nothing in front of it"
    return page_of(Title(tuple(head)), _table(months, whole, reader), words([wall]))


def climate_document(
    months: tuple[ClimateMonth, ...], whole: ClimateMonth, weather: Weather
) -> dict[str, Any]:
    """Return the same as plain data, schema noonwall.climate/1."""
    return {
        "schema": SCHEMA,
        "months": [_rounded(month) for month in months],
        "year": {key: value for key, value in _rounded(whole).items() if key != "month"},
        "weather": {
            "kind": weather.kind,
            "place": weather.place,
            "distance_km": None if weather.distance_km is None else round(weather.distance_km, 1),
            "hours_repaired": round(weather.hours_repaired, 1),
            "notes": list(weather.notes),
        },
    }


def _table(months: tuple[ClimateMonth, ...], whole: ClimateMonth, reader: Reader) -> Table:
    degree = reader.degree
    light = "Btu/ft2 day" if reader.us else "kWh/m2 day"
    columns: list[tuple[str, str, int]] = [
        ("air|mean", degree, 6),
        ("daily|high", degree, 7),
        ("|low", degree, 6),
        ("extreme|high", degree, 8),
        ("|low", degree, 6),
        ("wind", "mph" if reader.us else "m/s", 6),
        ("on level|ground", light, 12),
        ("of it|diffuse", "", 8),
        ("on the|wall", light, 12),
        ("snow", "days", 5),
    ]

    def row(month: ClimateMonth) -> list[str]:
        air = (
            month.air_mean_c,
            month.air_daily_max_c,
            month.air_daily_min_c,
            month.air_highest_c,
            month.air_lowest_c,
        )
        cells = [reader.degrees_text(c).removesuffix(f" {degree}") for c in air]
        wind = month.wind_m_s / MILE_PER_HOUR_M_S if reader.us else month.wind_m_s
        return [
            *cells,
            f"{wind:.1f}",
            _light(month.ghi_kwh_m2_day, reader),
            "-" if month.diffuse_share is None else percent(month.diffuse_share),
            _light(month.wall_kwh_m2_day, reader),
            f"{month.snow_days:.0f}",
        ]

    return month_table("THE WEATHER", columns, [(m.month, row(m)) for m in (*months, whole)])


def _light(kwh_m2: float, reader: Reader) -> str:
    return f"{kwh_m2 * BTU_FT2_PER_KWH_M2:,.0f}" if reader.us else f"{kwh_m2:.2f}"


def _rounded(month: ClimateMonth) -> dict[str, Any]:
    return {
        key: value if value is None or isinstance(value, int) else round(value, 3)
        for key, value in asdict(month).items()
    }
