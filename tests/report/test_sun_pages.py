"""The pages, documents and pictures of ``sun``, ``cuts`` and ``awning``."""

from __future__ import annotations

import json
import re
from dataclasses import asdict, replace
from pathlib import Path

import numpy as np
import pytest
from pytest import approx

from fakes.projects import demo
from fakes.suns import demo_awning, demo_cuts, demo_sun, demo_weather
from noonwall.report.awning_figure import awning_picture
from noonwall.report.awning_page import awning_document, awning_offers, awning_page
from noonwall.report.cuts_page import cuts_page
from noonwall.report.document import as_json
from noonwall.report.reader import KBTU_PER_KWH, Reader
from noonwall.report.site_look import day_of_year, look, short_names, site_of
from noonwall.report.sun_document import cuts_document, sun_document
from noonwall.report.sun_figures import by_minute, sun_pictures
from noonwall.report.sun_tables import stretches, sun_page
from noonwall.shade.calendar import Bite
from noonwall.shade.lit import lit_cells

READERS = (Reader(), Reader("us"))


@pytest.fixture(autouse=True)
def coarse_pictures(monkeypatch):
    monkeypatch.setattr("noonwall.report.ink.DPI", 60)


def pages(reader):
    project, weather = demo(), demo_weather()
    return {
        "sun": str(sun_page(demo_sun(), project, weather, reader)),
        "cuts": str(cuts_page(demo_cuts(), project, weather, reader, years_on=5.0)),
        "awning": str(awning_page(demo_awning(), project, weather, reader)),
    }


@pytest.mark.parametrize("reader", READERS, ids=lambda reader: reader.system)
def test_pages_fit_the_screen_and_carry_units(reader):
    for name, page in pages(reader).items():
        assert max(len(line) for line in page.split("\n")) <= 84, name
        assert page.startswith("Boat-repair shed (an invented example)")
        assert reader.heat_unit in page
        assert "licensed trades" in page
        assert not re.search(r"\bnan\b|\bNaN\b|None|-0\b(?!\.)", page), name
        assert not re.search(r"\bsafe\b", page)


def flat(page):
    return " ".join(page.split())


def test_the_three_mistakes_stand_in_plain_sentences():
    page = flat(pages(Reader())["sun"])
    assert re.search(
        r"On 5 February at 11:4\d \d+ % of the direct sun reaches the glazing; \"modules\" keep off", page
    )
    assert re.search(
        r"Past noon in December and January \d+ % .* without \"fir 1 to 9\" it would be \d+ %", page
    )
    cuts = flat(pages(Reader())["cuts"])
    assert re.search(r"[234] of 10 cuts gain \d+ % of what all of them together gain: \"big maple\"", cuts)


def test_the_demo_says_where_the_modules_would_hang_better():
    page = flat(pages(Reader())["awning"])
    assert re.search(
        r"As described \"modules\" cost \d+ kWh of heat in October to April: .* \d+ % of the sun of November to "
        r"March is kept off the glazing by them",
        page,
    )
    assert re.search(
        r"without them would bring that heat, and let [\d,]+ kWh more of sun onto the glazing", page
    )
    assert re.search(r"no farther out than 1.83 m, and no lower edge higher than 500 mm above", page)
    assert "lower_edge_above_glazing = " in page
    assert re.search(r"kWh more heat in October to April and \d+ kWh (more|less) electricity than now", page)
    offers = awning_offers(demo_awning(), Reader())
    assert [offer["design"] is None for offer in offers] == [False] * (len(offers) - 1) + [True]


def test_a_design_that_hangs_so_already_is_told_so_and_not_offered():
    found = demo_awning()
    best = max((p for p in found.points if p.enough), key=lambda p: p.summer_blocked)
    nearly = replace(best.design, depth_m=best.design.depth_m + 1e-3)
    now = replace(found, now=replace(best, design=nearly))
    assert "; so they hang now." in flat(str(awning_page(now, demo(), demo_weather(), Reader())))
    assert asdict(best.design) not in [offer["design"] for offer in awning_offers(now, Reader())]


