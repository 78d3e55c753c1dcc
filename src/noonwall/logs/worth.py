"""What the heat was worth: fuel and money at the builder's prices; degree days; one year set beside another."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from noonwall.errors import ProjectError
from noonwall.logs.period import STEP_S
from noonwall.model.catalogue import fuel as fuel_named

if TYPE_CHECKING:
    from noonwall.logs.period import Period
    from noonwall.logs.records import Floats
    from noonwall.model.shop import Heater

HEATING_BASE_C = 15.0  # outdoor mean above which a shop needs no heat; common practice, no source
STEPS = 86_400 // STEP_S
SAME_INSTRUMENTS_SHARE = 0.08  # how well two years by the same instruments can be told apart; common practice
LEAST_DAYS = 60
YEAR_DAYS = 365
LOGGED_SHARE = 0.9  # of a day's steps with the backup's heat


@dataclass(frozen=True)
class Worth:
    """Fuel that an amount of heat stands for."""

    fuel: str
    heat_kwh: float
    amount: float
    unit: str
    money: float | None  # None when the project gives no price
    efficiency: float


def worth_of(heat_kwh: float, heater: Heater | None) -> Worth | None:
    """Return the fuel a heater would have burned for an amount of heat; None without a heater.

    Raises   ProjectError for a fuel or a unit of price that no catalogue row knows
    """
    if heater is None:
        return None
    spec = fuel_named(heater.fuel)
    unit = heater.price_unit or spec.usual_unit
    if unit not in spec.kwh_per:
        raise ProjectError(
            f'shop.heater.price_unit: "{unit}" is no unit of {spec.name}; one of {", ".join(spec.kwh_per)} is'
        )
    amount = heat_kwh / heater.efficiency / spec.kwh_per[unit]
    price = heater.price_per_unit
    return Worth(
        spec.name, heat_kwh, amount, unit, None if price is None else price * amount, heater.efficiency
    )


def degree_days(out_c: Floats, base_c: float = HEATING_BASE_C) -> float:
    """Return heating degree days of whole days [K d]: base less the day's mean where that is colder.

    out_c   outdoor air step by step, shape (n,), whole days
    """
    means = out_c.reshape(-1, STEPS).mean(axis=1)
    return float(np.maximum(base_c - means, 0.0).sum())


@dataclass(frozen=True)
class Lap:
    """One year (or part of one) to be set beside another.

    ``heater_kwh``, ``heater_degree_days``  backup heat, and the degree days of the days it was logged; None: not logged
    """

    name: str
    days: int
    degree_days: float
    sun_kwh: float  # that reached the glazing
    expected_kwh: float  # by its own weather
    measured_kwh: float
    heater_kwh: float | None = None
    heater_degree_days: float | None = None

    @property
    def heater_per_degree_day(self) -> float | None:
        """Backup heat per degree day [kWh/(K d)]; None when the heater was not logged or it was never cold."""
        if self.heater_kwh is None or not self.heater_degree_days:
            return None
        return self.heater_kwh / self.heater_degree_days

    @property
    def of_sun(self) -> float | None:
        """Heat over sun; None without sun."""
        return self.measured_kwh / self.sun_kwh if self.sun_kwh > 0.0 else None


@dataclass(frozen=True)
class Change:
    """A later lap against an earlier one: plain, by the sun, by the engine's own weather year, by degree days.

    ``heater_share``   of backup heat per degree day: less is better;  ``saved``  what the later lap's backup would
    have burned more at the earlier one's heat per degree day, in fuel and money; negative: less
    """

    before: Lap
    after: Lap
    plain_share: float | None
    by_sun_share: float | None
    by_weather_share: float | None
    band_share: float
    verdict: str  # "better", "worse", "no change proven"
    heater_share: float | None = None
    saved: Worth | None = None


def compare(
    before: Lap, after: Lap, band_share: float = SAME_INSTRUMENTS_SHARE, heater: Heater | None = None
) -> Change:
    """Set two laps side by side; what is within the band proves nothing.

    band_share   how well the two can be told apart, as a share
    heater       the backup, to turn a change of its heat into fuel and money
    """
    plain = _ratio(after.measured_kwh, before.measured_kwh)
    by_sun = None
    if before.of_sun and after.of_sun is not None:
        by_sun = after.of_sun / before.of_sun - 1.0
    by_weather = None
    if before.expected_kwh > 0.0 and after.expected_kwh > 0.0:
        by_weather = _ratio(
            after.measured_kwh / after.expected_kwh, before.measured_kwh / before.expected_kwh
        )
    fair = by_weather if by_weather is not None else by_sun if by_sun is not None else plain
    verdict = "no change proven"
    if fair is not None and abs(fair) > band_share:
        verdict = "better" if fair > 0.0 else "worse"
    now, then = after.heater_per_degree_day, before.heater_per_degree_day
    heater_share, saved = None, None
    if now is not None and then:
        heater_share = now / then - 1.0
        saved = worth_of((then - now) * (after.heater_degree_days or 0.0), heater)
    return Change(before, after, plain, by_sun, by_weather, band_share, verdict, heater_share, saved)


def _ratio(new: float, old: float) -> float | None:
    return new / old - 1.0 if old > 0.0 else None


def laps(
    period: Period,
    known: np.ndarray,
    out_c: Floats,
    sun_w: Floats,
    expected_w: Floats,
    measured_w: Floats,
    heater_kwh: Floats | None = None,
) -> tuple[Lap, ...]:
    """Return the period cut into years counted back from its last day, the earliest first; one alone says nothing.

    With more than one year and less than two, the days that are there twice are set beside each other.

    known       steps that are compared;  the others: shape (n,) over the period's steps
    heater_kwh  backup heat of each step, NaN where it was not logged
    """
    out = []
    for begin, end in _spans(period.days):
        rows = slice(begin * STEPS, end * STEPS)

        def kwh(power: Floats, rows: slice = rows) -> float:
            return float(np.nansum(np.where(known[rows], power[rows], 0.0)) * STEP_S / 3.6e6)

        name = f"{period.date(begin)} to {period.date(end - 1)}"
        burned, cold = _heated(out_c[rows], None if heater_kwh is None else heater_kwh[rows])
        out.append(
            Lap(
                name, end - begin, degree_days(out_c[rows]), kwh(sun_w), kwh(expected_w), kwh(measured_w),
                burned, cold,
            )
        )  # fmt: skip
    return tuple(out)


def _spans(days: int) -> list[tuple[int, int]]:
    """Return first day and end of each lap."""
    years = days // YEAR_DAYS
    rest = days - YEAR_DAYS
    if years == 1 and rest >= LEAST_DAYS:
        return [(0, rest), (days - rest, days)]
    ends = [days - YEAR_DAYS * back for back in reversed(range(max(years, 1)))]
    return [(max(0, end - YEAR_DAYS), end) for end in ends]


def _heated(out_c: Floats, heater_kwh: Floats | None) -> tuple[float | None, float | None]:
    """Return backup heat and degree days of the days on which the backup was logged."""
    if heater_kwh is None:
        return None, None
    logged = np.isfinite(heater_kwh).reshape(-1, STEPS).mean(axis=1) > LOGGED_SHARE
    if not logged.any():
        return None, None
    days = np.repeat(logged, STEPS)
    return float(np.nansum(heater_kwh[days])), degree_days(out_c[days])
