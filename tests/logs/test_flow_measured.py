"""A recap where the flow was measured: a logger's file with cfm in it, from the file to the error bar."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import pytest

from logs.lived import OFFSET_H, shed
from noonwall.logs.importer import guess_file, import_file
from noonwall.logs.invent import SEED, year_from_figures
from noonwall.logs.maps import typed
from noonwall.logs.measured import DENSITY_SHARE, FLOW_MEASURED_SHARE
from noonwall.logs.period import LEAD_DAYS, Period
from noonwall.logs.recap import recap
from noonwall.logs.runs import kwh, ran, scene
from noonwall.logs.store import Store
from noonwall.logs.weather_of import on_dates

if TYPE_CHECKING:
    from pathlib import Path

    from noonwall.logs.recap import Recap
    from noonwall.logs.runs import Run

CFM = 0.3048**3 / 60.0  # m3/s, by definition of the foot
GAS_J_KGK = 287.05  # dry air: ISO 2533:1975, section 2.1


def lived(first: str, days: int) -> tuple[Run, float]:
    """Return what the shed did on some days, and its air's pressure [Pa]."""
    project = shed()
    period = Period(np.datetime64(first), days, OFFSET_H)
    at = scene(project, on_dates(year_from_figures(project.site, SEED), period, dated=False), period)
    assert period.lead_days == LEAD_DAYS
    return ran(at), float(at.case.drive.pressure_pa.mean())


def density(air_c: np.ndarray, pressure_pa: float) -> np.ndarray:
    """Return the density of dry air [kg/m3]."""
    return np.asarray(pressure_pa / (GAS_J_KGK * (air_c + 273.15)))


def looked_back(folder: Path, run: Run, at_c: np.ndarray, pressure_pa: float, *words: str) -> Recap:
    """Write a logger's file with an air flow measured at some temperature, read it, look back."""
    volume_cfm = np.abs(run.flow_kg_s) / density(at_c, pressure_pa) / CFM
    # What the air really has when it leaves: the heat it carries over the flow that carries it.
    rise = run.delivered_w / (1006.0 * np.maximum(run.flow_kg_s, 1e-6))
    out_f = np.where(run.flow_kg_s > 1e-4, run.room_c + np.clip(rise, 0.0, 80.0), run.room_c) * 1.8 + 32.0
    start = np.datetime64("2025-03-01T05:00", "s")
    stamps = start + 900 * np.arange(len(out_f)).astype("timedelta64[s]")
    rows = zip(
        np.datetime_as_string(stamps, unit="m").tolist(),
        run.room_c.tolist(), out_f.tolist(), volume_cfm.tolist(), run.fan_share.tolist(), strict=True,
    )  # fmt: skip
    file = folder / "flow.csv"
    lines = [f"{when.replace('T', ' ')},{a:.3f},{b:.3f},{c:.3f},{d:.4f}" for when, a, b, c, d in rows]
    file.write_text("Time (UTC),Shop (C),Outlet (F),Airflow (cfm),Fan\n" + "\n".join(lines) + "\n")
    means = [f"{name}; kind=mean; stamp=begin" for name in (
        "Shop (C)=shop; unit=C", "Outlet (F)=air out; unit=F", "Fan=fan; unit=1",
    )]  # fmt: skip
    flow = "; ".join(("Airflow (cfm)=flow; unit=cfm; kind=mean; stamp=begin", *words))
    guess = guess_file(file, said=typed((*means, flow)), utc_offset_h=OFFSET_H)
    assert guess.ready, guess.text()
    with Store(folder) as store:
        import_file(store, guess)
        return recap(shed(), store)


@pytest.fixture(scope="module")
def march() -> tuple[Run, float]:
    return lived("2025-03-01", 20)


@pytest.mark.parametrize("place", ["outlet", "inlet"])
def test_flow_and_rise_give_the_heat_that_came_in(
    march: tuple[Run, float], tmp_path: Path, place: str
) -> None:
    run, pressure_pa = march
    rise = np.where(run.flow_kg_s > 1e-4, run.delivered_w / (1006.0 * np.maximum(run.flow_kg_s, 1e-6)), 0.0)
    at_c = run.room_c if place == "inlet" else run.room_c + np.clip(rise, 0.0, 80.0)
    found = looked_back(tmp_path, run, at_c, pressure_pa, f"place={place}")
    measured = found.chain.measured
    brought = kwh(measured.fan_w + measured.rising_w)
    assert measured.level == "flow and rise"
    assert brought == pytest.approx(kwh(run.delivered_w), rel=0.01)
    assert measured.errors_kwh["flow"] == pytest.approx(FLOW_MEASURED_SHARE * brought)
    assert measured.errors_kwh["density"] == pytest.approx(DENSITY_SHARE * brought)
    assert measured.error_kwh == pytest.approx(float(np.hypot.reduce(list(measured.errors_kwh.values()))))
    assert f"measured at the {place}" in measured.notes[0]
    mean = float(np.average(density(at_c, pressure_pa), weights=run.delivered_w))
    assert measured.density_kg_m3 == pytest.approx(mean, rel=0.01)
    whole = found.chain.expected_kwh + sum(item.kwh for item in found.chain.links)
    assert whole == pytest.approx(found.chain.measured_kwh, rel=1e-12, abs=1e-9)


def test_where_nobody_told_the_place_the_other_end_is_told(march: tuple[Run, float], tmp_path: Path) -> None:
    run, pressure_pa = march
    found = looked_back(tmp_path, run, run.room_c, pressure_pa)
    note = found.chain.measured.notes[0]
    assert "place=inlet" in note
    share = float(note.rsplit("be ", 1)[1].split(" %")[0]) / 100.0
    true = kwh(run.delivered_w) / kwh(found.chain.measured.fan_w) - 1.0
    assert share == pytest.approx(true, abs=0.01)
    assert share > 0.03
