"""Daily clearness and the course of a day's light, against the published distribution."""

from __future__ import annotations

import numpy as np
import pytest
from pytest import approx

from noonwall.climate.clearness import clearness_quantiles
from noonwall.climate.draws import Draws, persistent


@pytest.mark.parametrize("mean", [0.2, 0.3, 0.4, 0.5, 0.6, 0.7])
def test_quantiles_follow_hollands_and_huget(mean: float):
    # Witness: Hollands and Huget 1983, Solar Energy 30, 195: highest clearness and closed form of lambda
    # (from memory; it reproduces its own mean to three digits, which is checked here too).
    top = 0.6313 + 0.267 * mean - 11.9 * (mean - 0.75) ** 8
    gamma = top / (top - mean)
    steep = (2.0 * gamma - 17.519 * np.exp(-1.3118 * gamma) - 1062.0 * np.exp(-5.0426 * gamma)) / top
    k = np.linspace(0.0, top, 4001)
    density = (top - k) * np.exp(steep * k)
    density /= np.trapezoid(density, k)
    wanted_spread = np.sqrt(np.trapezoid(density * k * k, k) - np.trapezoid(density * k, k) ** 2)
    assert np.trapezoid(density * k, k) == approx(mean, abs=0.002)
    found = clearness_quantiles((np.arange(2000) + 0.5) / 2000, mean, top)
    assert found.mean() == approx(mean, abs=0.002)
    assert found.std() == approx(wanted_spread, rel=0.02)
    assert found.max() <= top


def test_draws_are_unit_normal_and_repeat():
    one, again = Draws(7, 1).normal(20000), Draws(7, 1).normal(20000)
    assert np.array_equal(one, again)
    assert one.mean() == approx(0.0, abs=0.03)
    assert one.std() == approx(1.0, abs=0.03)
    assert abs(np.corrcoef(one, Draws(7, 2).normal(20000))[0, 1]) < 0.03


def test_draws_are_the_documented_bits():
    # Witness: numpy's PCG64 and SeedSequence, whose streams numpy promises to keep.
    raw = np.random.PCG64(np.random.SeedSequence([7, 1])).random_raw(3)
    wanted = [(int(word >> 11) + 0.5) * 2.0**-53 for word in raw.tolist()]
    assert Draws(7, 1).uniform(3) == approx(wanted, rel=1e-15)


def test_memory_is_what_was_asked_for():
    series = persistent(Draws(1, 9).normal(50000), 0.78)
    assert np.corrcoef(series[:-1], series[1:])[0, 1] == approx(0.78, abs=0.01)
    assert series.std() == approx(1.0, abs=0.05)
