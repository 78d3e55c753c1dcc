"""From the store of readings to what a trial needs: shop, wall, fan and weather at equal steps."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from noonwall.logs.learn.errors import LearningError
from noonwall.logs.learn.readings import Measured
from noonwall.logs.learn.weather import Outside
from noonwall.logs.period import period_of
from noonwall.logs.seen import J_PER_KWH, seen
from noonwall.logs.series import series
from noonwall.logs.weather_of import plane_of, sun_channel

if TYPE_CHECKING:
    from noonwall.engine.numbers import Floats
    from noonwall.logs.period import Period
    from noonwall.logs.records import Channel
    from noonwall.logs.store import Store
    from noonwall.model.project import Project


def gather(
    store: Store,
    project: Project,
    clock_h: float,
    step_s: int,
    first: str | None = None,
    last: str | None = None,
) -> tuple[Measured, Outside]:
    """Return what was measured of shop and wall, and outdoors, at the same steps.

    clock_h      the site's standard time less UTC [h]
    first, last  dates, both included, as 2025-01-31; None: all that was read
    raises       LearningError when the shop's air was never measured; ReadingsError for dates without readings
    """
    if not store.channels("shop"):
        raise LearningError(
            "no readings of the shop's air; learning needs at least shop and outdoor temperature: "
            "`noonwall readings add PROJECT FILE`"
        )
    period = period_of(store, clock_h, first, last)
    heater = project.shop.heater
    what = seen(store, period, None if heater is None else heater.power_w, step_s=step_s)
    if what.shop_c is None:
        raise LearningError("the readings of the shop's air hold no usable value between the dates asked for")
    measured = Measured(
        start=period.first.astype("datetime64[s]"),
        step_s=step_s,
        room_c=what.shop_c,
        gap_bottom_c=what.gap_bottom_c,
        gap_top_c=what.gap_top_c,
        vent_c=what.air_out_c,
        flow_m3_s=what.flow_m3_s,
        fan_share=what.fan_share,
        cover_share=what.cover,
        backup_w=None if what.heater_kwh is None else what.heater_kwh * J_PER_KWH / step_s,
    )
    return measured, _outside(store, project, period, step_s, what.outdoor_c)


def _outside(
    store: Store, project: Project, period: Period, step_s: int, outdoor_c: Floats | None
) -> Outside:
    """Return what was measured outdoors; sun only where the plane of its sensor is told."""

    def of(role: str, channels: tuple[Channel, ...] | None = None) -> Floats | None:
        found = series(store, role, period.start_s, period.end_s, step_s, channels=channels)
        return None if found is None or not np.isfinite(found.value).any() else found.value

    sensor = sun_channel(store)
    if sensor is None:
        return Outside(outdoor_c, humidity_share=of("humidity"), wind_m_s=of("wind"))
    return Outside(outdoor_c, of("sun", (sensor,)), *plane_of(sensor, project), of("humidity"), of("wind"))
