"""What can be learned: factors on the numbers of a run, each with what is believed before any reading.

A trial changes numbers, not the description: it costs one run of the kernel and nothing else.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from noonwall.engine.numbers import Drive

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from noonwall.engine.numbers import Floats
    from noonwall.engine.simulate import Case
    from noonwall.shade.record import WallShade

SPREADS = 3.0  # how many spreads from the assumed value a parameter may go
SHADE = "shade of "


@dataclass(frozen=True)
class Parameter:
    """One thing to learn.

    ``spread``   standard deviation of what is believed beforehand: of the factor's logarithm, or in K
    ``plus``     it is added [K]; else it is a factor
    ``unit``     of the assumed value, SI; empty: a bare factor
    """

    key: str
    title: str
    spread: float
    change: Callable[[Case, float], Case]
    assumed: Callable[[Case], float]
    unit: str = ""
    plus: bool = False
    most: float = math.inf  # highest factor that still means something

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
            found.append(_flap(air.flap_leak_share))
        if len(air.fan_count):
            found.append(_FAN)
    if case.wall.strips == 0:
        found += [_WINDOWS, _GAINS, _UPTAKE, _AIR]
    if shop.heater_w > 0.0:
        found.append(_SET_POINT)
    return tuple(found)


def shade_parameters(full: WallShade, bare: Mapping[str, WallShade]) -> tuple[Parameter, ...]:
    """Return the strength of each named obstacle's shade as parameters.

    full  with every obstacle;  bare  by name, without that one
    """
    return tuple(_shade(name, full, other) for name, other in bare.items())


def adjusted(case: Case, parameters: Sequence[Parameter], x: Floats) -> Case:
    """Return the case with every parameter at its place x, shape (parameters,)."""
    for parameter, place in zip(parameters, x, strict=True):
        if place != 0.0:
            case = parameter.change(case, parameter.factor(float(place)))
    return case


def _loss(case: Case, k: float) -> Case:
    shop = case.shop
    return case._replace(shop=shop._replace(light_w_k=shop.light_w_k * k, part_mid_w_k=shop.part_mid_w_k * k))


def _loss_w_k(case: Case) -> float:
    """Loss through parts, films and boards counted in [W/K]."""
    shop = case.shop
    in_series = 1.0 / (1.0 / shop.part_out_w_k + 1.0 / shop.part_mid_w_k + 1.0 / shop.part_in_w_k)
    return float(shop.light_w_k + in_series.sum())


def _leakage(case: Case, k: float) -> Case:
    shop, air = case.shop, case.air
    return case._replace(
        shop=shop._replace(leak_m2=shop.leak_m2 * k), air=air._replace(room_leak_m2=air.room_leak_m2 * k)
    )


def _mass(case: Case, k: float) -> Case:
    shop = case.shop
    return case._replace(
        shop=shop._replace(
            contents_capacity=shop.contents_capacity * k,
            contents_w_k=shop.contents_w_k * k,
            part_inner_capacity=shop.part_inner_capacity * k,
            slab_capacity=shop.slab_capacity * k,
        )
    )


def _mass_mj_k(case: Case) -> float:
    shop = case.shop
    total = shop.contents_capacity + float(shop.part_inner_capacity.sum()) + 2.0 * shop.slab_capacity
    return total / 1e6


def _ground(case: Case, k: float) -> Case:
    shop = case.shop
    return case._replace(shop=shop._replace(edge_w_k=shop.edge_w_k * k, core_w_k=shop.core_w_k * k))


def _glazing(case: Case, k: float) -> Case:
    drive = case.drive

    def more(table: Floats) -> Floats:
        out = table.copy()
        out[:2] *= k
        return out

    return case._replace(
        drive=drive._replace(
            take_beam=more(drive.take_beam),
            take_sky=more(drive.take_sky),
            take_horizon=more(drive.take_horizon),
            take_ground=more(drive.take_ground),
        )
    )


def _gap_leak(case: Case, k: float) -> Case:
    return case._replace(air=case.air._replace(leak_m2=case.air.leak_m2 * k))


def _flap(share: float) -> Parameter:
    return Parameter(
        "flap_leak",
        "leak of the shut flap, share of its opening",
        0.8,
        lambda case, k: case._replace(
            air=case.air._replace(flap_leak_share=min(case.air.flap_leak_share * k, 1.0))
        ),
        lambda case: case.air.flap_leak_share,
        most=max(1.0 / share, 1.01) if share > 0.0 else math.inf,
    )


def _fan(case: Case, k: float) -> Case:
    return case._replace(air=case.air._replace(fan_flow_m3_s=case.air.fan_flow_m3_s * k))


def _fan_m3_s(case: Case) -> float:
    return float((case.air.fan_flow_m3_s.max(axis=1) * case.air.fan_count).sum())


def _set_point(case: Case, k: float) -> Case:
    return case._replace(shop=case.shop._replace(heater_set_c=case.shop.heater_set_c + k))


def _windows(case: Case, k: float) -> Case:
    return case._replace(drive=case.drive._replace(window_w=case.drive.window_w * k))


def _gains(case: Case, w: float) -> Case:
    return case._replace(drive=case.drive._replace(gains_w=case.drive.gains_w + w))


def _uptake(case: Case, k: float) -> Case:
    return case._replace(shop=case.shop._replace(contents_w_k=case.shop.contents_w_k * k))


def _air(case: Case, k: float) -> Case:
    return case._replace(shop=case.shop._replace(air_capacity=case.shop.air_capacity * k))


# Spreads beforehand: common practice, no source; a builder's guess of leakage is worse than one of insulation.
_SHOP_LOSS = Parameter("shop_loss", "loss through walls, roof, windows", 0.25, _loss, _loss_w_k, "W/K")
_AIR_LEAKAGE = Parameter(
    "air_leakage", "the shop's air leakage", 0.4, _leakage, lambda case: case.shop.leak_m2 * 1e4, "cm2"
)
_THERMAL_MASS = Parameter("thermal_mass", "mass that stores warmth", 0.3, _mass, _mass_mj_k, "MJ/K")
_GROUND = Parameter(
    "ground",
    "loss to the ground",
    0.3,
    _ground,
    lambda case: 0.5 * (case.shop.edge_w_k + case.shop.core_w_k),
    "W/K",
)
_GLAZING = Parameter(
    "glazing_absorber",
    "share of the sky's light that the absorber takes",
    0.08,
    _glazing,
    lambda case: float(case.drive.take_sky[0]),
    most=1.25,
)
_GAP_LEAK = Parameter(
    "gap_leak", "leak of the gap to outdoors", 0.6, _gap_leak, lambda case: case.air.leak_m2 * 1e4, "cm2"
)
_FAN = Parameter("fan_flow", "flow of all fans against no pressure", 0.15, _fan, _fan_m3_s, "m3/s")
_WINDOWS = Parameter(
    "window_sun", "sun through the windows, times what was assumed", 0.4, _windows, lambda _: 1.0
)
_GAINS = Parameter(
    "gains",
    "steady heat of people and machines beyond what was assumed",
    250.0,
    _gains,
    lambda _: 0.0,
    "W",
    True,
)
_UPTAKE = Parameter(
    "uptake", "how readily things take up warmth", 0.6, _uptake, lambda case: case.shop.contents_w_k, "W/K"
)
_AIR = Parameter(
    "air_capacity",
    "air, and light things that follow it at once",
    0.6,
    _air,
    lambda case: case.shop.air_capacity / 1e6,
    "MJ/K",
)
_SET_POINT = Parameter(
    "set_point",
    "set point of the heater",
    0.7,
    _set_point,
    lambda case: case.shop.heater_set_c,
    "C",
    plus=True,
)


def _shade(name: str, full: WallShade, bare: WallShade) -> Parameter:
    """Return the strength of one obstacle's shade: what it takes of each part of the light, times a factor."""
    fields = {
        "beam_share": (full.beam_share, bare.beam_share),
        "sky_view": (full.sky_view, bare.sky_view),
        "horizon_view": (full.horizon_view, bare.horizon_view),
        "ground_share": (full.ground_share, bare.ground_share),
        "ground_view": (full.ground_sky, bare.ground_sky),
    }
    taken = {
        key: np.broadcast_arrays(without, without - there)[1] for key, (there, without) in fields.items()
    }

    def change(case: Case, k: float) -> Case:
        drive = case.drive
        moved = {
            key: np.ascontiguousarray(np.clip(getattr(drive, key) - (k - 1.0) * gone, 0.0, 1.0))
            for key, gone in taken.items()
        }
        return case._replace(drive=Drive(**{**drive._asdict(), **moved}))

    return Parameter(SHADE + name, f"depth of the shade of {name}, times what was assumed", 0.3, change, _one)


def _one(case: Case) -> float:
    del case
    return 1.0
