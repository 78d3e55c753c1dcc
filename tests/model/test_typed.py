"""What is typed into a box of a form, and the value it means in the file."""

from __future__ import annotations

from typing import Any

import pytest

from noonwall.errors import ProjectError
from noonwall.model.defaults import assumed
from noonwall.model.edit import set_value
from noonwall.model.file import from_text, parse_toml
from noonwall.model.templates import demo_text
from noonwall.model.typed import (
    Beside,
    assumed_by_key,
    beside,
    choices,
    faced,
    is_count,
    is_flag,
    shown,
    spot,
    typed,
)
from noonwall.units import parse

RAW = parse_toml(demo_text())


def at(key: str, raw: Any = None) -> Any:
    path, name = key.split(".")
    return spot(key, {path: {name: raw}} if raw is not None else {})


@pytest.mark.parametrize(
    ("key", "written", "metric", "us"),
    [
        ("wall.gap", "90 mm", Beside("mm", ""), Beside("in", "= 3.54 in")),
        ("wall.width", "8 ft", Beside("m", "= 2.44 m"), Beside("ft", "")),
        ("wall.width", "8 ft 6 in", Beside("m", "= 2.59 m"), Beside("ft", "")),
        ("wall.gap", "3\u00bd in", Beside("mm", "= 88.9 mm"), Beside("in", "")),
        ("wall.gap", "3 \u00bd in", Beside("mm", "= 88.9 mm"), Beside("in", "")),
        ("wall.gap", "3 1/2 in", Beside("mm", "= 88.9 mm"), Beside("in", "")),
        ("wall.gap", "5\u20448 in", Beside("mm", "= 15.9 mm"), Beside("in", "")),
        ("wall.width", "8'6\"", Beside("m", "= 2.59 m"), Beside("ft", "= 8 ft 6 in")),
        ("wall.width", "8 ft \u00bd in", Beside("m", "= 2.45 m"), Beside("ft", "= 8 ft 1/2 in")),
        ("wall.width", 9.2, Beside("m", ""), Beside("ft", "= 30 ft 2 1/4 in")),
        ("wall.azimuth", "172", Beside("deg", ""), Beside("deg", "")),
        ("wall.azimuth", "8 deg east of south", Beside("deg", "= 172 deg"), Beside("deg", "= 172 deg")),
        ("site.latitude", "46.1 N", Beside("N", ""), Beside("N", "")),
        ("circuit.wire", "2.5 mm2", Beside("mm2", ""), Beside("mm2", "")),
        ("shop.humidity", 0.5, Beside("", "= 50 %"), Beside("", "= 50 %")),
    ],
)
def test_beside_a_box_stands_what_a_number_alone_means(
    key: str, written: Any, metric: Beside, us: Beside
) -> None:
    assert beside(at(key, written), "metric") == metric
    assert beside(at(key, written), "us") == us


@pytest.mark.parametrize(
    ("key", "written", "metric", "us"),
    [
        ("wall.gap", "90 mm", "90 mm", "3.54 in"),
        ("wall.gap", "3\u00bd in", "88.9 mm", "3\u00bd in"),
        ("wall.width", "8 ft 6 in", "2.59 m", "8 ft 6 in"),
        ("wall.width", "8'6\"", "2.59 m", "8'6\""),
        ("wall.width", 9.2, "9.2 m", "30 ft 2 1/4 in"),
        ("wall.width", "as wide as it is", "as wide as it is", "as wide as it is"),
        ("wall.azimuth", "8 deg east of south", "8 deg east of south", "8 deg east of south"),
        ("circuit.wire", "2.5 mm2", "2.5 mm2", "2.5 mm2"),
        ("shop.humidity", 0.5, "0.5", "0.5"),
    ],
)
def test_a_box_shows_the_readers_units(key: str, written: Any, metric: str, us: str) -> None:
    assert (faced(at(key, written), "metric"), faced(at(key, written), "us")) == (metric, us)


@pytest.mark.parametrize(
    ("key", "written", "metric", "us"),
    [
        ("shop.comfort.limit", "110 degF", "43.3 \u00b0C", "110 degF"),
        ("shop.comfort.limit", "43 C", "43 C", "109.4 \u00b0F"),
        ("shop.part[1].r", "R-13", "2.29 m2K/W", "R-13"),
        ("shop.part[1].r", "3.3 m2K/W", "3.3 m2K/W", "R-18.7"),
        ("shop.part[1].r", "RSI 3.3", "RSI 3.3", "R-18.7"),
        ("fan[1].flow", "0.10 m3/s", "0.10 m3/s", "212 cfm"),
        ("fan[1].pressure", "0 Pa", "0 Pa", "0 inwg"),
    ],
)
def test_a_box_shows_the_units_of_its_trade(key: str, written: str, metric: str, us: str) -> None:
    where = spot(key, RAW)._replace(raw=written)
    assert (faced(where, "metric"), faced(where, "us")) == (metric, us)


