"""The sun on the wall: as the year has it, as the overhang's geometry has it, and the demo's three mistakes."""

from __future__ import annotations

import math

import numpy as np
import pytest
from pytest import approx

from fakes.projects import demo, plain
from fakes.suns import STEP_S, demo_cuts, demo_sun, demo_weather
from noonwall.engine.simulate import simulate
from noonwall.model.obstacle import Tree
from noonwall.studies.sunlight import When, groups, sunlight, usual_when


def bare(**parts):
    project = plain(**parts)
    return project.model_copy(update={"wall": project.wall.model_copy(update={"overhang": None})})


def looked(project, when=None, years_on=0.0):
    return sunlight(project, demo_weather(), when, years_on, step_s=STEP_S, takes_step_s=STEP_S)


def test_the_months_are_those_of_the_year():
    year, sun = simulate(demo(), demo_weather(), STEP_S), demo_sun()
    for month, told in zip(year.months(), sun.months, strict=True):
        assert told.month == month.month
        assert told.sun_on_wall_kwh == approx(month.sun_on_wall_kwh, rel=1e-9)
        assert told.beam_share_kept == approx(month.beam_share, rel=1e-9)
    open_site = float(year.table.sun_on_wall_open_w.sum()) * STEP_S / 3.6e6
    assert sun.whole.sun_on_wall_open_site_kwh == approx(open_site, rel=1e-9)


def test_the_whole_is_the_sum_of_the_months():
    sun = demo_sun()
    for name in ("sun_on_wall_kwh", "sun_on_wall_open_site_kwh", "sun_hours", "pv_kwh", "pv_open_site_kwh"):
        assert getattr(sun.whole, name) == approx(sum(getattr(month, name) for month in sun.months), rel=1e-9)


def test_an_open_site_keeps_everything_exactly():
    sun = looked(bare())
    for month in sun.months:
        assert (month.beam_share_kept, month.sky_view, month.ground_view) == (1.0, 1.0, 1.0)
        assert month.sun_on_wall_kwh == approx(month.sun_on_wall_open_site_kwh, rel=1e-12)
        assert month.sun_hours == month.sun_hours_open_site
        assert month.pv_kwh is None
    assert sun.takes == ()
    assert sun.moment.beam_share == 1.0


# Witness: shadow depth of an overhang by the profile angle, tan(profile) = tan(elevation) / cos(azimuth off the
# wall's normal), ASHRAE Handbook of Fundamentals, fenestration (from memory); checked against the sun told beside.
@pytest.mark.parametrize("when", [When(2, 5), When(3, 10, 11 * 60), When(10, 1, 13 * 60)], ids=str)
def test_an_endless_overhang_shades_as_deep_as_its_profile_angle_says(when):
    project = bare()
    hang = plain().wall.overhang.model_copy(update={"depth_m": 0.9, "above_m": 0.3, "side_m": 60.0})
    project = project.model_copy(update={"wall": project.wall.model_copy(update={"overhang": hang})})
    sun = looked(project, when)
    off = math.radians(sun.moment.azimuth_deg - project.wall.azimuth_deg)
    profile = math.tan(math.radians(sun.moment.elevation_deg)) / math.cos(off)
    deep = min(max(hang.depth_m * profile - hang.above_m, 0.0), project.wall.height_m)
    lit = 1.0 - deep / project.wall.height_m
    assert sun.moment.beam_share == approx(lit, abs=0.002)
    (take,) = sun.takes
    assert take.moment_share == approx(1.0 - lit, abs=0.002)
    assert take.moment_alone_share == approx(1.0 - lit, abs=0.002)


def test_the_far_skyline_takes_its_part():
    project = bare()
    place = project.site.model_copy(
        update={"horizon": ((0.0, 0.0), (90.0, 12.0), (180.0, 12.0), (270.0, 12.0))}
    )
    sun = looked(project.model_copy(update={"site": place}), When(12, 21, 8 * 60 + 30))
    (take,) = sun.takes
    assert (take.name, take.kind) == ("skyline", "skyline")
    lost = sun.whole.sun_on_wall_open_site_kwh - sun.whole.sun_on_wall_kwh
    assert sum(take.sun_kwh) == approx(lost, rel=1e-6)
    # Witness: the sun stands lower than 12 degrees then, so that the skyline hides it.
    assert sun.moment.elevation_deg < 12.0
    assert (sun.moment.beam_share, take.moment_share, take.moment_alone_share) == (0.0, 1.0, 1.0)


