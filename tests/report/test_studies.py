"""Nights, comfort, worst hours, ways and circuit: pages that fit a line, documents as documented, pictures."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from fakes import studies
from fakes.projects import plain, plain_text
from fakes.walls import switch, walled
from fakes.years import invented_year
from noonwall import load
from noonwall.assess.circuit import circuit_check
from noonwall.assess.night import night_loss
from noonwall.assess.pieces import FRAME, STUDS, pieces_of
from noonwall.report.circuit_figures import circuit_picture
from noonwall.report.circuit_page import circuit_document, circuit_page, switch_words
from noonwall.report.comfort_document import comfort_document
from noonwall.report.comfort_figures import comfort_picture
from noonwall.report.comfort_page import comfort_page
from noonwall.report.compare_figures import compare_picture
from noonwall.report.compare_page import compare_document, compare_page
from noonwall.report.document import as_json
from noonwall.report.hot_document import hot_document
from noonwall.report.hot_figures import hot_picture
from noonwall.report.hot_page import hot_page
from noonwall.report.night_document import night_document
from noonwall.report.night_figures import night_picture
from noonwall.report.night_page import night_page
from noonwall.report.phrases import clocked, fuel_amount, fuel_words
from noonwall.report.reader import Reader
from noonwall.studies.remedies import shuttered, with_flap, with_room_limit

METRIC, US = Reader("metric"), Reader("us")
PAGE = (Path(__file__).parents[2] / "docs" / "json.md").read_text()
PNG = b"\x89PNG"


def everything_wired() -> Any:
    """Return the plain demo with every kind of switch in its circuit, and a fan on a module."""
    names = ("gap", "above", "sun", "limit", "hours", "hand")
    switches = (
        switch(name="gap", close=43.0, open=32.0, contact=10.0),
        switch(name="above", kind="difference", spot="absorber", close=10.0, open=3.0),
        switch(name="sun", kind="light", close_sun=300.0, open_sun=200.0),
        switch(name="limit", kind="open on rise", spot="room", open=24.0, close=22.0, height=3.0),
        switch(name="hours", kind="clock", hours=(("09:00", "16:00"),)),
        switch(name="hand", kind="by hand", days=(("10-01", "04-30"),)),
    )
    series = (names[:3], names[3], names[4:])
    fan = plain().fans[0].model_copy(update={"supply": "pv", "count": 1})
    circuit = plain().circuit.model_copy(update={"series": series, "cable_m": 10.0, "wire_gauge": 14})
    return walled(switches=switches, circuit=circuit, fans=(*plain().fans, fan))


def checked(reader: Reader = METRIC) -> Any:
    return circuit_check(everything_wired(), invented_year(3600), reader.system)


PAGES = {
    "night": lambda r: str(night_page(studies.night_of_plain(), plain(), studies.plain_weather(), r)),
    "comfort": lambda r: str(comfort_page(studies.comfort_of_plain(), plain(), studies.plain_weather(), r)),
    "hot": lambda r: str(hot_page(studies.hot_of_plain(), plain(), studies.plain_weather(), r)),
    "compare": lambda r: str(compare_page(studies.compare_of_plain(), plain(), studies.plain_weather(), r)),
    "circuit": lambda r: str(circuit_page(checked(r), everything_wired(), r)),
}
PICTURES = {
    "night": lambda f: night_picture(studies.night_of_plain(), plain(), studies.plain_weather(), METRIC, f),
    "comfort": lambda f: comfort_picture(studies.comfort_of_plain(), plain(), studies.plain_weather(), US, f),
    "hot": lambda f: hot_picture(studies.hot_of_plain(), plain(), studies.plain_weather(), METRIC, f),
    "compare": lambda f: compare_picture(
        studies.compare_of_plain(), plain(), studies.plain_weather(), METRIC, f
    ),
    "circuit": lambda f: circuit_picture(checked(), everything_wired(), METRIC, f),
}
DOCUMENTS = {
    "night": lambda: night_document(studies.night_of_plain(), studies.plain_weather()),
    "comfort": lambda: comfort_document(studies.comfort_of_plain(), studies.plain_weather()),
    "hot": lambda: hot_document(studies.hot_of_plain(), studies.plain_weather()),
    "compare": lambda: compare_document(studies.compare_of_plain(), studies.plain_weather()),
    "circuit": lambda: circuit_document(checked(), everything_wired()),
}


@pytest.mark.parametrize("name", PAGES)
@pytest.mark.parametrize("reader", [METRIC, US], ids=["metric", "us"])
def test_a_page_fits_its_width_and_calls_nothing_safe(name: str, reader: Reader) -> None:
    text = PAGES[name](reader)
    assert max(len(line) for line in text.split("\n")) <= 84
    assert not re.search(r"\bsafe", text, re.I)
    assert "licensed" in text
    assert "nan" not in text.lower().split()
    other = "°C" if reader.us else "°F"
    body = re.sub(r"\d+ °C \(\d+ °F\)|\(\d+ °F\)", "", text)
    if name != "hot":  # limits are told as their sources print them
        assert other not in body


@pytest.mark.parametrize("name", PICTURES)
@pytest.mark.parametrize("form", ["png", "svg"])
def test_a_picture_is_drawn_and_the_same_each_time(name: str, form: str) -> None:
    first = PICTURES[name](form)
    assert first.startswith(PNG if form == "png" else b"<?xml")
    assert len(first) > 20_000
    if form == "svg":
        assert PICTURES[name](form) == first


@pytest.mark.parametrize("name", DOCUMENTS)
def test_a_document_is_plain_data(name: str) -> None:
    document = DOCUMENTS[name]()
    assert json.loads(as_json(document))["schema"] == f"noonwall.{name}/1"


def tabled(heading: str) -> list[str]:
    """Return the names in the first column of the table under a heading of the page."""
    after = PAGE[PAGE.index(heading) + len(heading) :]
    section = re.split(r"^#{2,3} ", after, maxsplit=1, flags=re.M)[0]
    rows = re.findall(r"^\| ((?:`[a-z_0-9]+`(?:, )?)+) \|", section, re.M)
    return [name for row in rows for name in re.findall(r"`([a-z_0-9]+)`", row)]


TABLES = [
    ("night", "## `noonwall.night/1`", lambda d: d),
    ("night", "### Months of the nights", lambda d: d["months"][0]),
    ("night", "### Worst nights", lambda d: d["worst_nights"][0]),
    ("night", "### Ways of stopping the air", lambda d: d["choices"][1]),
    ("night", "### Dew and frost", lambda d: d["condensation"]),
    ("comfort", "## `noonwall.comfort/1`", lambda d: d),
    ("comfort", "### Ways of keeping cool", lambda d: d["choices"][0]),
    ("comfort", "### Dates of the cover", lambda d: d["cover"]),
    ("hot", "## `noonwall.hot/1`", lambda d: d),
    ("hot", "### Cases of the worst hours", lambda d: d["cases"][0]),
    ("hot", "### Limits of the pieces", lambda d: d["limits"][0]),
    ("hot", "### Movement of the glazing", lambda d: d["glazing"]),
    ("compare", "## `noonwall.compare/1`", lambda d: d),
    ("compare", "### Ways that are compared", lambda d: d["ways"][0]),
    ("circuit", "## `noonwall.circuit/1`", lambda d: d),
]


@pytest.mark.parametrize(("name", "heading", "part"), TABLES, ids=[h for _, h, _ in TABLES])
def test_the_page_of_json_names_exactly_what_is_there(name: str, heading: str, part: Any) -> None:
    assert tabled(heading) == list(part(DOCUMENTS[name]()))


def test_lists_inside_are_documented_too() -> None:
    hot, comfort, night = DOCUMENTS["hot"](), DOCUMENTS["comfort"](), DOCUMENTS["night"]()
    inside = [
        hot["cases"][0]["pieces"][0], hot["cases"][0]["pieces"][0]["hours_above"][0], hot["glazing"]["build_days"][0],
        hot["uncertainty"]["doubts"][0], hot["worst_days"]["months"][0]["snowy"], hot["left_out"][0],
        hot["exceeded"][0],
        comfort["choices"][0]["months"][0], comfort["cover"]["hang"], night["condensation"]["months"][0],
        night["condensation"]["worst_night"], night["choices"][1]["fuel"], DOCUMENTS["circuit"]()["findings"][0],
        DOCUMENTS["circuit"]()["loads"][0],
    ]  # fmt: skip
    for record in inside:
        for key in record:
            assert f"`{key}`" in PAGE, key


def test_the_demo_page_tells_the_worst_month_and_the_wood() -> None:
    text = " ".join(PAGES["hot"](METRIC).split())
    assert "The worst hour comes in February" in text
    assert "Combustible and in the hot zone: glazing, inner skin" in text
    assert "frame and studs of sheet metal" in text
    assert "Fire and Materials 31(2)" in text
    assert "[hot] accepted" in text


def test_the_night_page_tells_what_a_flap_saves_and_costs() -> None:
    text = " ".join(PAGES["night"](METRIC).split())
    assert "A film flap with its real leak keeps" in text
    assert "of use by day" in text
    assert "gallons" in text


def test_every_kind_of_switch_has_words() -> None:
    words = {s.name: switch_words(s, METRIC) for s in everything_wired().switches}
    assert words == {
        "gap": "starts the fans at 43 °C, stops them at 32 °C, gap top",
        "above": "starts the fans at 10 K above the room, stops them at 3 K, absorber",
        "sun": "starts the fans at 300 W/m2 of sun, stops them at 200 W/m2",
        "limit": "stops the fans at 24 °C, lets them run again at 22 °C, room at 3 m",
        "hours": "lets the fans run 09:00 to 16:00",
        "hand": "lets the fans run 10-01 to 04-30",
    }
    american = {s.name: switch_words(s, US) for s in everything_wired().switches}
    assert american["limit"] == "stops the fans at 75.2 °F, lets them run again at 71.6 °F, room at 9.84 ft"
    assert american["hours"] == "lets the fans run 9 am to 4 pm"
    assert american["hand"] == "lets the fans run Oct 1 to Apr 30"


def test_what_is_not_known_of_a_circuit_does_not_read_as_an_open_switch() -> None:
    page = PAGES["circuit"](US)
    assert "  not known  " in page
    assert "wire_gauge" not in page
    assert "  open  " not in page


def without_table(text: str, name: str) -> str:
    """Return a project text without one of its tables."""
    return re.sub(rf"^\[{re.escape(name)}\]\n(?:[^\[\n].*\n|\n)*", "", text, flags=re.M)


def pasted(tmp_path: Path, page: str) -> Any:
    """Return the plain demo with all that a page says to write into the project file."""
    block = page.split("TO HAVE IT SO", 1)[1].split("\n\n", 1)[0]
    toml = "\n".join(line.strip() for line in block.splitlines() if line.startswith("    "))
    folder = tmp_path / "pasted"
    folder.mkdir()
    (folder / "noonwall.toml").write_text(f"{without_table(plain_text(), 'wall.frame')}\n{toml}\n")
    return load(folder)


def test_what_the_pages_say_to_write_does_what_they_say(tmp_path: Path) -> None:
    for name in ("night", "comfort", "hot"):
        (tmp_path / name).mkdir()
    night = pasted(tmp_path / "night", PAGES["night"](US))
    flap, meant = night.wall.flap, with_flap(plain()).wall.flap
    assert flap is not None
    assert meant is not None
    # Witness: 0.0012 inches of water, as a US reader is told to write, are 0.2989 Pa for 0.3 Pa.
    assert flap.opening_pa == pytest.approx(meant.opening_pa, abs=0.0012)
    assert flap.model_copy(update={"opening_pa": meant.opening_pa}) == meant
    assert night.wall.vents.shut_hours == shuttered(plain()).wall.vents.shut_hours
    comfort = pasted(tmp_path / "comfort", PAGES["comfort"](METRIC))
    assert comfort.wall.cover.hung == studies.comfort_of_plain().season
    assert comfort.switches[-1] == with_room_limit(plain()).switches[-1]
    hot = pasted(tmp_path / "hot", PAGES["hot"](METRIC))
    assert not any(piece.burns for piece in pieces_of(hot) if piece.name in (FRAME, STUDS))


def test_a_night_page_with_a_flap_tells_the_loss_without_it() -> None:
    study = studies.night_of_plain()
    flap = next(choice for choice in study.choices if choice.name == "film flap")
    own = replace(flap, name="as described")
    with_own = replace(
        study, has_flap=True, described=own, loss=night_loss(flap.year), choices=(study.choices[0], own)
    )
    text = " ".join(str(night_page(with_own, with_flap(plain()), studies.plain_weather(), METRIC)).split())
    bare, kept = METRIC.heat_text(study.choices[0].lost_kwh), METRIC.heat_text(flap.saved_kwh)
    assert f"In a year {METRIC.heat_text(flap.lost_kwh)} goes back out" in text
    assert f"Without the flap it would be {bare}: the flap keeps {kept} of it" in text
    assert "[wall.flap]" not in text


def test_text_and_picture_of_the_nights_tell_the_same_hours() -> None:
    hours = f"{studies.night_of_plain().loss.whole.hours:,.0f}"
    assert hours in PAGES["night"](METRIC)
    assert f"carries heat out in {hours} hours" in PICTURES["night"]("svg").decode()


def test_more_fuel_burned_is_told_without_a_sign() -> None:
    less = studies.night_of_plain().choices[1].fuel
    assert less is not None
    more = replace(less, amount=-15.3, money=-40.0, fuel_kwh=-400.0, heat_kwh=-320.0)
    assert fuel_amount(more, "USD") == "15 gallons more, 39 USD"
    assert fuel_words(more, "USD", METRIC) == "400 kWh of propane, 15 gallons, 39 USD more burned"


def test_hours_and_degrees_are_told_as_the_reader_tells_them() -> None:
    assert clocked("every day 17:00 to 08:00", US) == "every day 5 pm to 8 am"
    assert clocked("every day 17:00 to 08:00", METRIC) == "every day 17:00 to 08:00"
    assert " K " not in PAGES["hot"](US).replace(" K)", " ")


def test_the_hot_page_says_what_it_assumes_and_what_lowers_it() -> None:
    text = PAGES["hot"](METRIC)
    assert "Frame and studs are assumed to be as hot as the absorber" in text
    ways = studies.hot_of_plain().reliefs.ways
    lines = text[text.index("WHAT LOWERS THEM") :].splitlines()[2 : 2 + len(ways)]
    assert [line[:42].strip() for line in lines if not line.startswith("mineral wool")] == [
        way.name for way in ways if not way.name.startswith("mineral wool")
    ]
    assert "coldest night in a usual year" in " ".join(text.split())


def test_a_way_that_is_there_already_is_left_out_of_the_comparison() -> None:
    study = replace(studies.compare_of_plain(), already=("flap",))
    text = str(compare_page(study, plain(), studies.plain_weather(), METRIC))
    assert 'has it already: "flap"' in text
    assert compare_document(study, studies.plain_weather())["already"] == ["flap"]


def test_a_project_without_fans_has_no_circuit() -> None:
    bare = walled(fans=(), switches=())
    text = str(circuit_page(circuit_check(bare, invented_year(3600)), bare, METRIC))
    assert "There are no fans in this project" in text
    assert "WHAT WAS CHECKED" not in text


def test_a_cover_for_most_of_the_year_is_advised_against_and_not_printed_to_paste() -> None:
    study = studies.comfort_of_plain()
    long = replace(study, season=(("01-29", "12-29"),))
    text = str(comfort_page(long, plain(), studies.plain_weather(), METRIC))
    assert "So long a cover" in text
    assert "[wall.cover]" not in text
    assert "[wall.cover]" in str(comfort_page(study, plain(), studies.plain_weather(), METRIC))


def test_without_a_heater_nothing_is_told_of_it() -> None:
    study = studies.comfort_of_plain()
    cold = replace(study, choices=tuple(replace(choice, fuel=None) for choice in study.choices))
    shop = plain().shop.model_copy(update={"heater": None})
    text = str(comfort_page(cold, plain().model_copy(update={"shop": shop}), studies.plain_weather(), METRIC))
    assert "heater" not in text