@pytest.mark.parametrize(
    ("key", "raw", "us"),
    [
        ("wall.vents.closed", [["05-15", "09-15"], ["12-20", "01-06"]], "May 15 to Sep 15; Dec 20 to Jan 6"),
        ("wall.vents.shut_hours", [["20:00", "7:30"]], "8 pm to 7:30 am"),
        ("wall.vents.shut_hours", [["00:00", "24:00"]], "12 am to 24:00"),
    ],
)
def test_spans_read_as_an_american_says_them(key: str, raw: Any, us: str) -> None:
    where = spot(key, RAW)._replace(raw=raw)
    assert faced(where, "us") == us
    assert faced(where, "metric") == shown(where)
    assert typed(us, where, "") == [[end.zfill(5) for end in span] for span in raw]


def test_what_a_box_shows_reads_again() -> None:
    """Every quantity of the demo, converted for its box, is one that may be typed, near what the file says."""
    for key in keys(RAW):
        where = spot(key, RAW)
        if where.kind and (text := faced(where, "us")) != shown(where):
            assert parse(text, where.kind) == pytest.approx(parse(where.raw, where.kind), rel=0.01, abs=0.05)


def test_beside_an_empty_box_stands_the_readers_unit() -> None:
    assert beside(at("wall.gap"), "metric").unit == "mm"
    assert beside(at("wall.gap"), "us").unit == "in"
    assert beside(at("shop.eaves"), "us").unit == "ft"


@pytest.mark.parametrize(
    ("key", "text", "unit", "value"),
    [
        ("wall.gap", "90", "mm", "90 mm"),
        ("wall.gap", "3 1/2", "in", "3 1/2 in"),
        ("wall.gap", "3\u00bd", "in", "3\u00bd in"),
        ("wall.gap", "\u00bd", "in", "\u00bd in"),
        ("wall.gap", "  4 in ", "mm", "4 in"),
        ("shop.eaves", "", "m", None),
        ("wall.foot", "-1", "m", "-1 m"),
        ("shop.humidity", "0.4", "", 0.4),
        ("shop.humidity", "40 %", "", "40 %"),
        ("site.utc_offset", "-5", "", -5),
    ],
)
def test_a_number_alone_gets_the_unit_beside_its_box(key: str, text: str, unit: str, value: Any) -> None:
    assert typed(text, at(key), unit) == value


def test_degrees_are_written_with_what_a_keyboard_has() -> None:
    limit = spot("shop.comfort.limit", RAW)
    assert typed("21", limit, "°C") == "21 C"
    assert typed("70", limit, "°F") == "70 degF"


def test_an_american_resistance_is_written_as_the_trade_writes_it() -> None:
    part = spot("shop.part[1].r", RAW)
    assert typed("19", part, beside(part, "us").unit) == "R-19"
    assert typed("3.3", part, beside(part, "metric").unit) == "3.3 m2K/W"


def test_a_difference_is_no_temperature() -> None:
    raw = {"switch": [{"name": "s", "kind": "difference", "close": "8 K", "open": "3 K"}]}
    assert spot("switch[1].close", raw).kind == "temperature_difference"
    assert spot("switch[1].close", RAW).kind == "temperature"


@pytest.mark.parametrize(
    ("key", "text", "value"),
    [
        ("wall.vents.closed", "10-01 to 04-30; 06-01 to 06-10", [["10-01", "04-30"], ["06-01", "06-10"]]),
        (
            "wall.vents.closed",
            "May 15 to 9 September; Dec. 1 to 01-06",
            [["05-15", "09-09"], ["12-01", "01-06"]],
        ),
        ("wall.vents.closed", "Mai 15 to whenever", [["Mai 15", "whenever"]]),
        ("wall.vents.shut_hours", "20:00-07:00", [["20:00", "07:00"]]),
        ("wall.vents.shut_hours", "8 pm to 7:30 a.m.", [["20:00", "07:30"]]),
        ("wall.vents.shut_hours", "12 am to 12pm; 13 pm to 24:00", [["00:00", "12:00"], ["13 pm", "24:00"]]),
        ("fan[1].curve", "0.1 m3/s, 0 Pa; 0, 80 Pa", [["0.1 m3/s", "0 Pa"], [0, "80 Pa"]]),
        ("circuit.series", "a; b | c", ["a", ["b", "c"]]),
        ("shop.comfort.hours", "8; 12; 18", [8, 12, 18]),
        ("site.snow", "none", "none"),
        ("site.snow", "[1, 0.5]", [1, 0.5]),
    ],
)
def test_lists_are_typed_in_one_line(key: str, text: str, value: Any) -> None:
    assert typed(text, spot(key, RAW), "") == value


