"""The site as data for a view: shapes, the lit glazing, a date's light, the sky."""

from __future__ import annotations

import json
from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pytest import approx

from fakes.projects import demo, plain
from fakes.suns import demo_cuts, demo_sun
from noonwall.model.rearrange import moved
from noonwall.report.reader import KBTU_PER_KWH, Reader
from noonwall.report.site_light import (
    COLUMNS,
    ROWS,
    Moment,
    clock_text,
    date_number,
    date_of,
    day_light,
    day_words,
    moment_data,
    moment_words,
    sun_path,
    sunlit,
)
from noonwall.report.site_scene import faces_of, place_text, rings, site_scene, thing_words
from noonwall.report.site_sky import sky_data
from noonwall.report.sun_series import cuts_series, sun_series

US, METRIC = Reader("us"), Reader()


@cache
def shed():
    return demo()


def at(month=2, day=5, minute=720):
    return Moment(date_number(month, day), minute, shed().site.clock_h)


def scene(years_on=0.0, day=35):
    return site_scene(shed(), years_on, day)


def thing(data, name):
    return next(t for t in data["things"] if t["name"] == name)


def test_everything_that_shades_is_there_with_shapes():
    data = json.loads(json.dumps(scene()))
    assert {t["name"] for t in data["things"]} == {*(o.name for o in shed().obstacles), "modules"}
    assert all(t["shapes"] for t in data["things"])
    assert [p["name"] for p in data["points"]] == ["stake"]
    assert data["reach"] > 23.4  # the farthest fir


def test_a_tree_has_the_measures_it_was_described_with():
    fir = thing(scene(), "fir 1")
    crown, trunk = fir["shapes"]
    assert fir["at"] == [-3.6, -15.2]
    assert (crown["form"], crown["tip"], crown["base"], crown["radius"]) == ("cone", 15.0, 0.8, 2.6)
    assert crown["at"] == [approx(0.0, abs=1e-3)] * 2  # shapes are measured from the thing's own spot
    assert (trunk["form"], trunk["top"]) == ("pole", 0.8)


def test_a_moved_tree_takes_its_shapes_along():
    there = site_scene(moved(shed(), "fir 1", (4.0, -9.0)), 0.0, 35)
    assert thing(there, "fir 1")["at"] == [4.0, -9.0]
    for a, b in zip(thing(there, "fir 1")["shapes"], thing(scene(), "fir 1")["shapes"], strict=True):
        assert {**a, "at": 0} == {**b, "at": 0}
        assert a["at"] == approx(b["at"], abs=2e-3)


def test_trees_grow_with_the_years():
    assert thing(scene(10.0), "fir 1")["shapes"][0]["tip"] > thing(scene(), "fir 1")["shapes"][0]["tip"] + 2.0


def test_a_maple_stops_more_in_leaf():
    bare, leaf = (thing(scene(day=day), "big maple")["shapes"][0]["stops"] for day in (15, 200))
    assert 0.0 < bare < leaf < 1.0


def volume(points, faces):
    return sum(np.dot(points[a], np.cross(points[b], points[c])) for a, b, c in faces) / 6.0


@settings(max_examples=30, deadline=None, derandomize=True)
@given(st.tuples(*[st.floats(0.5, 20.0)] * 3), st.tuples(*[st.floats(-30.0, 30.0)] * 3))
def test_a_bodys_faces_close_and_look_outwards(sides, corner):
    points = (
        np.array([[x, y, z] for x in (0.0, sides[0]) for y in (0.0, sides[1]) for z in (0.0, sides[2])])
        + corner
    )
    faces = faces_of(points)
    assert len(faces) == 12
    # By the divergence theorem the faces' signed volume is the box's if all look outwards.
    assert volume(points, faces) == approx(float(np.prod(sides)), rel=1e-9)


def test_a_body_without_volume_has_no_faces():
    assert faces_of(np.zeros((8, 3))) == []


def test_the_sheds_gable_encloses_what_it_should():
    body = thing(scene(), "neighbour's shed")["shapes"][0]
    # A gable of 7 x 5 m, eaves 2.8 m, ridge 4.6 m: box, and half the roof's box.
    assert volume(np.array(body["corners"]), body["faces"]) == approx(7 * 5 * (2.8 + 0.5 * 1.8), rel=1e-3)


