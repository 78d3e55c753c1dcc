"""Shade of a wooded site over a whole year, one sun position redrawn, and a general ray caster beside it.

Peers: pvlib's NREL solar position algorithm compiled by numba, one thread, 105,120 instants; trimesh with the
embree engine on the same bodies and as many rays as we have cells.
"""

from __future__ import annotations

import math
import warnings

import numpy as np

from benchmarks.ratio import Ratio, best_of
from noonwall.model.file import from_text
from noonwall.model.obstacle import Building, Tree
from noonwall.model.templates import demo_text
from noonwall.shade.frame import Frame
from noonwall.shade.outlines import Plan
from noonwall.shade.reach import Reach
from noonwall.shade.receiver import wall_receiver
from noonwall.shade.site import scene_of
from noonwall.shade.wall import shade_in, sun_ways
from noonwall.sky.sun import sun_course

TREES, ROWS, COLUMNS, STRIPS = 200, 24, 8, 8
INSTANTS, STEP_S = 105_120, 300
HOUSES, SUNS = 12, 2000


def wooded() -> object:
    """Return the demo among two hundred trees, 15 to 40 m before its wall."""
    rng = np.random.default_rng(1)
    trees = []
    for i in range(TREES):
        turn, far = math.radians(rng.uniform(-80.0, 80.0)), rng.uniform(15.0, 40.0)
        trees.append(
            Tree(
                name=f"tree {i}", form="conifer" if rng.random() < 0.6 else "broadleaf",
                along=far * math.sin(turn), out=far * math.cos(turn), height=rng.uniform(10.0, 16.0),
                crown_width=rng.uniform(3.0, 6.0), crown_base=2.0,
            )
        )  # fmt: skip
    return from_text(demo_text()).model_copy(update={"obstacles": tuple(trees), "pv": ()})


def built_up() -> object:
    rng = np.random.default_rng(2)
    houses = [
        Building(
            name=f"house {i}", roof="flat", along=rng.uniform(-25.0, 25.0), out=rng.uniform(8.0, 40.0),
            width=rng.uniform(3.0, 9.0), length=rng.uniform(3.0, 9.0), eaves=rng.uniform(3.0, 8.0), faces=0.0,
        )
        for i in range(HOUSES)
    ]  # fmt: skip
    project = from_text(demo_text())
    wall = project.wall.model_copy(update={"overhang": None, "azimuth_deg": 180.0})
    return project.model_copy(update={"obstacles": tuple(houses), "pv": (), "wall": wall})


def sun_position_seconds() -> float:
    import pandas as pd
    from pvlib import solarposition

    warnings.simplefilter("ignore")
    minutes = pd.date_range("2001-01-01", periods=INSTANTS, freq="5min", tz="Etc/GMT+5")

    def run() -> None:
        solarposition.spa_python(minutes, 46.1, -67.8, 150.0, how="numba", numthreads=1)

    run()
    return best_of(5, run)


def year_ratios() -> list[Ratio]:
    project = wooded()
    scene, frame = scene_of(project), Frame.of(project.wall)
    course = sun_course(46.1, -67.8, 150.0, -5.0, np.datetime64("2001-01-01"), STEP_S, INSTANTS)
    wall = Reach(scene, frame, wall_receiver(frame, STRIPS, ROWS, COLUMNS))
    ways = sun_ways(frame, course)
    lit = np.flatnonzero((ways[:, 1] > 0.0) & (ways[:, 2] > 0.0))
    states = scene.calendar(np.arange(365.0))
    day = (lit * STEP_S) // 86400
    shares = np.ones((INSTANTS, STRIPS))

    def beam() -> None:
        wall.write_shares(ways[lit], lit, states, day, shares)

    def whole() -> None:
        shade_in(scene, frame, course, STRIPS)

    beam()
    whole()
    peer = sun_position_seconds()
    return [
        Ratio(
            f"beam, {TREES} trees, {ROWS} x {COLUMNS} cells, year / sun position",
            best_of(5, beam),
            peer,
            "s",
            1.5,
        ),
        Ratio("the same with sky, horizon and ground / the same", best_of(3, whole), peer, "s"),
        redrawn(scene, frame, wall),
    ]


def redrawn(scene: object, frame: Frame, wall: Reach) -> Ratio:
    """Time one sun position: the wall's strips and every shadow on the plan."""
    way = np.array([[0.2, 0.85, math.sqrt(1.0 - 0.2**2 - 0.85**2)]])
    states, state = scene.calendar(np.array([40.0])), np.zeros(1, np.int64)
    plan = Plan(scene, frame)

    def draw() -> None:
        wall.shares(way, states, state)
        plan.shapes(way[0])

    draw()
    return Ratio(f"one sun position redrawn, {TREES} trees / 5 ms", best_of(5, draw), 0.005, "s", at_most=1.0)


def caster_ratios() -> list[Ratio]:
    import trimesh

    project = built_up()
    scene, frame = scene_of(project), Frame.of(project.wall)
    wall = Reach(scene, frame, wall_receiver(frame, STRIPS, ROWS, COLUMNS))
    rng = np.random.default_rng(3)
    rise, turn = np.radians(rng.uniform(3.0, 50.0, SUNS)), np.radians(rng.uniform(-75.0, 75.0, SUNS))
    ways = np.column_stack([np.cos(rise) * np.sin(turn), np.cos(rise) * np.cos(turn), np.sin(rise)])
    meshes = [trimesh.convex.convex_hull(np.asarray(solid.corners)) for solid in scene.solids]
    caster = trimesh.util.concatenate(meshes).ray
    u = frame.width_m * ((np.arange(COLUMNS) + 0.5) / COLUMNS - 0.5)
    v = frame.foot_m + frame.height_m * (np.arange(ROWS) + 0.5) / ROWS
    points = np.array([(a, 1e-5, b) for b in v for a in u])
    starts, rays = np.tile(points, (SUNS, 1)), np.repeat(ways, len(points), axis=0)
    states, state = np.zeros((1, 0)), np.zeros(SUNS, np.int64)

    ours = wall.shares(ways, states, state).mean(axis=1)
    theirs = 1.0 - caster.intersects_any(starts, rays).reshape(SUNS, -1).mean(axis=1)
    assert abs(float((ours - theirs).mean())) < 0.002, "the two do not agree"
    mine = best_of(5, lambda: wall.shares(ways, states, state))
    general = best_of(3, lambda: caster.intersects_any(starts, rays))
    what = f"ray caster, {HOUSES} bodies, {SUNS} suns x {ROWS * COLUMNS} rays / ours"
    return [Ratio(what, mine, general, "s", at_least=20.0)]


def ratios() -> list[Ratio]:
    """Return all ratios of shade."""
    return year_ratios() + caster_ratios()
