"""What cuts are about worth, without calculating a year for each: to choose which years to calculate."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from noonwall.studies.overlap import Overlap

if TYPE_CHECKING:
    from collections.abc import Iterable

    from noonwall.shade.record import Floats
    from noonwall.studies.acts import Act, Years

FIRM = 0.01  # pull of prices to their mean, per all the light that cuts let through


class Guess:
    """The light that cuts let through, at prices that calculated years teach.

    An hour of noon sun gives more heat than one at dusk: each bearing of the sun has a price of its own, and so
    has the light of sky and ground, for heat and for electricity. Prices are those that fit the years calculated
    so far best, none below nought, and no farther from the mean price than the years ask for.
    """

    def __init__(self, years: Years, cuts: dict[str, Act]) -> None:
        """Trace the light; the year after all of the cuts together must have been calculated."""
        self.years, self.cuts, self.names = years, cuts, tuple(cuts)
        everything = frozenset(cuts.values())
        self.overlap = Overlap(years.trial, years.scene, years.after(everything), self.names)
        self.dark = np.stack(self.overlap.light_kwh(()))
        self.lights: dict[frozenset[str], Floats] = {frozenset(): np.zeros_like(self.dark)}
        self.whole = years.gain(everything).worth
        self.learn()

    def learn(self) -> None:
        """Take prices from all years calculated so far."""
        known = [acts for acts in self.years.found if acts and acts <= frozenset(self.cuts.values())]
        if not known:
            self.prices = np.zeros_like(self.dark)
            return
        lights = np.array([self._light(act.name for act in acts) for acts in known])
        gains = [self.years.gain(acts) for acts in known]
        heat = np.array([gain.season_heat for gain in gains])
        electric = np.array([gain.pv for gain in gains])
        self.prices = np.stack([prices(lights[:, 0], heat), prices(lights[:, 1], electric)])

    def worth(self, names: Iterable[str]) -> float:
        """Return about what a set of cuts gains [kWh]."""
        return float((self._light(names) * self.prices).sum())

    def more(self, made: tuple[str, ...], names: tuple[str, ...]) -> float:
        """Return about what some more cuts gain after those already made [kWh]."""
        return self.worth((*made, *names)) - self.worth(made)

    def last(self, name: str) -> float:
        """Return about what a cut gains once all the others are made [kWh]."""
        return self.more(tuple(other for other in self.names if other != name), (name,))

    def share(self, name: str) -> float:
        """Return about what a cut may gain at most, first or last, per gain of all cuts together [-]."""
        return max(self.more((), (name,)), self.last(name)) / self.whole if self.whole > 0.0 else 0.0

    def _light(self, names: Iterable[str]) -> Floats:
        """Return the light that a set of cuts lets through more than none, (wall and modules, sources) [kWh]."""
        cut = frozenset(names)
        if cut not in self.lights:
            self.lights[cut] = np.stack(self.overlap.light_kwh(sorted(cut))) - self.dark
        return self.lights[cut]


def prices(lights: Floats, gains: Floats) -> Floats:
    """Return what light is worth by its source, fitted to known gains.

    lights   (years, sources) light let through [kWh];  gains  (years,) what it gained [kWh]
    Returns  (sources,) gain per light, not below 0 [-]
    *Source* least squares without negative answers (Lawson & Hanson 1974), as in scipy, pulled to the mean price
    """
    from scipy.optimize import nnls

    whole = float(lights.sum(axis=1).max(initial=0.0))
    if whole <= 0.0:
        return np.zeros(lights.shape[1])
    mean = max(float(gains.max(initial=0.0)), 0.0) / whole
    pull = FIRM * whole * np.eye(lights.shape[1])
    found, _ = nnls(np.vstack([lights, pull]), np.concatenate([gains, pull.sum(axis=1) * mean]))
    return np.asarray(found)
