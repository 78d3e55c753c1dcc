"""From the store of readings to what a trial needs: shop, wall, fan and weather at equal steps."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from noonwall.logs.learn.errors import LearningError
from noonwall.logs.learn.readings import DAY_S, HOUR_S, Measured
from noonwall.logs.learn.weather import Outside
from noonwall.logs.series import series

if TYPE_CHECKING:
    from collections.abc import Callable

    from noonwall.engine.numbers import Floats
    from noonwall.logs.store import Store
    from noonwall.model.project import Project

RUNNING_SHARE = 0.25  # of a fan's usual power from which it runs
J_PER_KWH = 3.6e6


def gather(
    store: Store,
    project: Project,
    clock_h: float,
    step_s: int,
    first_s: int | None = None,
    last_s: int | None = None,
) -> tuple[Measured, Outside]:
    """Return what was measured of shop and wall, and outdoors, at the same steps.

    clock_h         the site's standard time less UTC [h]
    first_s, last_s from, to [s since 1970 UTC]; None: all that was read of the shop's air
    raises          LearningError when the shop's air was never measured
    """
    spans = [span for channel in store.channels("shop") if (span := store.span(channel)) is not None]
    if not spans:
        raise LearningError(
            "no readings of the shop's air; learning needs at least shop and outdoor temperature: "
            "`noonwall readings add PROJECT FILE`"
        )
    shift = round(clock_h * HOUR_S)
    low = min(span[0] for span in spans) if first_s is None else max(first_s, min(span[0] for span in spans))
    high = max(span[1] for span in spans) if last_s is None else min(last_s, max(span[1] for span in spans))
    start = -(-(low + shift) // DAY_S) * DAY_S - shift
    end = (high + shift + step_s) // DAY_S * DAY_S - shift
    if end <= start:
        raise LearningError("the readings of the shop's air fill no whole day between the dates asked for")

    def of(role: str) -> Floats | None:
        found = series(store, role, start, end, step_s)
        if found is None or not np.isfinite(found.value).any():
            return None
        return found.value

    room = of("shop")
    if room is None:
        raise LearningError("the readings of the shop's air hold no usable value between the dates asked for")
    measured = Measured(
        start=np.datetime64(start + shift, "s"),
        step_s=step_s,
        room_c=room,
        gap_bottom_c=of("gap bottom"),
        gap_top_c=of("gap top"),
        vent_c=of("air out"),
        flow_m3_s=of("flow"),
        fan_share=_fan(of("fan"), of("fan power")),
        cover_share=of("cover"),
        backup_w=_backup(of, project, step_s),
    )
    tilt, azimuth = _plane(store, project)
    outside = Outside(of("outdoor"), of("sun"), tilt, azimuth, of("humidity"), of("wind"))
    return measured, outside


def _fan(state: Floats | None, power: Floats | None) -> Floats | None:
    """Return the share of each step in which the fans ran, by their switch or else by their watts."""
    if state is not None or power is None:
        return state
    usual = float(np.nanpercentile(np.where(power > 0.0, power, np.nan), 90)) if (power > 0.0).any() else 1.0
    return np.where(
        np.isfinite(power), np.clip(power / usual, 0.0, 1.0) * (power > RUNNING_SHARE * usual), np.nan
    )


def _backup(of: Callable[[str], Floats | None], project: Project, step_s: int) -> Floats | None:
    """Return the heat of the backup heater by its watts, its energy, its running time or its switch [W]."""
    power, energy_kwh = of("backup power"), of("backup energy")
    if power is not None or energy_kwh is not None:
        return power if power is not None or energy_kwh is None else energy_kwh * J_PER_KWH / step_s
    heater = project.shop.heater
    if heater is None:
        return None
    running_s, on = of("backup run time"), of("backup")
    if running_s is not None:
        return np.clip(running_s / step_s, 0.0, 1.0) * heater.power_w
    return None if on is None else on * heater.power_w


def _plane(store: Store, project: Project) -> tuple[float, float]:
    """Return tilt and azimuth of the plane on which the sun was measured."""
    found = store.channels("sun")
    plane = (found[0].plane if found else None) or "horizontal"
    if plane == "wall":
        return 90.0, project.wall.azimuth_deg
    try:
        tilt, azimuth = (float(word) for word in plane.split())
    except ValueError:
        return 0.0, 180.0
    return tilt, azimuth