def test_nothing_gives_shade_back():
    for take in (*demo_sun().takes, *demo_sun().groups):
        assert min(take.sun_kwh) >= -1e-9
        assert min(take.pv_kwh) >= -1e-6
        assert take.moment_share >= 0.0


def test_several_together_take_at_least_what_the_worst_of_them_does():
    sun = demo_sun()
    by_name = {take.name: sum(take.sun_kwh) for take in sun.takes}
    for group in sun.groups:
        assert sum(group.sun_kwh) >= max(by_name[name] for name in group.members)


def test_growth_takes_more():
    some = demo(obstacles=demo().obstacles[:2])
    now, later = looked(some), looked(some, years_on=10.0)
    assert later.whole.sun_on_wall_kwh < now.whole.sun_on_wall_kwh
    assert later.whole.pv_kwh < now.whole.pv_kwh


def test_groups_go_by_name_and_number():
    def tree(name):
        return Tree(name=name, form="conifer", east=0, north=-20, height=9, crown_width=3)

    assert [*groups(demo())] == ["fir 1 to 9", "all that grows"]
    assert groups(bare(obstacles=(tree("fir 2"), tree("fir 10")))) == {"fir 2 to 10": ("fir 2", "fir 10")}
    assert groups(bare(obstacles=(tree("oak"),))) == {}
    taken = (tree("fir 1"), tree("fir 2"), tree("fir 1 to 2"))
    assert "fir 1 to 2" not in groups(bare(obstacles=taken))


def test_the_chosen_day():
    sun = looked(bare(), When(12, 21, 14 * 60 + 30))
    assert str(sun.moment.time)[5:16] == "12-21T14:30"
    assert all(hour.elevation_deg > 0.0 for hour in sun.hours)
    # Witness: solar noon altitude 90 - latitude - 23.44.
    noon = looked(bare(), When(12, 21))
    assert noon.moment.elevation_deg == approx(90.0 - 46.1 - 23.44, abs=0.1)
    assert noon.moment.azimuth_deg == approx(180.0, abs=0.2)
    assert usual_when(46.1) == When(2, 5)
    assert usual_when(-43.0) == When(8, 5)


def test_at_night_and_behind_the_wall_there_is_no_share():
    night = looked(plain(), When(2, 5, 0))
    assert night.moment.beam_share is None
    assert all(take.moment_share is None for take in night.takes)


def test_the_calendar_spans_a_year():
    calendar = demo_sun().calendar
    assert len(calendar.date) == 365
    assert (calendar.hours <= calendar.hours_open + 1e-9).all()
    assert np.nansum(calendar.hours) == approx(demo_sun().whole.sun_hours, rel=1e-9)


# The demo's three mistakes, by the numbers.
def test_the_modules_take_a_large_part_of_early_february_noon_sun():
    sun = demo_sun()
    assert str(sun.moment.time)[5:10] == "02-05"
    modules = next(take for take in sun.takes if take.name == "modules")
    others = [take.moment_share for take in sun.takes if take.name != "modules"]
    assert modules.moment_share > 0.25
    assert modules.moment_share > max(others)
    assert sum(modules.sun_kwh) > 0.2 * sun.whole.sun_on_wall_open_site_kwh


def test_the_firs_shade_wall_and_modules_in_midwinter_afternoons():
    sun = demo_sun()
    firs = next(take for take in sun.groups if take.name.startswith("fir"))
    assert sun.afternoons.beam_share_kept < 0.35
    assert firs.afternoon_share > 0.35
    assert sun.afternoons.pv_share_kept < 0.5
    assert firs.afternoon_pv_share > 0.45


def test_a_few_cuts_gain_most_of_what_can_be_gained():
    cuts = demo_cuts()
    made = [name for step in cuts.steps[:3] for name in step.names]
    assert len(made) <= 4
    assert cuts.can_be_cut == 10
    assert cuts.steps[2].running_kwh > 0.65 * cuts.all_cut.worth