def test_us_readers_get_the_same_figures():
    metric, us = (pages(reader)["sun"] for reader in READERS)

    def january(page):
        return float(re.search(r"^January +([\d,]+)", page, re.M)[1].replace(",", ""))

    assert january(us) == approx(january(metric) * KBTU_PER_KWH, rel=0.01)
    assert "5.2 ft" in pages(READERS[1])["awning"] or re.search(
        r"\d\.\d +-?\d\.\d", pages(READERS[1])["awning"]
    )


def test_the_sun_document_has_the_promised_keys():
    told = json.loads(as_json(sun_document(demo_sun(), demo_weather())))
    assert told["schema"] == "noonwall.sun/1"
    assert [month["month"] for month in told["months"]] == list(range(1, 13))
    for key in ("beam_share_kept", "sky_view", "ground_view", "sun_hours", "sun_on_wall_kwh",
                "sun_on_wall_open_site_kwh", "pv_kwh", "pv_open_site_kwh"):  # fmt: skip
        assert all(month[key] >= 0.0 for month in told["months"])
    assert {item["name"] for item in told["obstacles"]} >= {"modules", "big maple", "fir 1"}
    assert all(len(item["takes_kwh"]) == 12 for item in told["obstacles"])
    total = sum(month["sun_on_wall_kwh"] for month in told["months"])
    assert told["year"]["sun_on_wall_kwh"] == approx(total, abs=0.01)
    assert len(told["calendar"]) == 365
    assert told["calendar"][0]["date"] == "01-01"


def test_the_cuts_document_has_the_promised_keys():
    told = json.loads(as_json(cuts_document(demo_cuts(), demo_weather())))
    assert told["schema"] == "noonwall.cuts/1"
    running = 0.0
    for step in told["steps"]:
        assert set(step) >= {
            "cut",
            "delivered_gain_kwh",
            "season_gain_kwh",
            "pv_gain_kwh",
            "running_total_kwh",
        }
        running += step["season_gain_kwh"] + step["pv_gain_kwh"]
        assert step["fuel"]["heat_kwh"] == approx(step["heater_gives_less_kwh"], abs=0.01)
        assert step["fuel"]["heat_kwh"] <= step["delivered_gain_kwh"]
        assert step["running_total_kwh"] == approx(running, abs=0.01)
        assert all(name in step["cut"] for name in step["names"])
    for item in told["obstacles"]:
        if item["gone"] is not None:
            assert sum(item["gone"]["delivered_gain_by_month_kwh"]) == approx(
                item["gone"]["delivered_gain_kwh"], abs=0.02
            )
        assert item["why"] or (item["topped"] and item["thinned"])


def test_the_awning_document_tells_the_curve():
    told = json.loads(as_json(awning_document(demo_awning(), demo_weather())))
    assert told["schema"] == "noonwall.awning/1"
    assert told["name"] == "modules"
    assert len(told["curve"]) >= 3
    assert told["now"]["depth_m"] == 1.6


def test_a_sun_that_is_not_there_is_told():
    night = replace(demo_sun().moment, beam_share=None, elevation_deg=-5.0)
    found = replace(
        demo_sun(), moment=night, takes=tuple(replace(t, moment_share=None) for t in demo_sun().takes)
    )
    assert "the sun is below the horizon" in flat(str(sun_page(found, demo(), demo_weather(), Reader())))
    day = replace(found, moment=replace(night, elevation_deg=5.0))
    assert "the sun is not before this wall" in flat(str(sun_page(day, demo(), demo_weather(), Reader())))


def test_a_bite_across_new_year_is_one_stretch():
    def day(text):
        return np.datetime64(f"2001-{text}")

    winter = Bite("fir", ((day("01-01"), day("03-10")), (day("10-05"), day("12-31"))), np.ones(365))
    assert stretches(winter, 365) == [(day("10-05"), day("03-10"))]
    twice = Bite("pole", ((day("02-01"), day("02-10")), (day("11-05"), day("11-20"))), np.ones(365))
    assert stretches(twice, 365) == list(twice.stretches)


