"""How well learned values foretell hours that did not teach, by the measures that are published."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from noonwall.logs.learn.readings import HOUR_S, hourly
from noonwall.physics.air import SPECIFIC_HEAT_J_KGK

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from noonwall.engine.numbers import Floats
    from noonwall.logs.learn.misfit import Channel
    from noonwall.logs.learn.readings import Measured

# Largest CV(RMSE) and largest NMBE to either side; ASHRAE Guideline 14-2014 (second hand: figures as they are
# quoted in public; the guideline itself was not at hand).
LIMITS = {"hour": (0.30, 0.10), "month": (0.15, 0.05)}
FEWEST_HOURS = 24
GAS_J_KGK = 287.055


@dataclass(frozen=True)
class Error:
    """Temperatures: error of the judging hours [K]."""

    channel: str
    hours: int
    rmse_k: float
    bias_k: float  # measured less calculated


@dataclass(frozen=True)
class Measure:
    """Heat: the published measures on judging hours, shares of the mean.

    ``nmbe`` is measured less calculated; one parameter is counted (p = 1), as for a calibrated simulation
    """

    what: str
    unit: str
    by: str  # "hour" or "month"
    count: int
    mean: float
    cv_rmse: float
    nmbe: float
    most_cv_rmse: float
    most_nmbe: float

    @property
    def met(self) -> bool:
        """Whether both limits are met."""
        return self.cv_rmse <= self.most_cv_rmse and abs(self.nmbe) <= self.most_nmbe


def cv_rmse(measured: Floats, calculated: Floats) -> float:
    """Return the root of the mean square error over the mean measured [-].

    *Source*  ASHRAE Guideline 14-2002, equation 5.4 as quoted in public: divided by n - p, p = 1

    >>> round(cv_rmse(np.array([100.0, 150.0]), np.array([95.0, 148.0])), 5)
    0.04308
    """
    rest = measured - calculated
    return float(np.sqrt((rest**2).sum() / (len(rest) - 1)) / measured.mean())


def nmbe(measured: Floats, calculated: Floats) -> float:
    """Return the mean error, measured less calculated, over the mean measured [-].

    *Source*  ASHRAE Guideline 14-2002, equation 5.5 as quoted in public: divided by n - p, p = 1
    """
    rest = measured - calculated
    return float(rest.sum() / (len(rest) - 1) / measured.mean())


def errors(channels: tuple[Channel, ...], rest: Mapping[str, Floats]) -> tuple[Error, ...]:
    """Return the errors of the temperatures on judging hours; ``rest`` measured less calculated by hour."""
    out = []
    for item in channels:
        found = rest[item.name][item.judges]
        found = found[np.isfinite(found)]
        if item.name.endswith("_c") and len(found) >= FEWEST_HOURS:
            out.append(Error(item.name, len(found), float(np.sqrt(np.mean(found**2))), float(found.mean())))
    return tuple(out)


def measures(
    measured: Measured, shown: Mapping[str, Floats], judging: NDArray[np.bool_], offset: Mapping[str, float]
) -> tuple[Measure, ...]:
    """Return the published measures of heat, by hour and by month.

    shown    what the channels should show, by step;  judging   (hours,) those that judge
    offset   of each sensor, as learned
    """
    out: list[Measure] = []
    month = np.repeat(_months(measured), 1)
    for what, unit, seen, told in _heats(measured, shown, offset):
        m, s = hourly(seen, measured.step_s), hourly(told, measured.step_s)
        chosen = judging[: len(m)] & np.isfinite(m) & np.isfinite(s)
        if chosen.sum() < FEWEST_HOURS or m[chosen].mean() <= 0.0:
            continue
        out.append(_measure(what, unit, "hour", m[chosen], s[chosen]))
        number = month[: len(m)][chosen]
        names, where = np.unique(number, return_inverse=True)
        if len(names) >= 3:
            sums = np.stack([np.bincount(where, values) for values in (m[chosen], s[chosen])])
            out.append(_measure(what, unit, "month", *(sums * len(names) / len(where))))
    return tuple(out)


def _measure(what: str, unit: str, by: str, m: Floats, s: Floats) -> Measure:
    most_cv, most_bias = LIMITS[by]
    return Measure(what, unit, by, len(m), float(m.mean()), cv_rmse(m, s), nmbe(m, s), most_cv, most_bias)


def _months(measured: Measured) -> NDArray[np.int64]:
    hours = measured.steps * measured.step_s // HOUR_S
    time = measured.start + np.arange(hours) * np.timedelta64(HOUR_S, "s")
    return time.astype("datetime64[M]").astype(np.int64)


def _heats(
    measured: Measured, shown: Mapping[str, Floats], offset: Mapping[str, float]
) -> list[tuple[str, str, Floats, Floats]]:
    """Return (what, unit, measured, calculated) of all that stands for heat, by step."""
    out = []
    if measured.backup_w is not None and "backup_w" in shown:
        out.append(("heat of the backup heater", "W", measured.backup_w, shown["backup_w"]))
    name = "vent_c" if measured.vent_c is not None else "gap_top_c"
    warm = measured.channels().get(name)
    if warm is None or measured.fan_share is None:
        return out
    running = measured.fan_share > 0.5
    room_off, warm_off = offset.get("room_c", 0.0), offset.get(name, 0.0)
    seen = np.where(running, (warm - warm_off) - (measured.room_c - room_off), np.nan)
    told = np.where(running, shown[name] - shown["room_c"], np.nan)
    if measured.flow_m3_s is not None and "flow_m3_s" in shown:
        # Volume is measured in the warm air that leaves.
        heat = SPECIFIC_HEAT_J_KGK * 101_325.0 / (GAS_J_KGK * (warm + 273.15))
        out.append(
            ("heat by the fans", "W", heat * measured.flow_m3_s * seen, heat * shown["flow_m3_s"] * told)
        )
    out.append(("warming while the fans run", "K", seen, told))
    return out
