"""Heat that the wall's air brought, from flow and temperature rise, with how sure it is and why."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from noonwall.logs.period import STEP_S
from noonwall.logs.runs import J_PER_KWH, kwh
from noonwall.physics.air import SPECIFIC_HEAT_J_KGK
from noonwall.physics.meter import density_at_meter_kg_m3

if TYPE_CHECKING:
    from collections.abc import Mapping

    from noonwall.logs.records import Floats
    from noonwall.logs.runs import Run
    from noonwall.logs.seen import Seen

# Errors at about 95 %; common practice, no source, unless said.
FLOW_MEASURED_SHARE = 0.07  # a traverse by log-Tchebycheff points; ashrae_111_2008 has 5 to 10 %
FLOW_BY_FANS_SHARE = 0.20  # the fans' curve through the described openings
FLOW_BY_WARMTH_SHARE = 0.30  # warm air's own rise through the described openings
MODEL_SHARE = 0.35  # no rise was measured: the engine's, on the hours in which the fans ran
THERMOMETER_K = 0.5
GAP_FOR_OUTLET_K = 1.0  # the gap's top stands for the air that comes out
DENSITY_SHARE = 0.01
ON, OFF = 0.99, 0.01


@dataclass(frozen=True)
class Measured:
    """Measured heat, step by step; NaN where it could not be told.

    ``net_w``     heat brought less heat carried out, shape (n,) [W]
    ``errors_kwh``  name of each source of error -> how much of the net heat it may move, at about 95 %
    ``level``     "flow and rise", "fans and rise" or "fans alone"
    """

    fan_w: Floats
    rising_w: Floats  # brought by warm air's own rise
    reversed_w: Floats  # carried out, positive
    errors_kwh: Mapping[str, float]
    level: str
    flow_m3_s: float | None  # of all fans, at the outlet
    density_kg_m3: float  # mean where the flow is reckoned, weighted by heat
    notes: tuple[str, ...]

    @property
    def net_w(self) -> Floats:
        """Heat brought less heat carried out, shape (n,) [W]."""
        return np.asarray(self.fan_w + self.rising_w - self.reversed_w)

    @property
    def known(self) -> np.ndarray:
        """Where the heat could be told, shape (n,)."""
        return np.isfinite(self.net_w)

    @property
    def error_kwh(self) -> float:
        """All errors together [kWh]; they have nothing to do with each other."""
        return float(np.sqrt(sum(value * value for value in self.errors_kwh.values())))

    @property
    def largest_error(self) -> str:
        """Name of the largest error."""
        return max(self.errors_kwh, key=lambda name: self.errors_kwh[name])


def measure(at: Seen, own: Run, pressure_pa: float, opened: np.ndarray | None = None) -> Measured:
    """Return the heat that was measured.

    at     what was seen;  pressure_pa  of the air at the site, not reduced to sea level
    own    the engine's run with the fans as they were seen: its openings serve as the flow meter where no
           flow was measured
    opened  where the flap stood open in that run, shape (n,): there the openings are others
    """
    fan = own.fan_share if at.fan_share is None else at.fan_share
    if at.outlet_c is None or at.inlet_c is None:
        return _by_model(at, own, fan, pressure_pa)
    density = density_at_meter_kg_m3(at.outlet_c, pressure_pa, 0.0)  # type: ignore[arg-type]
    rise = at.outlet_c - at.inlet_c
    if at.flow_m3_s is not None:
        entering = density_at_meter_kg_m3(at.inlet_c, pressure_pa, 0.0)  # type: ignore[arg-type]
        return _by_flow(at, at.flow_m3_s, np.asarray(entering), np.asarray(density), rise)
    regimes = [np.ones(len(fan), bool)] if opened is None else [opened, ~opened]
    return _by_fans(at, own, fan, (np.asarray(density), rise, pressure_pa), regimes)


def _by_flow(at: Seen, flow: Floats, entering: Floats, leaving: Floats, rise: Floats) -> Measured:
    """Heat from a measured flow; the density is that of the air where the flow is measured.

    entering, leaving   density of the air at the wall's inlet and outlet [kg/m3], shape (n,) each
    """
    density, other = (entering, leaving) if at.flow_at == "inlet" else (leaving, entering)
    heat = flow * density * SPECIFIC_HEAT_J_KGK * rise
    out = np.where(flow < 0.0, np.abs(heat), np.maximum(-heat, 0.0))
    brought = np.where(flow > 0.0, np.maximum(heat, 0.0), 0.0)
    unknown = ~np.isfinite(heat)
    errors = {
        "flow": FLOW_MEASURED_SHARE * kwh(brought),
        "thermometers": _thermometers(at, np.abs(flow) * density),
        "density": DENSITY_SHARE * kwh(brought),
    }
    return Measured(
        fan_w=np.where(unknown, np.nan, brought),
        rising_w=np.where(unknown, np.nan, 0.0),
        reversed_w=np.where(unknown, np.nan, out),
        errors_kwh=errors,
        level="flow and rise",
        flow_m3_s=float(np.nanmedian(flow[flow > 0.0])) if (flow > 0.0).any() else None,
        density_kg_m3=_weighted(density, brought),
        notes=(_flow_words(at.flow_at, _weighted(other, brought) / _weighted(density, brought) - 1.0),),
    )


def _flow_words(place: str, other_share: float) -> str:
    """Return where the flow is measured; where nobody told, what it would mean were it the other end."""
    if place:
        return f"the flow is measured at the {place}: its density is that of the air there"
    return (
        "the flow is taken to be measured where the air comes out; were it where the air goes in (`--map "
        f"'COLUMN=flow; place=inlet'`), the heat would be {100 * other_share:+.0f} %"
    )


def _by_fans(
    at: Seen, own: Run, fan: Floats, air: tuple[Floats, Floats, float], regimes: list[np.ndarray]
) -> Measured:
    """Heat from the fans' hours and, while they stand, from warm air's own rise through the same openings."""
    notes = []
    density, rise, pressure = air
    own_density = np.asarray(density_at_meter_kg_m3(own.gap_top_c, pressure, 0.0))  # type: ignore[arg-type]
    on = own.fan_share > ON
    told = on & np.isfinite(rise + fan)
    on = told if told.any() else on
    flow = None
    fan_w = np.where(np.isfinite(rise + fan), 0.0, np.nan)
    if on.any():
        carried = own_density[on] * SPECIFIC_HEAT_J_KGK * (own.gap_top_c - own.room_c)[on]
        flow = float(own.delivered_w[on].sum() / carried.sum())
        fan_w = fan * flow * density * SPECIFIC_HEAT_J_KGK * np.maximum(rise, 0.0)
        notes.append(
            "the fans' flow is that of their curve through the described openings; nobody measured it"
        )
    if at.gap_bottom_c is not None and at.gap_top_c is not None and at.shop_c is not None:
        rising, back = _by_warmth((at.gap_bottom_c, at.gap_top_c, at.shop_c), own, fan, regimes)
        notes.append(
            "air that rose by itself, and air that sank, is reckoned from the gap's warmth and the openings"
        )
    else:
        rising = own.delivered_w * (1.0 - fan)
        back = own.reversed_w
        notes.append(
            "what came without fans, and what went out at night, is the engine's: no gap thermometers"
        )
    brought = fan_w + rising
    both_ways = abs(
        kwh(rising) - kwh(back)
    )  # one constant of the openings stands for both: its error cancels
    mass = fan * (flow or 0.0) * density + _flow_of(np.asarray(rising), rise)
    if at.gap_bottom_c is not None and at.shop_c is not None:
        mass = mass + _flow_of(np.asarray(back), at.shop_c - at.gap_bottom_c)
    errors = {
        "the fans' flow": FLOW_BY_FANS_SHARE * kwh(fan_w),
        "flow by warmth alone": FLOW_BY_WARMTH_SHARE * both_ways,
        "thermometers": _thermometers(at, mass),
        "density": DENSITY_SHARE * kwh(brought),
    }
    return Measured(
        fan_w=fan_w,
        rising_w=np.asarray(rising),
        reversed_w=np.asarray(back),
        errors_kwh=errors,
        level="fans and rise",
        flow_m3_s=flow,
        density_kg_m3=_weighted(density, fan_w if kwh(fan_w) > 0.0 else brought),
        notes=tuple(notes),
    )


def _by_warmth(
    gap_and_shop: tuple[Floats, Floats, Floats], own: Run, fan: Floats, regimes: list[np.ndarray]
) -> tuple[Floats, Floats]:
    """Return heat brought by rising air and heat carried out by sinking air [W], shape (n,) each.

    Flow goes as the root of the gap's warmth over the shop's; the openings' constant is the engine's own,
    over the measured steps alone, and one for each state of the flap (``regimes``, shape (n,) each).
    """
    up, down = _drives(*gap_and_shop)
    own_up, own_down = _drives(own.gap_bottom_c, own.gap_top_c, own.room_c)
    off = (own.fan_share < OFF) & np.isfinite(up + down)
    rising, sinking = np.zeros(len(fan)), np.zeros(len(fan))
    for state in regimes:
        part = off & state
        rising[state] = own.delivered_w[part].sum() / max(float(own_up[part].sum()), 1e-9)
        sinking[state] = own.reversed_w[part].sum() / max(float(own_down[part].sum()), 1e-9)
    still = np.where(np.isfinite(fan), 1.0 - fan, np.nan)
    return np.asarray(rising * up * still), np.asarray(sinking * down * still)


def _drives(low_c: Floats, high_c: Floats, shop_c: Floats) -> tuple[Floats, Floats]:
    """Return what rising and sinking heat are proportional to [K^1.5], shape (n,) each."""
    over = 0.5 * (low_c + high_c) - shop_c
    up = np.sqrt(np.maximum(over, 0.0)) * np.maximum(high_c - shop_c, 0.0)
    down = np.sqrt(np.maximum(-over, 0.0)) * np.maximum(shop_c - low_c, 0.0)
    return up, down


def _flow_of(heat_w: Floats, rise_k: Floats) -> Floats:
    """Return the mass flow that a heat and a rise imply [kg/s]; a rise below 1 K counts as 1 K."""
    return np.asarray(heat_w / (SPECIFIC_HEAT_J_KGK * np.maximum(rise_k, 1.0)))


def _thermometers(at: Seen, mass_kg_s: Floats) -> float:
    """Return what a steady error of both thermometers makes of the heat [kWh]."""
    outlet = THERMOMETER_K if at.air_out_c is not None else GAP_FOR_OUTLET_K
    both = np.hypot(outlet, THERMOMETER_K)
    return float(np.nansum(mass_kg_s)) * SPECIFIC_HEAT_J_KGK * float(both) * STEP_S / J_PER_KWH


def _by_model(at: Seen, own: Run, fan: Floats, pressure: float) -> Measured:
    """Heat without any measured rise: the engine's own, on the hours in which the fans were seen to run."""
    seen = np.isfinite(fan)
    blank = np.where(seen, 0.0, np.nan)
    return Measured(
        fan_w=blank + own.delivered_w * (own.fan_share > OFF),
        rising_w=blank + own.delivered_w * (own.fan_share <= OFF),
        reversed_w=blank + own.reversed_w,
        errors_kwh={"no temperature rise was measured": MODEL_SHARE * kwh(blank + own.delivered_w)},
        level="fans alone",
        flow_m3_s=None,
        density_kg_m3=float(density_at_meter_kg_m3(float(own.gap_top_c.mean()), pressure, 0.0)),
        notes=(
            "no thermometer tells the rise: the heat is the engine's for the hours in which the fans ran"
            if at.fan_share is not None
            else "neither rise nor fans were measured: the heat is the engine's own",
        ),
    )


def _weighted(values: Floats, weight: Floats) -> float:
    good = np.isfinite(values) & np.isfinite(weight) & (weight > 0.0)
    if not good.any():
        return float(np.nanmean(values))
    return float(np.average(values[good], weights=weight[good]))
