"""What was measured of a shop, at the equal steps of a trial."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace

import numpy as np
from numpy.typing import NDArray

from noonwall.logs.learn.errors import LearningError

Floats = NDArray[np.float64]
HOUR_S = 3600
DAY_S = 86_400


@dataclass(frozen=True)
class Measured:
    """Readings at n equal steps, shape (n,) each: means over the step, NaN where nothing was measured.

    A channel that was never measured is None. ``start`` is local standard time.
    """

    start: np.datetime64
    step_s: int
    room_c: Floats
    gap_bottom_c: Floats | None = None
    gap_top_c: Floats | None = None
    vent_c: Floats | None = None  # air that leaves the wall into the shop
    flow_m3_s: Floats | None = None
    fan_share: Floats | None = None
    cover_share: Floats | None = None
    backup_w: Floats | None = None
    notes: tuple[str, ...] = ()

    @property
    def steps(self) -> int:
        """How many steps."""
        return len(self.room_c)

    @property
    def days(self) -> float:
        """How many days from the first step to the end of the last."""
        return self.steps * self.step_s / DAY_S

    def channels(self) -> dict[str, Floats]:
        """Return what was measured, by name."""
        found = {item.name: getattr(self, item.name) for item in fields(self)}
        return {name: value for name, value in found.items() if isinstance(value, np.ndarray)}

    def padded(self, lead: int) -> Measured:
        """Return the same with so many steps before it of which nothing is known."""
        if lead == 0:
            return self
        empty = np.full(lead, np.nan)
        later = {name: np.concatenate([empty, value]) for name, value in self.channels().items()}
        return replace(self, start=self.start - np.timedelta64(lead * self.step_s, "s"), **later)  # type: ignore[arg-type]


def refined(measured: Measured, step_s: int) -> Measured:
    """Return the same readings at shorter steps, each value held over those it stands for."""
    times = max(1, measured.step_s // step_s)
    held_on = {name: np.repeat(value, times) for name, value in measured.channels().items()}
    return replace(measured, step_s=measured.step_s // times, **held_on)  # type: ignore[arg-type]


def check(measured: Measured, least_days: float = 14.0) -> None:
    """Refuse readings that cannot teach anything.

    raises  LearningError when the shop's air was measured on fewer than ``least_days`` days
    """
    known_days = float(np.isfinite(measured.room_c).sum()) * measured.step_s / DAY_S
    if known_days < least_days:
        raise LearningError(
            f"the shop's air was measured for {known_days:.1f} days in all; learning wants {least_days:.0f} "
            "days or more, with some sun and some cold among them"
        )


def hourly(value: Floats, step_s: int) -> Floats:
    """Return means over whole hours of what is known, NaN where less than half of an hour is, shape (hours, ...)."""
    per = HOUR_S // step_s
    rows = value[: len(value) // per * per].reshape(-1, per, *value.shape[1:])
    known = np.isfinite(rows)
    count = known.sum(axis=1)
    total = np.where(known, rows, 0.0).sum(axis=1)
    return np.where(2 * count >= per, total / np.maximum(count, 1), np.nan)


def held(share: Floats) -> Floats:
    """Return shares of steps as whole steps on or off, with the same time on in all, shape (n,).

    >>> held(np.array([0.5, 0.5, 1.0, 0.0, 0.25])).tolist()
    [1.0, 0.0, 1.0, 0.0, 0.0]
    """
    total = np.floor(np.cumsum(np.clip(share, 0.0, 1.0)) + 0.5)
    return np.diff(total, prepend=0.0)
