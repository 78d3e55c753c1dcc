"""The search: bounded least squares on the engine itself, what is believed beforehand among the residuals."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from noonwall.logs.learn.misfit import DAY_H, differences, first_weights, usual_days, weights
from noonwall.logs.learn.parameters import OUTDOOR_SENSOR
from noonwall.logs.learn.trial import together
from noonwall.logs.learn.uncertainty import Spread, spread_of, told_of

if TYPE_CHECKING:
    from collections.abc import Callable

    from numpy.typing import NDArray

    from noonwall.engine.numbers import Floats
    from noonwall.logs.learn.misfit import Channel, Weight
    from noonwall.logs.learn.trial import Trials

    Tell = Callable[[int, int], None]

STEP = 0.1  # of a difference quotient, in spreads beforehand: above the ripple that switching leaves
NEAR, NEAR_END = (
    0.5,
    0.15,
)  # spreads beforehand within which slopes are used again, in the search and at its end
UNTOLD = 0.7  # a spread that shrank to no less than this is no news
ROUGH_TRIALS, MOST_TRIALS, MOST_WEIGHINGS = 6, 5, 3
BLOCK_H = 5 * DAY_H  # differences further apart than this are taken as independent


@dataclass(frozen=True)
class Fit:
    """Where the search ended.

    ``x`` (parameters,) on the search's axes, sensors' errors last;  ``offset`` of each sensor by channel
    ``told`` (parameters,) whether the readings say more than was believed beforehand
    """

    x: Floats
    offset: dict[str, float]
    spread: Spread
    told: tuple[bool, ...]
    weight: dict[str, Weight]
    channels: tuple[Channel, ...]
    at_bound: tuple[bool, ...]
    days_left_out: dict[str, Floats]
    runs: int


@dataclass(frozen=True)
class Slopes:
    """Differences at a place (parameters,), and their slopes by parameter and channel."""

    x: Floats
    here: dict[str, Floats]
    slope: dict[int, dict[str, Floats]]


class Search:
    """One search: residuals and their slopes at any place, the kernel's runs counted."""

    def __init__(self, trials: Trials, channels: tuple[Channel, ...], tell: Tell, planned: int) -> None:
        """Keep what a search needs."""
        self.trials, self.channels, self.tell, self.planned = trials, channels, tell, planned
        self.weight = first_weights(channels)
        self.sensors = tuple(item.name for item in channels if item.kind.offset > 0.0)
        self.parameters = trials.parameters
        self.before = np.array(
            [p.spread for p in self.parameters]
            + [item.kind.offset for item in channels if item.kind.offset > 0.0]
        )
        self.free = np.ones(len(self.before), dtype=bool)
        self.runs = 0
        self.at: Slopes | None = None
        self.known: dict[bytes, dict[str, Floats]] = {}

    @property
    def count(self) -> int:
        """How many parameters, sensors' offsets not counted."""
        return len(self.parameters)

    @property
    def real(self) -> int:
        """How many of them are properties of shop and wall; they come first."""
        return sum(not p.sensor for p in self.parameters)

    def shown(self, places: list[Floats]) -> list[dict[str, Floats]]:
        """Return the differences of the channels at places of the parameters, offsets not yet taken off."""
        new = [x for x in places if x.tobytes() not in self.known]
        for start in range(0, len(new), 2):
            part = new[start : start + 2]
            for x, out in zip(part, together(part, self.trials), strict=True):
                self.known[x.tobytes()] = differences(self.channels, out, self.trials.measured.step_s)
            self.runs += len(part)
            self.tell(min(self.runs, self.planned), max(self.planned, self.runs))
        found = [self.known[x.tobytes()] for x in places]
        if len(self.known) > 4 * (self.count + 1):
            self.known = {}
        return found

    def whole(self, y: Floats) -> Floats:
        """Return every axis from the free ones; the others stay at what was believed."""
        out = np.zeros(len(self.before))
        out[self.free] = y
        return out

    def lessons(self, found: dict[str, Floats], z: Floats) -> list[Floats]:
        """Return the weighed differences that teach, by channel; NaN counts as no difference."""
        out = []
        for item in self.channels:
            rest = found[item.name][item.teaches]
            if item.name in self.sensors:
                rest = rest - z[self.count + self.sensors.index(item.name)]
            out.append(np.nan_to_num(rest) / self.weight[item.name].each)
        return out

    def residuals(self, y: Floats) -> Floats:
        """Return what least squares makes small: differences, then what departs from beliefs."""
        z = self.whole(y)
        found = self.shown([z[: self.count].copy()])[0]
        return np.concatenate([*self.lessons(found, z), (z / self.before)[self.free]])

    def slopes(self, y: Floats) -> Floats:
        """Return the residuals' slopes along the free axes, shape (residuals, free)."""
        z = self.whole(y)
        jacobian = self.lesson_slopes(z)[:, self.free]
        return np.vstack([jacobian, np.diag(1.0 / self.before)[np.ix_(self.free, self.free)]])

    def lesson_slopes(self, z: Floats, every: bool = False) -> Floats:
        """Return the weighed differences' slopes, shape (lessons, axes); ``every``: of axes held fast too."""
        wanted = [i for i in range(self.count) if every or self.free[i]]
        at = self.slopes_near(z[: self.count].copy(), wanted, NEAR_END if every else NEAR)
        rows = []
        for item in self.channels:
            part = np.zeros((int(item.teaches.sum()), len(self.before)))
            for i in wanted:
                part[:, i] = np.nan_to_num(at.slope[i][item.name][item.teaches])
            if item.name in self.sensors:
                known = np.isfinite(at.here[item.name][item.teaches])
                part[:, self.count + self.sensors.index(item.name)] = np.where(known, -1.0, 0.0)
            rows.append(part / self.weight[item.name].each)
        return np.vstack(rows)

    def slopes_near(self, x: Floats, wanted: list[int], near: float) -> Slopes:
        """Return the differences' slopes at x, or those known of a place so near that they hardly differ.

        near   farthest that place may lie on any axis, in spreads beforehand
        """
        at = self.at
        if at is not None and all(i in at.slope for i in wanted):
            apart = np.abs(x - at.x) / self.before[: self.count]
            if float(apart.max()) <= near:
                return at
        steps = {i: self._step(x, i) for i in wanted}
        here, *there = self.shown([x, *(x + np.eye(len(x))[i] * step for i, step in steps.items())])
        slope = {
            i: {name: (found[name] - here[name]) / step for name in found}
            for (i, step), found in zip(steps.items(), there, strict=True)
        }
        self.at = Slopes(x, here, slope)
        return self.at

    def _step(self, x: Floats, i: int) -> float:
        """Return how far to go on one axis for a difference quotient, inside its bounds."""
        low, high = self.parameters[i].bounds()
        step = STEP * float(self.before[i])
        return -step if x[i] + step > high and x[i] - step >= low else step

    def bounds(self) -> tuple[Floats, Floats]:
        """Return the lowest and highest place of each axis."""
        pairs = [p.bounds() for p in self.parameters]
        pairs += [(-5.0 * s, 5.0 * s) for s in self.before[self.count :]]
        low, high = np.array(pairs).T
        return low, high

    def solve(self, z: Floats, most: int) -> Floats:
        """Return the best place found from z."""
        from scipy.optimize import least_squares

        low, high = self.bounds()
        inside = np.clip(z, low + 1e-6, high - 1e-6)
        found = least_squares(
            self.residuals,
            inside[self.free],
            jac=self.slopes,
            bounds=(low[self.free], high[self.free]),
            x_scale=self.before[self.free],
            xtol=5e-3,
            ftol=1e-3,
            gtol=1e-6,
            max_nfev=most,
        )
        return self.whole(np.asarray(found.x))

    def each(self) -> list[float]:
        """Return what a difference of each channel is divided by."""
        return [self.weight[item.name].each for item in self.channels]

    def weigh(self, z: Floats) -> dict[str, Floats]:
        """Set days that are out of all proportion aside, weigh the others by their own differences."""
        found = self.off(z)
        days = usual_days(self.channels, found)
        self.channels = tuple(_without_days(item, days[item.name]) for item in self.channels)
        self.weight = weights(self.channels, found)
        return {name: np.flatnonzero(~kept).astype(float) for name, kept in days.items()}

    def off(self, z: Floats) -> dict[str, Floats]:
        """Return differences with the sensors' offsets taken off."""
        found = self.shown([z[: self.count].copy()])[0]
        return {
            name: value - (z[self.count + self.sensors.index(name)] if name in self.sensors else 0.0)
            for name, value in found.items()
        }


