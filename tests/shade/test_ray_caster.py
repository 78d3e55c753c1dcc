"""Beam share of opaque obstacles, and ways through crowns, against a general ray caster on meshes.

Witness: trimesh with the embree engine (test-only); the meshes are built here from the description, not from
the product's shapes.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from noonwall.model.cover import Overhang
from noonwall.model.obstacle import Awning, Building, Post, Tree, WingWall
from noonwall.model.pv import PvField
from noonwall.shade.chords import cone_chord, egg_chord
from shade.sites import beam, site, way

trimesh = pytest.importorskip("trimesh", reason="the ray caster comes with the dev extra")
pytest.importorskip("embreex", reason="the ray caster's engine comes with the dev extra")

SITES, SUNS = 100, 5


def outward(azimuth_deg: float) -> tuple[np.ndarray, np.ndarray]:
    """Return the unit vectors out of a face and to the right of someone looking out, in (east, north, up)."""
    turn = math.radians(azimuth_deg)
    return np.array([math.sin(turn), math.cos(turn), 0.0]), np.array([math.cos(turn), -math.sin(turn), 0.0])


def box(house: Building) -> object:
    front, right = outward(house.faces_deg)
    foot = np.array([house.east_m, house.north_m, 0.0])
    w, d = house.width_m / 2 * right, house.length_m / 2 * front
    up = np.array([0.0, 0.0, 1.0])
    corners = [foot + i * w + j * d for i in (-1, 1) for j in (-1, 1)]
    high = house.eaves_m if house.roof == "flat" else house.ridge_m
    tops = [c + house.eaves_m * up for c in corners]
    if house.roof == "gable":
        ends = (w, -w) if house.ridge_runs == "along front" else (d, -d)
        tops += [foot + e + high * up for e in ends]
    elif house.roof == "shed":
        tops = [
            foot + i * w + j * d + (house.eaves_m if j > 0 else high) * up for i in (-1, 1) for j in (-1, 1)
        ]
    return trimesh.convex.convex_hull(np.array(corners + tops))


def plate(corners: list[np.ndarray]) -> object:
    return trimesh.Trimesh(np.array(corners), [[0, 1, 2], [0, 2, 3]], process=False)


def hanging(wall: object, depth: float, above: float, side: float, tilt_deg: float = 0.0) -> object:
    out, right = outward(wall.azimuth_deg)
    half = wall.width_m / 2 + side
    high = np.array([0.0, 0.0, wall.foot_m + wall.height_m + above])
    edge = high + depth * out - np.array([0.0, 0.0, depth * math.tan(math.radians(tilt_deg))])
    return plate([high - half * right, high + half * right, edge + half * right, edge - half * right])


def wing_plate(wall: object, wing: WingWall) -> object:
    out, right = outward(wall.azimuth_deg)
    foot = (wall.width_m / 2 + wing.away_m) * (right if wing.end == "left" else -right)
    low, high = np.array([0.0, 0.0, wing.bottom_m]), np.array([0.0, 0.0, wing.top_m])
    return plate([foot + low, foot + wing.depth_m * out + low, foot + wing.depth_m * out + high, foot + high])


def module_plates(field: PvField) -> list[object]:
    front, right = outward(field.azimuth_deg)
    tilt = math.radians(field.tilt_deg)
    rise = -front * math.cos(tilt) + np.array([0.0, 0.0, math.sin(tilt)])
    low = np.array([field.east_m, field.north_m, field.lower_edge_m])
    wide, tall = (field.short_m, field.long_m) if field.upright else (field.long_m, field.short_m)
    whole = field.columns * (wide + field.column_gap_m) - field.column_gap_m
    plates = []
    for r in range(field.rows):
        for c in range(field.columns):
            start = low + (c * (wide + field.column_gap_m) - whole / 2) * right
            start = start + r * (tall + field.row_gap_m) * rise
            plates.append(
                plate([start, start + wide * right, start + wide * right + tall * rise, start + tall * rise])
            )
    return plates


def random_site(rng: np.random.Generator) -> tuple[object, list[object]]:
    """Return a random site as a project and as meshes."""
    azimuth, overhang = rng.uniform(140, 220), None
    out, right = outward(azimuth)
    things, meshes = [], []
    wall = site(azimuth_deg=azimuth).wall
    for i in range(rng.integers(1, 4)):
        spot = rng.uniform(6, 30) * out + rng.uniform(-15, 15) * right
        eaves = rng.uniform(2, 6)
        house = Building(
            name=f"house {i}", roof=str(rng.choice(["flat", "gable", "shed"])), faces=rng.uniform(0, 360),
            ridge_runs=str(rng.choice(["along front", "front to back"])), east=spot[0], north=spot[1],
            width=rng.uniform(2, 10), length=rng.uniform(2, 6), eaves=eaves,
            ridge=eaves + rng.uniform(0.3, 3),
        )  # fmt: skip
        things.append(house)
        meshes.append(box(house))
    if rng.random() < 0.4:
        overhang = Overhang(depth=rng.uniform(0.3, 2), above=rng.uniform(0, 0.6), side=rng.uniform(0, 1))
        meshes.append(hanging(wall, overhang.depth_m, overhang.above_m, overhang.side_m))
    elif rng.random() < 0.4:
        awning = Awning(
            name="awning", depth=rng.uniform(0.3, 2), above=0.2, tilt=rng.uniform(-30, 40), side=0.3
        )
        things.append(awning)
        meshes.append(hanging(wall, awning.depth_m, 0.2, 0.3, awning.tilt_deg))
    if rng.random() < 0.4:
        wing = WingWall(
            name="wing", end=str(rng.choice(["left", "right"])), away=0.3, depth=rng.uniform(0.5, 3), top=4
        )
        things.append(wing)
        meshes.append(wing_plate(wall, wing))
    fields = []
    if rng.random() < 0.4:
        spot = 1.6 * out
        field = PvField(
            name="modules", columns=int(rng.integers(2, 7)), rows=int(rng.integers(1, 3)),
            tilt=rng.uniform(10, 60),
            azimuth=azimuth, east=spot[0], north=spot[1], lower_edge=rng.uniform(2, 3),
            column_gap=0.3, row_gap=0.1,
        )  # fmt: skip
        fields.append(field)
        meshes += module_plates(field)
    return site(*things, pv=tuple(fields), azimuth_deg=azimuth, overhang=overhang), meshes


def counted_share(project: object, meshes: list[object], sun: np.ndarray, across: int, up: int) -> float:
    """Return the share of points of the glazing from which a ray to the sun meets no mesh."""
    wall = project.wall
    out, right = outward(wall.azimuth_deg)
    u = wall.width_m * ((np.arange(across) + 0.5) / across - 0.5)
    v = wall.foot_m + wall.height_m * (np.arange(up) + 0.5) / up
    points = u[:, None, None] * right + v[None, :, None] * np.array([0.0, 0.0, 1.0])
    points = points.reshape(-1, 3) + 1e-5 * out
    to_sun = sun[0] * right + sun[1] * out + sun[2] * np.array([0.0, 0.0, 1.0])
    caster = trimesh.util.concatenate(meshes).ray
    return 1.0 - float(caster.intersects_any(points, np.tile(to_sun, (len(points), 1))).mean())


def test_opaque_obstacles_agree_over_500_suns_and_sites():
    rng = np.random.default_rng(20)
    worst = 0.0
    shaded = 0
    for _ in range(SITES):
        project, meshes = random_site(rng)
        suns = np.vstack([way(rng.uniform(2, 65), rng.uniform(-80, 80)) for _ in range(SUNS)])
        ours = beam(project, suns).mean(axis=1)
        theirs = [counted_share(project, meshes, sun, 120, 96) for sun in suns]
        worst = max(worst, float(np.abs(ours - theirs).max()))
        shaded += sum(0.001 < share < 0.999 for share in theirs)
    assert shaded > 100  # the comparison is about partly shaded walls
    assert worst < 0.01


def test_posts_agree_with_a_round_mesh():
    post = Post(name="mast", along=0.7, out=5.0, width=0.4, height=6.0)
    project = site(post, azimuth_deg=180.0)
    mesh = trimesh.creation.cylinder(0.2, 6.0, sections=64)
    mesh.apply_translation([-0.7, -5.0, 3.0])
    for elevation, turn in ((15.0, 0.0), (30.0, 12.0), (40.0, -20.0)):
        sun = way(elevation, turn)
        counted = counted_share(project, [mesh], sun[0], 200, 40)
        assert beam(project, sun).mean() == pytest.approx(counted, abs=0.004)


@pytest.mark.parametrize("form", ["egg", "cone"])
def test_ways_through_crowns_agree_with_meshes(form: str):
    rng = np.random.default_rng(5)
    radius, tall = 2.5, 9.0
    if form == "egg":
        mesh = trimesh.creation.icosphere(subdivisions=5)
        mesh.apply_scale([radius, radius, tall / 2])
    else:
        mesh = trimesh.creation.cone(radius, tall, sections=256)
    starts = rng.uniform(-1, 1, (300, 3)) * [3, 3, 6] + [0, -12, 2]
    aims = rng.uniform(-1, 1, (300, 3)) * [2.5, 2.5, 4.5] + [0, 0, 2]
    ways = (aims - starts) / np.linalg.norm(aims - starts, axis=1)[:, None]
    points, ray, _ = mesh.ray.intersects_location(starts, ways, multiple_hits=True)
    for i in range(len(starts)):
        far = np.sort(np.linalg.norm(points[ray == i] - starts[i], axis=1))
        expected = far[-1] - far[0] if len(far) > 1 else 0.0
        m, d = starts[i], ways[i]
        mm, md = float(m @ m), float(m @ d)
        if form == "egg":
            got = egg_chord(radius, tall / 2, mm, md, m[2], d[2], -tall / 2, tall / 2)
        else:
            got = cone_chord(radius, tall, mm, md, m[2], d[2], tall)
        # The meshes are inscribed: up to a hand's breadth less where a ray only brushes the crown.
        assert got == pytest.approx(expected, abs=0.25 if expected < 1.0 else 0.03)


def test_a_tree_that_lets_nothing_through_is_its_mesh():
    tree = Tree(
        name="fir", form="conifer", along=1.0, out=12.0, height=10.0, crown_base=1.0, crown_width=4.0,
        passes_in_leaf=0.0, passes_bare=0.0, trunk=0.3,
    )  # fmt: skip
    project = site(tree, azimuth_deg=180.0)
    crown = trimesh.creation.cone(2.0, 9.0, sections=128)
    crown.apply_translation([-1.0, -12.0, 1.0])
    trunk = trimesh.creation.cylinder(0.15, 1.0, sections=32)
    trunk.apply_translation([-1.0, -12.0, 0.5])
    for elevation, turn in ((10.0, 0.0), (20.0, 8.0), (30.0, 2.0), (35.0, -5.0)):
        sun = way(elevation, turn)
        counted = counted_share(project, [crown, trunk], sun[0], 120, 60)
        assert beam(project, sun, rows=48, columns=32).mean() == pytest.approx(counted, abs=0.02)
