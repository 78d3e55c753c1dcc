"""What PV modules deliver, and what strings make of uneven light."""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np
import pytest
from pvlib import inverter, pvsystem, temperature

from noonwall.assess.modules import cell_c, field_year, string_light
from noonwall.model.obstacle import Tree, WingWall
from noonwall.model.pv import PvField
from noonwall.shade.modules import module_shade
from noonwall.sky.sun import sun_course
from shade.sites import site

FIELD = PvField(name="modules", columns=4, rows=2, tilt=50.0, along=0.0, out=1.6, lower_edge=2.4)
STEP = 900


def course(days: int = 365, start: str = "2023-01-01"):
    return sun_course(46.1, -67.8, 150.0, -5.0, np.datetime64(start), STEP, days * 86400 // STEP)


def clear(suns):
    """Return an invented clear sky for a course."""
    up = np.maximum(suns.up, 0.0)
    dni = np.where(up > 0.0, 850.0 * np.exp(-0.13 / np.maximum(up, 0.02)), 0.0)
    dhi = 90.0 * up**0.4
    flat = np.zeros(suns.steps)
    time = suns.start + np.arange(suns.steps) * np.timedelta64(suns.step_s, "s")
    return SimpleNamespace(
        time=time, air_c=flat + 2.0, wind_m_s=flat + 2.0, ghi_w_m2=dni * up + dhi, dni_w_m2=dni, dhi_w_m2=dhi,
        albedo=flat + 0.3,
    )  # fmt: skip


def test_nothing_there_leaves_the_open_sites_energy():
    project, suns = site(pv=(FIELD,)), course()
    shade = module_shade(project, FIELD, suns)
    assert np.all(shade.sky_view == 1.0)
    year = field_year(project, FIELD, suns, clear(suns), shade=shade)
    assert year.kwh == pytest.approx(year.open_kwh, rel=1e-9)
    assert len(year.month_kwh) == 12
    assert sum(year.month_kwh) == pytest.approx(float(year.ac_w.sum()) * STEP / 3.6e6)


def test_more_obstacles_never_give_more_energy():
    suns = course(30, "2023-01-01")
    weather = clear(suns)
    things = [
        Tree(name="fir", form="conifer", along=3.0, out=15.0, height=12.0, crown_width=5.0),
        WingWall(name="wing", end="right", depth=2.5, top=6.0),
    ]
    energy = [field_year(site(*things[:n], pv=(FIELD,)), FIELD, suns, weather).kwh for n in range(3)]
    assert energy[0] > energy[1] > energy[2] > 0.0


def test_even_light_is_itself_and_one_dark_part_costs_its_share():
    assert string_light(np.full((1, 6), 700.0))[0] == pytest.approx(700.0, rel=2e-3)
    assert string_light(np.zeros((1, 6)))[0] == 0.0
    # Five of six parts work, and the dark one's diode costs a little.
    assert string_light(np.array([[800.0] * 5 + [0.0]]))[0] == pytest.approx(800.0 * 5 / 6, rel=0.02)
    # A part with nine tenths of the light is kept, for it costs less than to leave it out.
    assert 720.0 < string_light(np.array([[800.0] * 5 + [720.0]]))[0] < 780.0


@pytest.mark.parametrize("dim", [0.0, 0.2, 0.5, 0.7, 0.9])
@pytest.mark.parametrize("shaded", [1, 3, 6])
def test_strings_agree_with_joined_current_voltage_curves(dim: float, shaded: int):
    # Witness: single-diode curves of 20-cell parts by pvlib (De Soto), voltages added at one current, a part
    # that cannot carry it passed by its diode; 12 parts in series.
    parts = np.full(12, 800.0)
    parts[:shaded] *= dim
    current = np.linspace(0.0, 9.0, 1500)
    made = float((sum(part_volts(light, current) for light in parts) * current).max())
    whole = float((12.0 * part_volts(800.0, current) * current).max())
    assert string_light(parts[None, :])[0] / 800.0 == pytest.approx(made / whole, abs=0.04)


def part_volts(light: float, current: np.ndarray) -> np.ndarray:
    il, io, rs, rsh, nvt = pvsystem.calcparams_desoto(
        max(light, 1.0),
        25.0,
        alpha_sc=0.004,
        a_ref=0.53,
        I_L_ref=9.6,
        I_o_ref=1.3e-10,
        R_sh_ref=150.0,
        R_s=0.11,
    )
    own = np.where(current < il, pvsystem.v_from_i(current, il, io, rs, rsh, nvt), -0.5)
    return np.maximum(own, -0.5)


def test_wiring_module_by_module_loses_less_than_one_string():
    fir = Tree(name="fir", form="conifer", along=2.0, out=9.0, height=9.0, crown_width=3.0)
    suns = course(20, "2023-02-01")
    year = {
        wiring: field_year(site(fir), FIELD.model_copy(update={"wiring": wiring}), suns, clear(suns)).kwh
        for wiring in ("one string", "string per row", "module by module")
    }
    assert year["one string"] <= year["string per row"] <= year["module by module"]
    assert year["one string"] < year["module by module"]


def test_cells_and_inverter_are_pvlibs():
    light, air, wind = np.array([800.0]), np.array([-5.0]), np.array([3.0])
    # Witness: pvlib.temperature.sapm_cell, open rack glass/polymer: a -3.56, b -0.075, deltaT 3.
    expected = temperature.sapm_cell(800.0, -5.0, 3.0, -3.56, -0.075, 3)
    assert cell_c(FIELD, light, air, wind)[0] == pytest.approx(expected)
    suns = course(1, "2023-03-20")
    small = FIELD.model_copy(update={"inverter_w": 900.0})
    power = field_year(site(), small, suns, clear(suns)).ac_w
    assert power.max() <= 900.0 + 1e-6
    assert power.max() == pytest.approx(float(inverter.pvwatts(2000.0, 900.0 / 0.96, 0.96)))