def fit(trials: Trials, channels: tuple[Channel, ...], tell: Tell) -> Fit:
    """Search the parameters' values; then what the readings cannot tell goes back to what was believed.

    channels  hours that teach and hours that judge;  tell  called with (runs done, runs planned)
    """
    count = len(trials.parameters)
    search = Search(trials, channels, tell, planned=7 * (count + 2))
    real = search.real
    start = np.zeros(len(search.before))
    z, each = search.solve(start, ROUGH_TRIALS), search.each()
    for _ in range(MOST_WEIGHINGS):
        left_out = search.weigh(z)
        if np.allclose(search.each(), each, rtol=0.2):
            break
        each = search.each()
        z = search.solve(z, MOST_TRIALS)
    spread, told = _spread(search, z)
    if not told.all():
        search.free[:real] = told
        z = search.solve(np.where(search.free, z, 0.0), 4)
    low, high = search.bounds()
    edge = 0.02 * search.before
    at_bound = told & ((z - low < edge) | (high - z < edge))[:real]
    return Fit(
        x=z[:count],
        offset={name: float(z[count + i]) for i, name in enumerate(search.sensors)}
        | {p.key: -float(z[i]) for i, p in enumerate(trials.parameters) if p is OUTDOOR_SENSOR},
        spread=spread.only(real, told, search.before[:real]),
        told=tuple(bool(t) for t in told),
        weight=search.weight,
        channels=search.channels,
        at_bound=tuple(bool(b) for b in at_bound),
        days_left_out=left_out,
        runs=search.runs,
    )


def _spread(search: Search, z: Floats) -> tuple[Spread, NDArray[np.bool_]]:
    """Return how well the readings tell each axis, and which parameters they tell."""
    jacobian = search.lesson_slopes(z, every=True)
    rest = np.concatenate(search.lessons(search.shown([z[: search.count].copy()])[0], z))
    block = np.concatenate(
        [np.flatnonzero(i.teaches) * (DAY_H if i.kind.daily else 1) // BLOCK_H for i in search.channels]
    )
    told = told_of(jacobian, z, search.before, search.real, UNTOLD)
    return spread_of(jacobian, rest, search.before, block), told


def _without_days(item: Channel, kept: NDArray[np.bool_]) -> Channel:
    per = 1 if item.kind.daily else DAY_H
    hours = np.repeat(kept, per)
    hours = np.concatenate([hours, np.ones(len(item.value) - len(hours), dtype=bool)])
    return replace(item, teaches=item.teaches & hours)