def test_what_stands_in_a_box_means_what_stands_in_the_file() -> None:
    """Every value of the demo, put into its box and read from it again, leaves the project as it was."""
    text = demo_text()
    project = from_text(text)
    for key in keys(RAW):
        where = spot(key, RAW)
        again = typed(shown(where), where, beside(where, "metric").unit)
        changed = set_value(text, key, again)
        assert from_text(changed) == project, key


def keys(table: dict[str, Any], at: str = "") -> list[str]:
    found = []
    for key, value in table.items():
        path = f"{at}.{key}" if at else key
        if isinstance(value, dict):
            found += keys(value, path)
        elif isinstance(value, list) and value and isinstance(value[0], dict):
            for i, row in enumerate(value):
                found += keys(row, f"{path}[{i + 1}]")
        elif not path.startswith(("obstacle", "standing_point", "schema_version")):
            found.append(path)
    return found


def test_flags_and_counts() -> None:
    days = spot("shop.gains.workdays_only", RAW)
    assert is_flag(days)
    assert (typed("yes", days, ""), typed("No", days, ""), shown(days)) == (True, False, "yes")
    assert is_count(spot("fan[1].count", RAW))
    with pytest.raises(ProjectError, match="no whole number"):
        typed("three", spot("fan[1].count", RAW), "")
    with pytest.raises(ProjectError, match="neither yes nor no"):
        typed("perhaps", days, "")


def test_choices_come_from_the_list_or_the_catalogue() -> None:
    assert choices(spot("wall.inlet_from", RAW)) == ("room", "outdoors")
    assert "cement board" in choices(spot("wall.absorber.layer[1].material", RAW))
    assert choices(spot("wall.gap", RAW)) == ()


@pytest.mark.parametrize("key", ["wall.glasing", "moon.phase", "fan[0].flow"])
def test_a_key_that_no_project_has(key: str) -> None:
    with pytest.raises(ProjectError, match="is no key"):
        spot(key, RAW)


def test_assumptions_by_key_are_the_same_ones() -> None:
    every = assumed_by_key(demo_text(), "metric")
    assert every["shop.part[3].absorptance"].value == "60 %"
    assert {item.value for item in every.values()} == {item.value for item in assumed(demo_text())}


CURVE = [[0.1, 0], ["100 cfm", "25 Pa"], [0, 80]]


@pytest.mark.parametrize(
    ("system", "shows", "units"),
    [
        ("metric", "0.1, 0; 47.2 L/s, 25 Pa; 0, 80", "m3/s, Pa"),
        ("us", "212 cfm, 0 inwg; 100 cfm, 0.1 inwg; 0 cfm, 0.321 inwg", "cfm, inwg"),
    ],
)
def test_a_list_of_figures_is_shown_and_taken_in_the_readers_units(
    system: Any, shows: str, units: str
) -> None:
    """What nobody has touched is written as the file had it."""
    where = spot("fan[1].curve", {"fan": [{"curve": CURVE}]})
    assert (faced(where, system), beside(where, system).unit) == (shows, units)
    assert typed(shows, where, units) == CURVE
    added: list[Any] = [["50 cfm", "0.3 inwg"]] if system == "us" else [[50, 0.3]]
    assert typed(f"{shows}; 50, 0.3", where, units) == CURVE + added


def test_a_list_whose_units_are_everybodys_stays_as_typed() -> None:
    horizon = spot("site.horizon", {"site": {"horizon": [[0, 0], [90, "5 deg"]]}})
    assert faced(horizon, "us") == faced(horizon, "metric") == "0, 0; 90, 5 deg"


def test_a_single_day_is_taken_with_its_month_and_shown_so_to_an_american() -> None:
    leaf = spot("obstacle[1].leaf_out", {"obstacle": [{"kind": "tree", "leaf_out": "05-10"}]})
    assert (faced(leaf, "metric"), faced(leaf, "us")) == ("05-10", "May 10")
    assert typed("May 12", leaf, "") == typed("12 May", leaf, "") == "05-12"
