"""What the shade loop leaves out must not matter: rows summed whole, bodies passed by on their bounds alone."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pytest import approx

from noonwall.shade.cover import misses, passes_by
from noonwall.shade.frame import Frame
from noonwall.shade.reach import Reach
from noonwall.shade.receiver import bench_for, wall_receiver
from noonwall.shade.site import scene_of
from shade.test_laws import SUNS, rolled_site

CORNER = st.tuples(*[st.floats(-20.0, 20.0), st.floats(-5.0, 12.0), st.floats(0.01, 30.0)])
RISE = st.tuples(st.floats(-0.9, 0.9), st.floats(0.02, 0.9))


@settings(max_examples=300, deadline=None, derandomize=True)
@given(st.lists(CORNER, min_size=3, max_size=8), RISE)
def test_only_bodies_whose_shadow_misses_the_grid_are_passed_by(
    corners: list[tuple[float, ...]], rise: tuple[float, float]
) -> None:
    body, way = np.array(corners), np.array([rise[0], rise[1], 0.5])
    bounds = np.column_stack([body.min(axis=0), body.max(axis=0)]).reshape(1, 6)
    shadow = body[:, :2] - body[:, 2:] * (way[:2] / way[2])
    columns, rows = np.array([[-4.0, 0.0], [0.0, 4.0]]), np.array([[0.3, 1.5], [1.5, 2.7]])
    if passes_by(bounds, 0, tuple(way), columns, rows):
        assert misses(shadow, len(shadow), columns, rows)


@pytest.mark.parametrize("seed", range(30))
def test_rows_summed_whole_and_cell_by_cell_agree(seed: int) -> None:
    project = rolled_site(seed)
    scene, frame = scene_of(project), Frame.of(project.wall)
    whole = wall_receiver(frame, 8, 24, 8)
    right = np.arange(8) >= 4
    halves = replace(whole, bins=2 * whole.bins + right[None, :].astype(np.int64), count=16)
    states, state = scene.calendar(np.zeros(1)), np.zeros(len(SUNS), np.int64)
    one, two = (Reach(scene, frame, receiver) for receiver in (whole, halves))
    assert (bench_for(one.shapes, whole).row_bin >= 0).all()
    assert (bench_for(two.shapes, halves).row_bin < 0).all()
    parted = two.shares(SUNS, states, state).reshape(len(SUNS), 8, 2).mean(axis=2)
    assert one.shares(SUNS, states, state) == approx(parted, abs=1e-12)


def test_asking_twice_gives_the_same_to_the_last_digit() -> None:
    project = rolled_site(3)
    scene, frame = scene_of(project), Frame.of(project.wall)
    asked = Reach(scene, frame, wall_receiver(frame, 8, 24, 8))
    states = scene.calendar(np.zeros(1))
    every = asked.shares(SUNS, states, np.zeros(len(SUNS), np.int64))
    alone = np.vstack([asked.shares(sun[None, :], states, np.zeros(1, np.int64)) for sun in SUNS])
    assert np.array_equal(every, alone)
