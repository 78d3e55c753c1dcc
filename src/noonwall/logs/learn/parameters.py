"""What can be learned: factors on the numbers of a run, each with what is believed before any reading.

A trial changes numbers, not the description: it costs one run of the kernel and nothing else.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from noonwall.engine import corrections as c
from noonwall.engine.corrections import SHADE, Handle

if TYPE_CHECKING:
    from collections.abc import Sequence

    from noonwall.engine.numbers import Floats
    from noonwall.engine.simulate import Case

SPREADS = 3.0  # how many spreads from the assumed value a parameter may go


@dataclass(frozen=True)
class Parameter:
    """One thing to learn: what changes it in a case, and what is believed of it.

    ``spread``   standard deviation of what is believed beforehand: of the factor's logarithm, or in K or W
    ``unit``     of the assumed value, SI; empty: a bare factor
    ``sensor``   no property of the shop but of these days or of a sensor outdoors: searched with the others so that
                 their spread is true, then forgotten
    """

    handle: Handle
    title: str
    spread: float
    unit: str = ""
    most: float = math.inf  # highest factor that still means something
    sensor: bool = False

    @property
    def key(self) -> str:
        """Its name in files."""
        return self.handle.key

    @property
    def plus(self) -> bool:
        """Whether it is added; else it is a factor."""
        return self.handle.plus

    def assumed(self, case: Case) -> float:
        """Return what a case assumes, in the parameter's unit."""
        return self.handle.assumed(case)

    def factor(self, x: float) -> float:
        """Return the factor (or what is added) of a place on the search's axis."""
        return x if self.plus else math.exp(x)

    def bounds(self) -> tuple[float, float]:
        """Return how far the search may go on its axis."""
        reach = SPREADS * self.spread
        return -reach, reach if self.plus else min(reach, math.log(self.most))

    def value(self, assumed: float, x: float) -> float:
        """Return the value in its unit, given the assumed one."""
        return assumed + x if self.plus else assumed * math.exp(x)


def parameters_of(case: Case) -> tuple[Parameter, ...]:
    """Return what a shop has that readings may tell.

    Without a glazed wall, which would outshine them, also the windows' sun, what people and machines give, and how
    quickly air and things take up warmth.
    """
    shop, air = case.shop, case.air
    found = [_SHOP_LOSS, _AIR_LEAKAGE, _THERMAL_MASS]
    if shop.slab_w_k > 0.0:
        found.append(_GROUND)
    if case.wall.strips > 0:
        found += [_GLAZING, _GAP_LEAK]
        if air.flap_row > 0 and air.flap_stuck == 0:
            share = air.flap_leak_share
            found.append(replace(_FLAP, most=max(1.0 / share, 1.01) if share > 0.0 else math.inf))
        if len(air.fan_count):
            found.append(_FAN)
    if case.wall.strips == 0:
        found += [_WINDOWS, _GAINS, _UPTAKE, _AIR]
    if shop.heater_w > 0.0:
        found.append(_SET_POINT)
    return tuple(found)


def shade_parameter(handle: Handle) -> Parameter:
    """Return the depth of one shade as a parameter."""
    name = handle.key.removeprefix(SHADE)
    return Parameter(handle, f"depth of the shade of {name}, times what was assumed", 0.3)


def adjusted(case: Case, parameters: Sequence[Parameter], x: Floats) -> Case:
    """Return the case with every parameter at its place x, shape (parameters,)."""
    for parameter, place in zip(parameters, x, strict=True):
        if place != 0.0:
            case = parameter.handle.change(case, parameter.factor(float(place)))
    return case


def _windows(case: Case, k: float) -> Case:
    return case._replace(drive=case.drive._replace(window_w=case.drive.window_w * k))


def _gains(case: Case, w: float) -> Case:
    return case._replace(drive=case.drive._replace(gains_w=case.drive.gains_w + w))


def _outdoors(case: Case, k: float) -> Case:
    """Shift the air outdoors; sky and deep ground were reckoned from it."""
    drive = case.drive
    return case._replace(
        drive=drive._replace(out_c=drive.out_c + k, sky_c=drive.sky_c + k, deep_c=drive.deep_c + k)
    )


def _uptake(case: Case, k: float) -> Case:
    return case._replace(shop=case.shop._replace(contents_w_k=case.shop.contents_w_k * k))


def _air(case: Case, k: float) -> Case:
    return case._replace(shop=case.shop._replace(air_capacity=case.shop.air_capacity * k))


# Spreads beforehand: common practice, no source; a builder's guess of leakage is worse than one of insulation.
_SHOP_LOSS = Parameter(c.SHOP_LOSS, "loss through walls, roof, windows", 0.25, "W/K")
_AIR_LEAKAGE = Parameter(c.AIR_LEAKAGE, "the shop's air leakage", 0.4, "cm2")
_THERMAL_MASS = Parameter(c.THERMAL_MASS, "mass that stores warmth", 0.3, "MJ/K")
_GROUND = Parameter(c.GROUND, "loss to the ground", 0.3, "W/K")
_GLAZING = Parameter(c.GLAZING, "share of the sky's light that the absorber takes", 0.08, most=1.25)
_GAP_LEAK = Parameter(c.GAP_LEAK, "leak of the gap to outdoors", 0.6, "cm2")
_FLAP = Parameter(c.FLAP, "leak of the shut flap, share of its opening", 0.8)
_FAN = Parameter(c.FAN, "flow of all fans against no pressure", 0.15, "m3/s")
_SET_POINT = Parameter(c.SET_POINT, "set point of the heater", 0.7, "C")
_WINDOWS = Parameter(
    Handle("window_sun", _windows, lambda _: 1.0), "sun through the windows, times what was assumed", 0.4
)
_GAINS = Parameter(
    Handle("gains", _gains, lambda _: 0.0, plus=True),
    "steady heat of people and machines beyond what was assumed",
    250.0,
    "W",
)
_UPTAKE = Parameter(
    Handle("uptake", _uptake, lambda case: case.shop.contents_w_k),
    "how readily things take up warmth",
    0.6,
    "W/K",
)
_AIR = Parameter(
    Handle("air_capacity", _air, lambda case: case.shop.air_capacity / 1e6),
    "air, and light things that follow it at once",
    0.6,
    "MJ/K",
)
# A thermometer's constant error is 0.3 to 0.5 K in its maker's words, more in a sunny or warm place.
OUTDOOR_SENSOR = Parameter(
    Handle("outdoor_c", _outdoors, lambda _: 0.0, plus=True),
    "air outdoors less what its thermometer showed",
    0.3,
    "K",
    sensor=True,
)
START = Parameter(
    Handle("start_c", c.SET_POINT.change, lambda _: 0.0, plus=True),
    "warmth that things held at the beginning, beyond the air's",
    1.5,
    "K",
    sensor=True,
)
