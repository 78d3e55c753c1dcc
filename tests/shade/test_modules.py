"""Light on PV modules, part by part."""

from __future__ import annotations

import numpy as np
import pytest

from noonwall.model.obstacle import Building, Row
from noonwall.model.pv import PvField
from noonwall.shade.modules import module_receiver, module_shade
from noonwall.sky.sun import sun_course
from shade.sites import site

FIELD = PvField(name="modules", columns=4, rows=2, tilt=50.0, along=0.0, out=1.6, lower_edge=2.4)
STEP = 900


def course(days: int = 365, start: str = "2023-01-01"):
    return sun_course(46.1, -67.8, 150.0, -5.0, np.datetime64(start), STEP, days * 86400 // STEP)


def test_a_part_is_as_large_as_the_module_says():
    cells = module_receiver(site(pv=(FIELD,)), FIELD)
    assert cells.count == 4 * 2 * 3
    area = (cells.rows[:, 1] - cells.rows[:, 0])[:, None] * (cells.columns[:, 1] - cells.columns[:, 0])[
        None, :
    ]
    parts = np.bincount(cells.bins.ravel(), weights=area.ravel())
    assert parts == pytest.approx(FIELD.long_m * FIELD.short_m / 3)


@pytest.mark.parametrize("upright", [True, False])
def test_shade_from_the_left_reaches_the_first_module_first(upright: bool):
    field = FIELD.model_copy(update={"upright": upright, "rows": 1})
    # Facing the south wall from outside, left is west; the afternoon sun comes from there.
    house = Building(name="house", along=9.0, out=1.6, width=2.0, length=4.0, eaves=9.0, faces=172.0)
    shade = module_shade(site(house, pv=(field,)), field, course(1, "2023-03-20"))
    module = shade.beam_share.reshape(-1, 4, 3).mean(axis=2)
    hit = module[(module.min(axis=1) < 1.0) & (module.max(axis=1) > 0.0)]
    assert len(hit) > 2
    assert np.all(hit[:, 0] <= hit[:, 3] + 1e-9)
    assert hit[:, 0].mean() < hit[:, 3].mean() - 0.2


def test_shade_from_below_takes_the_lower_row_or_the_lower_parts():
    belt = Row(
        name="firs", form="conifer", line=((-30.0, -12.0), (30.0, -12.0)), spacing=4.0, crown_width=4.0,
        height_low=9.0, height_high=9.0,
    )  # fmt: skip
    suns = course(1, "2023-01-10")
    two_rows = module_shade(site(belt, pv=(FIELD,)), FIELD, suns).beam_share.reshape(-1, 2, 4, 3)
    assert two_rows[:, 0].mean() < two_rows[:, 1].mean() - 0.001
    lying = FIELD.model_copy(update={"upright": False, "rows": 1})
    parts = module_shade(site(belt, pv=(lying,)), lying, suns).beam_share.reshape(-1, 4, 3)
    assert parts[:, :, 0].mean() < parts[:, :, 2].mean()


def test_the_shop_stands_in_the_way_of_a_sun_from_behind():
    flat = FIELD.model_copy(update={"tilt_deg": 5.0, "lower_edge_m": 0.5, "rows": 1})
    suns = course(1, "2023-06-21")
    shade = module_shade(site(pv=(flat,)), flat, suns)
    behind = (suns.up > 0.05) & (suns.up < 0.2) & (suns.north > 0.3)
    assert behind.sum() > 3
    # A sun in the north-east reaches the eastern modules past the shop's corner, the western ones not.
    module = shade.beam_share[behind].reshape(-1, 4, 3).mean(axis=(0, 2))
    assert module[0] == 0.0
    assert np.all(np.diff(module) >= 0.0)
