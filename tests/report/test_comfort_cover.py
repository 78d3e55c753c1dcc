"""The cover's dates in words: against what a project has, with reasons out of the months."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import pytest

from fakes import studies
from fakes.projects import plain
from noonwall.report.comfort_cover import better_dates, cover_offer, cover_words, worse_words
from noonwall.report.comfort_page import comfort_page, findings, hotter_words
from noonwall.report.reader import Reader
from noonwall.studies.comfort import COVER, DESCRIBED, LIMIT, NONE
from noonwall.units import parse

if TYPE_CHECKING:
    from noonwall.studies.comfort import ComfortChoice, ComfortStudy

METRIC, US = Reader("metric"), Reader("us")


def way(name: str) -> ComfortChoice:
    return next(c for c in studies.comfort_of_plain().choices if c.name == name)


def with_choice(choice: ComfortChoice) -> ComfortStudy:
    study = studies.comfort_of_plain()
    return replace(study, choices=(*(c for c in study.choices if c.name != choice.name), choice))


def test_a_project_without_a_cover_is_offered_the_dates() -> None:
    offer: Any = cover_offer(studies.comfort_of_plain(), plain(), US)
    first, last = studies.comfort_of_plain().season[0]
    assert offer["change"] == f"cover={first}..{last}"
    assert offer["word"].startswith(f"Hang a cover {US.day_text(first, short=True)} to ")
    said = " ".join(offer["told"])
    assert "The project as it stands, without a cover: " in said
    assert "kBtu delivered in the year" in said
    assert f"{first}" not in said


def test_a_cover_that_is_better_already_stays() -> None:
    hung = with_choice(replace(way(COVER), name=DESCRIBED))
    worse = replace(way(NONE), name="with these dates")
    study = replace(hung, choices=(*hung.choices, worse))
    poor = replace(worse.whole, useful_kwh=0.5 * worse.whole.useful_kwh)
    study = replace(study, choices=(*study.choices[:-1], replace(worse, whole=poor)))
    assert not better_dates(study)
    offer: Any = cover_offer(study, plain(), METRIC)
    assert offer["word"] is None
    assert cover_words(study, plain(), METRIC)[-1] == "What the project has does better; leave it so."


def test_what_comes_out_worse_has_its_months_and_its_reason() -> None:
    heat = " ".join(worse_words(way(COVER), way(NONE), plain(), METRIC))
    assert re.match(r"The cover: \d+ kWh less heat of use, mostly in ", heat)
    assert "while the shop was not above 20 °C" in heat
    hours = worse_words(way(NONE), way(COVER), plain(), METRIC)[-1]
    assert "hours more too hot with nothing done, mostly in June" in hours
    assert "more into the shop, and floor and contents keep it." in hours


@pytest.mark.parametrize(("reader", "apart"), [(METRIC, "12 K hotter"), (US, "22 °F hotter")])
def test_a_way_that_heats_the_wall_is_named_with_its_temperatures(reader: Reader, apart: str) -> None:
    base = way(NONE)
    hotter = with_choice(replace(way(LIMIT), absorber_c=base.absorber_c + 12.0))
    said = " ".join(hotter_words(hotter, plain(), reader))
    assert "a room limit stops the fans while the sun is on the wall" in said
    assert apart in said
    warm, before = reader.degrees_text(base.absorber_c + 12.0), reader.degrees_text(base.absorber_c)
    assert re.search(f"{warm} on [^.]* in place of {before} on ", said)
    assert hotter_words(replace(hotter, choices=(base,)), plain(), reader) == []


def test_a_project_cooler_than_a_way_that_it_has_says_why() -> None:
    limit = replace(way(LIMIT), absorber_c=way(NONE).absorber_c + 12.0)
    day = METRIC.day_text(limit.year.peaks.absorber_c.time)
    hung = plain().wall.cover.model_copy(update={"hung": (("01-01", "12-31"),)})
    project = plain().model_copy(update={"wall": plain().wall.model_copy(update={"cover": hung})})
    study = replace(
        studies.comfort_of_plain(), choices=(way(NONE), limit, replace(way(COVER), name=DESCRIBED))
    )
    said = " ".join(hotter_words(study, project, METRIC))
    assert "Each way is tried by itself, on the wall without the cover" in said
    assert f": on {day} its cover hangs." in said
    assert "its cover hangs" not in " ".join(hotter_words(study, plain(), METRIC))


def test_lines_to_write_are_in_the_readers_degrees_and_read_as_the_same() -> None:
    study, weather = studies.comfort_of_plain(), studies.plain_weather()
    limits = [
        str(comfort_page(study, plain(), weather, reader)).split('open = "')[1].split('"')[0]
        for reader in (METRIC, US)
    ]
    assert [text.split()[1] for text in limits] == ["C", "F"]
    assert parse(limits[1], "temperature") == pytest.approx(parse(limits[0], "temperature"), abs=0.05)


def test_what_the_project_has_stands_beside_the_hours_with_nothing_done() -> None:
    hung = with_choice(replace(way(COVER), name=DESCRIBED))
    hours = f"{round(way(COVER).whole.too_hot_h)} "
    first = findings(hung, plain(), METRIC)[0]
    assert first.startswith("With nothing done about it the shop is above ")
    assert f"As the project stands it is {hours}" in first
    assert "As the project stands" not in findings(studies.comfort_of_plain(), plain(), METRIC)[0]