def test_the_glazing_has_its_size_and_looks_its_way():
    wall, described = scene()["wall"], shed().wall
    left, right = np.array(wall["left"]), np.array(wall["right"])
    assert np.linalg.norm(left - right) == approx(described.width_m, abs=2e-3)
    # Who faces the wall from outside has its left end on the left hand: right x out is up.
    ahead = -np.array(wall["out"])
    to_right = np.array([ahead[1], -ahead[0]])
    assert np.dot(right - left, to_right) == approx(described.width_m, abs=2e-3)


def test_the_moment_agrees_with_the_command():
    here = demo_sun().moment
    minutes = (here.time - here.time.astype("datetime64[D]")).astype("timedelta64[m]").astype(int)
    when = Moment(date_number(2, 5), int(minutes), demo_sun().utc_offset_h)
    found = sunlit(shed(), 0.0, when)
    assert found.share == approx(here.beam_share, abs=0.01)
    # The command's year is another: a date is up to three quarters of a day off, of 0.3 degree each in February.
    assert found.elevation_deg == approx(here.elevation_deg, abs=0.25)
    assert np.mean(found.cells) / 100.0 == approx(found.share, abs=0.02)
    assert np.shape(found.cells) == (ROWS, COLUMNS)


def test_the_days_light_agrees_with_the_calendar():
    calendar = demo_sun().calendar
    i = int(np.flatnonzero([str(d)[5:10] == "02-05" for d in calendar.date])[0])
    light = day_light(shed(), 0.0, replace(at(), clock_h=demo_sun().utc_offset_h))
    assert light.hours == approx(calendar.hours[i], abs=0.1)
    assert light.hours_open == approx(calendar.hours_open[i], abs=0.1)


def test_without_obstacles_all_of_it_is_lit():
    bare = shed().model_copy(update={"obstacles": (), "pv": ()})
    assert sunlit(bare, 0.0, at()).share == 1.0
    light = day_light(bare, 0.0, at())
    assert light.hours == approx(light.hours_open)


@settings(max_examples=20, deadline=None, derandomize=True)
@given(st.integers(0, 364), st.integers(0, 1439), st.sampled_from(["fir 1", "big maple", "modules"]))
def test_less_in_the_way_is_never_less_light(day, minute, gone):
    when = Moment(day, minute, shed().site.clock_h)
    less = shed().model_copy(
        update={"obstacles": tuple(o for o in shed().obstacles if o.name != gone),
                "pv": tuple(f for f in shed().pv if f.name != gone)}
    )  # fmt: skip
    here, there = sunlit(shed(), 0.0, when), sunlit(less, 0.0, when)
    assert (here.share is None) == (there.share is None)
    if here.share is not None:
        assert there.share >= here.share - 1e-9


def test_night_and_a_sun_behind_the_wall_are_told():
    night, behind = sunlit(shed(), 0.0, at(minute=0)), sunlit(shed(), 0.0, at(6, 21, 330))
    assert night.share is None
    assert behind.share is None
    assert moment_words(at(minute=0), night, METRIC) == "5 February, 0:00: the sun is below the horizon."
    assert moment_words(at(6, 21, 330), behind, METRIC).endswith("behind the wall.")
    assert moment_data(shed(), 0.0, at(minute=0))["note"] == "sun below the horizon"


def test_a_moment_in_words():
    words = moment_words(at(), sunlit(shed(), 0.0, at()), US)
    assert words.startswith("February 5, 12:00 pm: sun 28° high, ")
    assert "% of the direct sun reaches the glazing." in words
    assert "hours of direct sun" in day_words(at(), day_light(shed(), 0.0, at()), US)


def test_the_suns_path_is_made_of_unit_vectors_and_named_hours():
    path = sun_path(shed(), at(), METRIC)
    assert {"12 h", "10 h"} <= {p["hour"] for p in path}
    assert all(np.linalg.norm(p["way"]) == approx(1.0, abs=1e-3) and p["way"][2] > 0.0 for p in path)


