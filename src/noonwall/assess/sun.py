"""The light on the wall, month by month: what reaches it, and what would on an open site."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from noonwall.engine.year import J_PER_KWH

if TYPE_CHECKING:
    from collections.abc import Sequence

    from noonwall.assess.modules import FieldYear
    from noonwall.engine.numbers import Drive
    from noonwall.shade.calendar import SunCalendar
    from noonwall.shade.record import Floats, Ints, WallShade

MONTHS = 12
WHOLE = 0


@dataclass(frozen=True)
class WallLight:
    """Light on the glazing at each step, mean over its area, shape (n,) [W/m²]."""

    beam: Floats  # direct, with the light from close round the sun
    sky: Floats
    ground: Floats
    open_beam: Floats  # the same with nothing around
    open_sky: Floats
    open_ground: Floats

    @property
    def total(self) -> Floats:
        """All that reaches the glazing [W/m²]."""
        return self.beam + self.sky + self.ground

    @property
    def open_total(self) -> Floats:
        """All that would reach it with nothing around [W/m²]."""
        return self.open_beam + self.open_sky + self.open_ground


@dataclass(frozen=True)
class SunMonth:
    """Sums and shares of one month, or, with month 0, of all months."""

    month: int
    beam_share_kept: float | None  # direct sun that reaches the wall, of an open site's; None without any
    sky_view: float  # sky the wall sees, of what it sees on an open site, mean over its height
    ground_view: float | None  # light from the ground that reaches it, of an open site's; None without any
    sun_hours: float  # direct sun under a clear sky, an hour on half the wall counting half
    sun_hours_open_site: float
    sun_on_wall_kwh: float
    sun_on_wall_open_site_kwh: float
    pv_kwh: float | None  # None when the project has no modules
    pv_open_site_kwh: float | None


def shaded(drive: Drive, shade: WallShade) -> Drive:
    """Return what drives a year, in another shade; its strips must be as many."""
    return drive._replace(
        beam_share=shade.beam_share,
        sky_view=shade.sky_view,
        horizon_view=shade.horizon_view,
        ground_share=shade.ground_share,
        ground_view=shade.ground_sky,
    )


def wall_light(drive: Drive) -> WallLight:
    """Return the light on the glazing, as the engine books it, by where it comes from."""
    day = drive.day
    open_sky, open_ground = drive.isotropic + drive.horizon, drive.ground_beam + drive.ground_sky
    bright = drive.beam + open_sky + open_ground > 0.0
    sky = drive.isotropic[:, None] * drive.sky_view[day]
    # A horizon darker than the sky above it takes away, but never more than there is.
    sky += np.maximum(drive.horizon[:, None] * drive.horizon_view[day], -sky)
    ground = drive.ground_beam * drive.ground_share.mean(axis=1)
    ground += drive.ground_sky * drive.ground_view.mean(axis=1)[day]
    found = (drive.beam * drive.beam_share.mean(axis=1), sky.mean(axis=1), ground)
    return WallLight(*(np.where(bright, part, 0.0) for part in (*found, drive.beam, open_sky, open_ground)))


def month_of(time: np.ndarray[tuple[int], np.dtype[np.datetime64]]) -> Ints:
    """Return the month of each time, January as 0."""
    months: Ints = time.astype("datetime64[M]").astype(np.int64) % MONTHS
    return months


def monthly_kwh(power_w: Floats, month: Ints, step_s: float) -> Floats:
    """Return energy by month, January first, shape (12,) [kWh]."""
    summed: Floats = np.bincount(month, weights=power_w, minlength=MONTHS).astype(np.float64)
    return summed * (step_s / J_PER_KWH)


def sun_months(
    drive: Drive,
    time: np.ndarray[tuple[int], np.dtype[np.datetime64]],
    area_m2: float,
    fields: Sequence[FieldYear],
    calendar: SunCalendar,
) -> tuple[tuple[SunMonth, ...], SunMonth]:
    """Return the months that the steps cover, and all of them together.

    drive     what drives the year, in the site's shade;  time  beginning of each step, (n,)
    area_m2   of the glazing;  fields  what each PV field delivers, none if there are no modules
    calendar  the sun calendar of a whole year, for the hours of sun
    """
    month, step_s, light = month_of(time), float(drive.step_s), wall_light(drive)
    sums = {
        name: monthly_kwh(getattr(light, name) * area_m2, month, step_s)
        for name in ("beam", "ground", "total", "open_beam", "open_ground", "open_total")
    }
    calendar_month = month_of(calendar.date)
    for name in ("hours", "hours_open"):
        sums[name] = monthly_kwh(getattr(calendar, name), calendar_month, J_PER_KWH)
    pv, pv_open = (
        np.sum([getattr(f, name) for f in fields], axis=0) for name in ("month_kwh", "month_open_kwh")
    )
    views = drive.sky_view.mean(axis=1)[drive.day]

    def told(number: int, months: list[int]) -> SunMonth:
        def of(name: str) -> float:
            return float(sums[name][months].sum())

        return SunMonth(
            month=number,
            beam_share_kept=_share(of("beam"), of("open_beam")),
            sky_view=float(views[np.isin(month, months)].mean()),
            ground_view=_share(of("ground"), of("open_ground")),
            sun_hours=of("hours"),
            sun_hours_open_site=of("hours_open"),
            sun_on_wall_kwh=of("total"),
            sun_on_wall_open_site_kwh=of("open_total"),
            pv_kwh=float(pv[months].sum()) if fields else None,
            pv_open_site_kwh=float(pv_open[months].sum()) if fields else None,
        )

    present = [int(number) for number in np.unique(month)]
    return tuple(told(number + 1, [number]) for number in present), told(WHOLE, present)


def _share(part: float, whole: float) -> float | None:
    return part / whole if whole > 0.0 else None
