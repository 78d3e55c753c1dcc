"""A changed scene traced only where it changed is the scene traced anew, to the last bit."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from fakes.projects import demo
from noonwall.model.obstacle import Post, Row, Slope, Stand
from noonwall.shade.frame import Frame
from noonwall.shade.modules import module_shade_in
from noonwall.shade.site import scene_of
from noonwall.shade.wall import shade_in
from noonwall.sky.sun import sun_course
from noonwall.studies.acts import Act, done_to
from noonwall.studies.mended import Change, Known

STRIPS = 4
START = np.datetime64("2001-04-28T00:00:00", "s")  # the maple's leaves are coming out
PARTS = ("beam_share", "sky_view", "horizon_view", "ground_share", "ground_sky")


@cache
def site():
    project = demo()
    more = (
        Row(name="hedge", form="conifer", line=((4, -18), (14, -18)), spacing=4, height_low=5, height_high=7,
            crown_width=3.5),
        Stand(name="wood", form="broadleaf", line=((-20, -35), (10, -35)), depth=6, height_low=10, height_high=14),
        Post(name="mast", east=2, north=-6, width=0.3, height=7),
    )  # fmt: skip
    return project.model_copy(update={"obstacles": (*project.obstacles, *more)})


@cache
def course():
    place = demo().site
    return sun_course(place.latitude_deg, place.longitude_deg, place.elevation_m, -5.0, START, 1800, 20 * 48)


@cache
def known() -> Known:
    found = Known(scene_of(site()))
    traced(found.scene, found.tracer)
    return found


def traced(scene, tracer=None):
    more = {} if tracer is None else {"tracer": tracer}
    project = site()
    wall = shade_in(scene, Frame.of(project.wall), course(), STRIPS, **more)
    return wall, module_shade_in(scene, project, project.pv[0], course(), **more)


@pytest.mark.parametrize(
    "gone",
    [
        ("fir 1",),
        ("big maple",),
        ("hedge",),
        ("wood", "fir 2"),
        ("mast",),
        ("neighbour's shed",),
        ("modules",),
    ],
    ids=str,
)
def test_something_taken_out(gone):
    after = known().scene.without(gone)
    mended, fresh = traced(after, Change(known(), gone).tracer), traced(after)
    for part in PARTS:
        assert np.array_equal(getattr(mended[0], part), getattr(fresh[0], part)), part
    for part in ("beam_share", "sky_view", "horizon_view", "ground_view"):
        assert np.array_equal(getattr(mended[1], part), getattr(fresh[1], part)), part


@pytest.mark.parametrize(
    "act", [Act("fir 1", "top", 8.0), Act("wood", "thin", 0.5), Act("hedge", "top", 4.0)], ids=str
)
def test_something_topped_or_thinned(act):
    after = scene_of(done_to(site(), act))
    mended, fresh = traced(after, Change(known(), [act.name]).tracer), traced(after)
    for part in PARTS:
        assert np.array_equal(getattr(mended[0], part), getattr(fresh[0], part)), part
    assert (mended[0].beam_share >= known_beam() - 1e-12).all()


@cache
def known_beam():
    return traced(known().scene, known().tracer)[0].beam_share


def test_on_a_slope():
    hill = Slope(name="hill", rise=6, uphill=200)
    sloped = site().model_copy(update={"obstacles": (*site().obstacles, hill)})
    there = Known(scene_of(sloped))
    frame = Frame.of(sloped.wall)
    shade_in(there.scene, frame, course(), STRIPS, there.tracer)
    after = there.scene.without(["fir 2"])
    mended = shade_in(after, frame, course(), STRIPS, Change(there, ["fir 2"]).tracer)
    fresh = shade_in(after, frame, course(), STRIPS)
    for part in PARTS:
        assert np.array_equal(getattr(mended, part), getattr(fresh, part)), part


def test_light_that_nothing_touched_is_not_traced_again():
    change = Change(known(), ["fir 6"])
    traced(known().scene.without(["fir 6"]), change.tracer)
    touched = [found for (_, name), found in known().touched.items() if name == "fir 6"]
    assert touched
    assert np.mean(np.concatenate(touched)) < 0.1