@pytest.mark.parametrize("day", [0, 30, 31, 58, 59, 200, 364])
def test_days_of_a_year_and_dates(day):
    assert date_number(*date_of(day)) == day


def test_clocks():
    assert [clock_text(m, METRIC) for m in (0, 750, 1439)] == ["0:00", "12:30", "23:59"]
    assert [clock_text(m, US) for m in (0, 750, 1439)] == ["12:00 am", "12:30 pm", "11:59 pm"]


def test_rings_are_round_in_the_readers_unit():
    assert [r["text"] for r in rings(29.0, METRIC)] == ["5 m", "10 m", "15 m", "20 m", "25 m"]
    feet = rings(29.0, US)
    assert feet[0]["text"] == "20 ft"
    assert feet[0]["radius"] == approx(6.096)
    assert all(len(rings(far, reader)) <= 6 for far in (5.0, 100.0, 2000.0) for reader in (US, METRIC))


def test_things_in_words():
    assert place_text(3.0, -9.144, US) == "9.8 ft east, 30 ft south"
    assert thing_words(shed(), "fir 1", METRIC) == "tree 15 m tall, 3.6 m west, 15.2 m south"
    assert thing_words(plain(), "overhang", METRIC) == "overhang over the glazing"
    assert thing_words(shed(), "felled", METRIC) == ""


def test_the_sky_holds_the_sun_on_its_path():
    sky = json.loads(json.dumps(sky_data(shed(), 0.0, at(), METRIC)))
    turn, high = sky["sun"]
    found = sunlit(shed(), 0.0, at())
    assert high == approx(found.elevation_deg, abs=0.1)
    assert sky["middle"] + turn == approx(found.azimuth_deg, abs=0.1)
    now = next(path for path in sky["paths"] if path["now"])
    assert min(np.hypot(p[0] - turn, p[1] - high) for p in now["points"]) < 1.5
    assert {s["name"] for s in sky["shapes"]} >= {"fir 1", "big maple", "modules"}
    assert all(abs(p[0]) <= 90.1 and p[1] >= 0.0 for s in sky["shapes"] for p in s["outline"])
    assert sky["ground"] == []


def test_a_skyline_and_a_slope_are_ground():
    raised = shed().model_copy(
        update={
            "site": shed().site.model_copy(
                update={"horizon": ((0.0, 5.0), (90.0, 5.0), (180.0, 5.0), (270.0, 5.0))}
            )
        }
    )
    ground = sky_data(raised, 0.0, at(), METRIC)["ground"]
    assert max(p[1] for p in ground) == approx(5.0)


def test_the_suns_rows_for_charts():
    series, us = sun_series(demo_sun(), METRIC), sun_series(demo_sun(), US)
    assert series["months"] == list(range(1, 13))
    assert all(a <= b + 0.1 for a, b in zip(series["on_wall"], series["open_site"], strict=True))
    assert us["on_wall"][0] == approx(series["on_wall"][0] * KBTU_PER_KWH, rel=1e-3)
    assert series["takers"][0]["name"] == "modules"
    calendar = series["calendar"]
    assert len(calendar["dates"]) == len(calendar["first"]) == 365
    assert all(
        a is None or a >= b - 0.1 for a, b in zip(calendar["first"], calendar["first_open"], strict=True)
    )
    rows = calendar["carpet"]["rows"]
    assert (len(rows), {len(row) for row in rows}) == (73, {72})
    assert set("".join(rows)) <= set("01234")


def test_the_cuts_rows_for_charts():
    series = cuts_series(demo_cuts(), shed(), METRIC)
    assert [s["names"] for s in series["steps"]] == [list(s.names) for s in demo_cuts().steps]
    assert series["steps"][0]["told"].partition(";")[0].endswith(" more")
    assert series["steps"][0]["fuel"].startswith("propane: ") and " USD" in series["steps"][0]["fuel"]
    for step in series["steps"]:
        assert ("the other still stands in the same sun" in step["why"]) is (len(step["names"]) == 2)
    assert series["steps"][-1]["running"] <= series["whole"] * 1.01
    assert {row["name"] for row in series["less"] if row["grows"]} <= {o.name for o in shed().obstacles}
