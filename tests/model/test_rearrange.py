"""Moving, resizing and cutting what stands around: on the record, and in the file."""

from __future__ import annotations

import math

import pytest
from pytest import approx

from fakes.projects import demo
from noonwall.errors import ProjectError
from noonwall.model.edit import add_item
from noonwall.model.file import from_text
from noonwall.model.new_things import SIZES, new_thing
from noonwall.model.rearrange import (
    from_wall,
    moved,
    place_of,
    resized,
    size_of,
    thing_named,
    things,
    typed,
    was_sighted,
    write_moved,
    write_resized,
    write_sawn,
)
from noonwall.model.surroundings import check_site
from noonwall.model.survey import height_of
from noonwall.model.templates import demo_text

ROW = """
[[obstacle]]
kind = "row"
name = "poplars"
form = "broadleaf"
line = [["10 m", "-30 m"], ["30 m", "-30 m"]]
spacing = "5 m"
height_low = "12 m"
height_high = "16 m"
crown_width = "3 m"
"""


def with_row():
    text = demo_text() + ROW
    return text, from_text(text)


@pytest.mark.parametrize(
    ("metres", "system", "told"),
    [
        (3.6576, "us", "12 ft"),
        (-12.34, "metric", "-12.3 m"),
        (1.618, "metric", "1.62 m"),
        (-0.001, "metric", "0 m"),
    ],
)
def test_lengths_are_written_as_a_builder_types_them(metres, system, told):
    assert typed(metres, system) == told


def test_a_tree_stands_where_it_was_moved_to_and_nothing_else_moves():
    project = demo()
    there = moved(project, "fir 1", (4.0, -9.0))
    assert place_of(there, thing_named(there, "fir 1").thing) == (4.0, -9.0)
    others = [t for t in there.obstacles if t.name != "fir 1"]
    assert others == [t for t in project.obstacles if t.name != "fir 1"]


def test_a_sighted_tree_keeps_its_height_when_it_is_moved():
    project = demo()
    maple = thing_named(project, "big maple").thing
    assert was_sighted(project, "big maple")
    tall = height_of(project, maple, maple.height_m)
    text = write_moved(demo_text(), project, "big maple", (14.0, -12.0), "metric")
    found = thing_named(from_text(text), "big maple").thing
    assert (found.east_m, found.north_m) == (14.0, -12.0)
    assert found.height_m == approx(tall, abs=0.05)
    assert found.bearing_deg is found.distance_m is found.top_angle_deg is found.seen_from is None


def test_a_move_leaves_the_rest_of_the_file_as_typed():
    before = demo_text().splitlines()
    after = write_moved(demo_text(), demo(), "fir 2", (-7.44, -20.0), "metric").splitlines()
    changed = [(a, b) for a, b in zip(before, after, strict=True) if a != b]
    assert ("north", '"-20 m"') in [tuple(b.split(" = ")) for _, b in changed]
    assert all(b.startswith(("east", "north")) for _, b in changed)


def test_a_move_is_written_in_feet_for_a_builder_in_feet():
    text = write_moved(demo_text(), demo(), "fir 2", (-6.096, -15.24), "us")
    assert 'east = "-20 ft"' in text
    assert 'north = "-50 ft"' in text


def test_modules_placed_from_the_wall_stay_placed_from_the_wall():
    project = demo()
    text = write_moved(demo_text(), project, "modules", (0.3, -2.0), "metric")
    field = from_text(text).pv[0]
    assert field.east_m is None
    assert place_of(project, field) == (approx(0.3, abs=0.01), approx(-2.0, abs=0.01))


def test_from_wall_turns_lengths_and_keeps_them():
    project = demo()
    along, out = from_wall(project, (3.0, -4.0))
    assert math.hypot(along, out) == approx(5.0)
    turn = math.radians(project.wall.azimuth_deg)
    assert from_wall(project, (math.sin(turn), math.cos(turn))) == (approx(0.0, abs=1e-12), approx(1.0))


def test_a_row_moves_as_a_whole():
    text, project = with_row()
    after = from_text(write_moved(text, project, "poplars", (25.0, -28.0), "metric"))
    assert thing_named(after, "poplars").thing.line == ((15.0, -28.0), (35.0, -28.0))


def test_a_taller_tree_and_a_wider_crown():
    project = demo()
    assert size_of(project, thing_named(project, "fir 1").thing, "height") == 15.0
    taller = resized(project, "fir 1", "height", 20.0)
    assert thing_named(taller, "fir 1").thing.height_m == 20.0
    wider = from_text(write_resized(demo_text(), project, "fir 1", "width", 6.1, "metric"))
    assert thing_named(wider, "fir 1").thing.crown_width_m == approx(6.1)


def test_a_roof_is_raised_in_proportion():
    after = thing_named(resized(demo(), "neighbour's shed", "height", 9.2), "neighbour's shed").thing
    assert (after.ridge_m, after.eaves_m) == (approx(9.2), approx(5.6))


def test_cuts_are_written_into_the_file():
    project = demo()
    out = from_text(write_sawn(demo_text(), project, ["fir 1", "fir 3"], "out", 0.0, "metric"))
    assert {"fir 1", "fir 3"}.isdisjoint(things(out))
    assert set(things(out)) == set(things(project)) - {"fir 1", "fir 3"}
    topped = from_text(write_sawn(demo_text(), project, ["fir 2"], "top", 10.0, "metric"))
    assert thing_named(topped, "fir 2").thing.topped_m == 10.0
    once = write_sawn(demo_text(), project, ["fir 2"], "thin", 0.5, "metric")
    twice = from_text(write_sawn(once, from_text(once), ["fir 2"], "thin", 0.5, "metric"))
    assert thing_named(twice, "fir 2").thing.thinned == approx(0.75)


@pytest.mark.parametrize(
    ("doing", "told"),
    [
        (lambda p: moved(p, "no such", (0.0, 0.0)), 'there is no "no such"'),
        (lambda p: resized(p, "modules", "height", 3.0), "no such size"),
    ],
)
def test_what_cannot_be_is_told_in_one_line(doing, told):
    with pytest.raises(ProjectError, match=told) as caught:
        doing(demo())
    assert "\n" not in str(caught.value)


def test_what_hangs_on_the_wall_has_no_place():
    key, item = new_thing(demo(), "awning", "metric")
    project = from_text(add_item(demo_text(), key, item))
    with pytest.raises(ProjectError, match="hangs on the wall"):
        moved(project, str(item["name"]), (0.0, 0.0))


@pytest.mark.parametrize("system", ["metric", "us"])
@pytest.mark.parametrize("what", SIZES)
def test_everything_that_can_be_set_up_may_stand_there(what, system):
    key, item = new_thing(demo(), what, system)
    project = from_text(add_item(demo_text(), key, item))
    check_site(project)
    assert item["name"] in things(project)
    again = new_thing(project, what, system)[1]
    assert again["name"] != item["name"]


def test_a_second_tree_stands_beside_the_first():
    text = demo_text()
    for _ in range(3):
        project = from_text(text)
        text = add_item(text, *new_thing(project, "conifer", "metric"))
    project = from_text(text)
    spots = [place_of(project, t) for name, (_, t) in things(project).items() if name.startswith("conifer")]
    assert min(math.dist(a, b) for i, a in enumerate(spots) for b in spots[:i]) > 2.5


def test_setting_up_something_unknown_is_refused():
    with pytest.raises(ProjectError, match='nothing to set up is called "flagpole"'):
        new_thing(demo(), "flagpole", "metric")