@pytest.mark.parametrize("reader", READERS, ids=lambda reader: reader.system)
def test_pictures_are_drawn_and_the_same_again(reader):
    drawn = {name: draw() for name, draw in sun_pictures(demo_sun(), demo(), reader).items()}
    assert set(drawn) == {"sky.png", "carpet.png", "plan.png", "months.png"}
    assert all(picture.startswith(b"\x89PNG") and len(picture) > 10_000 for picture in drawn.values())
    assert sun_pictures(demo_sun(), demo(), reader)["carpet.png"]() == drawn["carpet.png"]
    assert awning_picture(demo_awning(), demo(), reader).startswith(b"\x89PNG")


def test_names_with_signs_of_formulas_are_drawn_as_they_are():
    odd = demo()
    renamed = odd.obstacles[0].model_copy(update={"name": "Ann's $5 fir_{2} $\\frac"})
    project = odd.model_copy(update={"obstacles": (renamed, *odd.obstacles[1:])})
    assert sun_pictures(demo_sun(), project, Reader())["plan.png"]().startswith(b"\x89PNG")


def test_the_carpet_shows_what_the_calendar_tells():
    share = by_minute(demo_sun())
    assert share.shape == (288, 365)
    assert np.nanmin(share) >= 0.0
    assert np.nanmax(share) <= 1.0
    shown_hours = np.nansum(share) / 12.0
    assert shown_hours == approx(float(demo_sun().calendar.hours.sum()), rel=0.03)


def test_the_lit_glazing_agrees_with_the_moment():
    site, here = site_of(demo(), 0.0, demo_sun().moment.time), demo_sun().moment
    rise, turn = np.radians(here.elevation_deg), np.radians(here.azimuth_deg)
    way = np.array([np.cos(rise) * np.sin(turn), np.cos(rise) * np.cos(turn), np.sin(rise)])
    day = day_of_year(here.time)
    assert lit_cells(site.scene, site.frame, way, day, 72, 144).mean() == approx(here.beam_share, abs=0.01)


def test_what_is_taken_down_is_not_drawn():
    from noonwall.model.obstacle import Awning

    sail = Awning(name="sail", depth=1.0, hung=(("05-01", "09-15"),))
    project = demo(obstacles=(sail,), pv=())
    assert not site_of(project, 0.0, np.datetime64("2019-02-05T12:00")).scene.boards
    assert site_of(project, 0.0, np.datetime64("2019-07-05T12:00")).scene.boards


def test_kinds_are_told_apart_by_hatch_and_names_are_short():
    hatches = {look(kind)[2] for kind in ("tree", "building", "modules")}
    assert len(hatches) == 3
    assert short_names(["fir 1", "fir 2", "oak"]) == {"fir 1": "fir 1", "fir 2": "2", "oak": "oak"}


def tabled(page, heading):
    """Return the names in the first column of the table under a heading."""
    after = page[page.index(heading) + len(heading) :]
    return re.findall(r"^\| `([a-z_0-9]+)` \|", re.split(r"^#{2,3} ", after, maxsplit=1, flags=re.M)[0], re.M)


def test_the_page_of_json_names_exactly_what_is_there():
    page = (Path(__file__).parents[2] / "docs" / "json.md").read_text()
    sun, cuts = sun_document(demo_sun(), demo_weather()), cuts_document(demo_cuts(), demo_weather())
    curve = awning_document(demo_awning(), demo_weather())
    assert tabled(page, "## `noonwall.sun/1`") == list(sun)
    assert tabled(page, "### Months of the sun") == list(sun["months"][0])
    assert tabled(page, "### Obstacles in the sun") == list(sun["obstacles"][0])
    assert tabled(page, "## `noonwall.cuts/1`") == list(cuts)
    assert tabled(page, "### Steps of the order") == list(cuts["steps"][0])
    assert tabled(page, "### Obstacles that cost") == list(cuts["obstacles"][0])
    assert tabled(page, "## `noonwall.awning/1`") == list(curve)
    assert tabled(page, "### Points of the curve") == list(curve["curve"][0])
