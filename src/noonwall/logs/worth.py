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
    """One year (or part of one) to be set beside another."""

    name: str
    days: int
    degree_days: float
    sun_kwh: float  # that reached the glazing
    expected_kwh: float  # by its own weather
    measured_kwh: float

    @property
    def of_sun(self) -> float | None:
        """Heat over sun; None without sun."""
        return self.measured_kwh / self.sun_kwh if self.sun_kwh > 0.0 else None


@dataclass(frozen=True)
class Change:
    """A later lap against an earlier one: plain, by the sun, by the engine's own weather year."""

    before: Lap
    after: Lap
    plain_share: float | None
    by_sun_share: float | None
    by_weather_share: float | None
    band_share: float
    verdict: str  # "better", "worse", "no change proven"


def compare(before: Lap, after: Lap, band_share: float = SAME_INSTRUMENTS_SHARE) -> Change:
    """Set two laps side by side; what is within the band proves nothing.

    band_share   how well the two can be told apart, as a share
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
    return Change(before, after, plain, by_sun, by_weather, band_share, verdict)


def _ratio(new: float, old: float) -> float | None:
    return new / old - 1.0 if old > 0.0 else None


def laps(
    period: Period, known: np.ndarray, out_c: Floats, sun_w: Floats, expected_w: Floats, measured_w: Floats
) -> tuple[Lap, ...]:
    """Return the period cut into years counted back from its last day, the earliest first; one alone says nothing.

    known       steps that are compared;  the others: shape (n,) over the period's steps
    """
    cuts = list(range(period.days, 0, -365))
    out = []
    for end in reversed(cuts):
        begin = max(0, end - 365)
        if end - begin < LEAST_DAYS:
            continue
        rows = slice(begin * STEPS, end * STEPS)

        def kwh(power: Floats, rows: slice = rows) -> float:
            return float(np.nansum(np.where(known[rows], power[rows], 0.0)) * STEP_S / 3.6e6)

        name = f"{period.date(begin)} to {period.date(end - 1)}"
        out.append(
            Lap(name, end - begin, degree_days(out_c[rows]), kwh(sun_w), kwh(expected_w), kwh(measured_w))
        )
    return tuple(out)
