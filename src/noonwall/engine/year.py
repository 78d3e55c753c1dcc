"""The one result of a simulation: a table of steps, monthly sums, and a ledger that closes."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from collections.abc import Mapping

Floats = NDArray[np.float64]

J_PER_KWH = 3.6e6


@dataclass(frozen=True)
class Table:
    """Every step of the year; each array has shape (n,). Powers are means over the step, temperatures its end."""

    time: NDArray[np.datetime64]  # beginning of the step, local standard time
    air_c: Floats  # outdoors
    sky_c: Floats  # effective sky temperature
    wind_m_s: Floats
    snow_share: Floats  # snow on the ground, 0 or 1, or a share
    sun_on_wall_w: Floats  # sun that reaches the whole glazed area
    sun_on_wall_open_w: Floats  # the same if nothing shaded it
    beam_on_wall_w: Floats  # beam part (with circumsolar) that reaches it
    beam_on_wall_open_w: Floats  # the same if nothing shaded it
    room_c: Floats
    floor_c: Floats
    contents_c: Floats
    gap_bottom_c: Floats
    gap_top_c: Floats
    absorber_c: Floats  # hottest strip
    glazing_inner_c: Floats  # hottest strip, inner face
    glazing_outer_c: Floats  # hottest strip, outer face
    glazing_cold_c: Floats  # coldest strip, inner face
    flow_kg_s: Floats  # air through the gap, upward positive, mean of the step
    fan_share: Floats  # share of the step in which the fans ran
    fan_starts: Floats  # starts within the step
    fan_w: Floats
    delivered_w: Floats  # heat the air brought into the room, never negative
    reversed_w: Floats  # heat the air carried out of the room into the wall, never negative
    back_w: Floats  # conducted from the wall's back into the room, negative when lost
    backup_w: Floats
    useful_w: Floats  # delivered heat while the room was not above the comfort limit
    cover_share: Floats  # 1 while the cover hangs
    room_without_c: Floats  # the same shop without the wall
    backup_without_w: Floats

    def columns(self) -> Mapping[str, NDArray[np.generic]]:
        """Return name -> array, in the order above."""
        return {item.name: getattr(self, item.name) for item in fields(self)}


@dataclass(frozen=True)
class Peak:
    """The highest value of one part and when it came."""

    value_c: float
    time: np.datetime64


@dataclass(frozen=True)
class Peaks:
    """How hot each part got over the year."""

    gap_c: Peak
    absorber_c: Peak
    glazing_inner_c: Peak
    glazing_outer_c: Peak


@dataclass(frozen=True)
class Month:
    """Sums and means of one month (or, with month 0, of all months)."""

    month: int  # 1 to 12; 0 for the whole
    sun_on_wall_kwh: float  # sun that reached the glazed area
    beam_share: float | None  # beam that reached it per beam on an open site; None without beam
    delivered_kwh: float  # gross heat into the shop while the gap was warmer
    useful_kwh: float  # of that, while the shop was not above its comfort limit
    night_loss_kwh: float  # heat carried out by reversed (or cold) flow
    fan_kwh: float
    fan_hours: float
    fan_starts: int
    shop_mean_c: float
    shop_min_c: float
    shop_max_c: float
    shop_mean_without_wall_c: float
    too_hot_hours: float
    backup_kwh: float
    backup_without_wall_kwh: float


@dataclass(frozen=True)
class Ledger:
    """What went in, what went out, what is stored: kWh over the whole run, for wall and shop together.

    ``terms`` maps a plain name to kWh, positive into the system of wall and shop. Their sum less ``stored_kwh``
    is ``closing_error_kwh``; ``closing_error_share`` is its size over the throughput (sum of positive terms).
    ``node_error_share`` is the largest closing error of any single node over that node's own throughput.
    """

    terms: Mapping[str, float]
    stored_kwh: float
    closing_error_kwh: float
    closing_error_share: float
    node_error_share: float


@dataclass(frozen=True)
class Work:
    """How much calculating it took: steps and inner iterations, for tests that bound work, not seconds."""

    step_s: int
    steps: int
    parts: int  # steps after splitting at switch events
    flow_trials: int
    worst_flow_trials: int
    seconds: float


@dataclass(frozen=True)
class Year:
    """One simulated stretch of time (a year as a rule)."""

    table: Table
    step_s: int
    ledger: Ledger
    peaks: Peaks
    work: Work
    weather_kind: str
    weather_place: str
    weather_distance_km: float | None
    weather_hours_repaired: float
    weather_notes: tuple[str, ...]
    too_hot_c: float
    warm_enough_c: float
    comfort_limit_c: float

    def months(self) -> tuple[Month, ...]:
        """Return the twelve months' sums, January first (a month without steps is left out)."""
        number = self.table.time.astype("datetime64[M]").astype(int) % 12 + 1
        return tuple(self._sum(m, number == m) for m in range(1, 13) if np.any(number == m))

    def whole(self) -> Month:
        """Return the sums of the whole run, as a Month with number 0."""
        return self._sum(0, np.ones(len(self.table.time), dtype=bool))

    def _sum(self, month: int, chosen: NDArray[np.bool_]) -> Month:
        t = self.table
        hours = self.step_s / 3600.0

        def kwh(power: Floats) -> float:
            return float(power[chosen].sum() * self.step_s / J_PER_KWH)

        open_beam = kwh(t.beam_on_wall_open_w)
        room = t.room_c[chosen]
        return Month(
            month=month,
            sun_on_wall_kwh=kwh(t.sun_on_wall_w),
            beam_share=kwh(t.beam_on_wall_w) / open_beam if open_beam > 0.0 else None,
            delivered_kwh=kwh(t.delivered_w),
            useful_kwh=kwh(t.useful_w),
            night_loss_kwh=kwh(t.reversed_w),
            fan_kwh=kwh(t.fan_w),
            fan_hours=float(t.fan_share[chosen].sum() * hours),
            fan_starts=round(float(t.fan_starts[chosen].sum())),
            shop_mean_c=float(room.mean()),
            shop_min_c=float(room.min()),
            shop_max_c=float(room.max()),
            shop_mean_without_wall_c=float(t.room_without_c[chosen].mean()),
            too_hot_hours=float((room > self.too_hot_c).sum() * hours),
            backup_kwh=kwh(t.backup_w),
            backup_without_wall_kwh=kwh(t.backup_without_w),
        )
