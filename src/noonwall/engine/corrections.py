"""Corrections: numbers of a run changed away from what the description gives, for what was learned since.

A correction changes numbers, not the description: it costs nothing, and every variant of a project can have it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from noonwall.engine.numbers import Drive
from noonwall.model.taught import corrections_of
from noonwall.shade.frame import Frame
from noonwall.shade.site import scene_of
from noonwall.shade.wall import shade_in

if TYPE_CHECKING:
    from collections.abc import Callable

    from noonwall.engine.numbers import Floats, ShopNumbers
    from noonwall.engine.simulate import Case
    from noonwall.model.project import Project
    from noonwall.shade.record import WallShade
    from noonwall.sky.sun import SunCourse

SHADE = "shade of "
SAME_SHARE = 0.01  # an assumed value that moved by more is another one than that which was learned about


@dataclass(frozen=True)
class Handle:
    """One thing that can be corrected.

    ``change``   (case, factor) -> case;  ``assumed``  its value in a case, SI
    ``plus``     what is given is added [K] or [W]; else it is a factor
    """

    key: str
    change: Callable[[Case, float], Case]
    assumed: Callable[[Case], float]
    plus: bool = False


def same(one: float, other: float) -> bool:
    """Whether two assumed values are one."""
    return abs(one - other) <= SAME_SHARE * max(abs(other), 1e-9)


def corrected(project: Project, course: SunCourse, case: Case, strips: int, years_on: float = 0.0) -> Case:
    """Return a case with a project's corrections; what the case has not is left out.

    A flap other than the one that was learned about is taken as it is described.
    """
    for item in corrections_of(project):
        if item.key.startswith(SHADE):
            handle = shade_handle(project, item.key.removeprefix(SHADE), course, strips, years_on)
        else:
            handle = next((h for h in HANDLES if h.key == item.key), None)
        moved = item.factor != (0.0 if item.plus else 1.0)
        if handle is None or not moved or not _there(handle, case, item.assumed):
            continue
        case = handle.change(case, item.factor)
    return case


def corrected_shop(project: Project, case: Case, shop: ShopNumbers) -> ShopNumbers:
    """Return a shop's numbers with the corrections that are of the shop alone."""
    known = {handle.key: handle for handle in SHOP_SIDE}
    for item in corrections_of(project):
        if item.key in known:
            shop = known[item.key].change(case._replace(shop=shop), item.factor).shop
    return shop


def _there(handle: Handle, case: Case, assumed: float) -> bool:
    if handle is GROUND:
        return case.shop.slab_w_k > 0.0
    if handle is FLAP:
        return case.air.flap_row > 0 and same(handle.assumed(case), assumed)
    return handle is not SET_POINT or case.shop.heater_w > 0.0


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


def _flap(case: Case, k: float) -> Case:
    share = min(case.air.flap_leak_share * k, 1.0)
    return case._replace(air=case.air._replace(flap_leak_share=share))


def _fan(case: Case, k: float) -> Case:
    return case._replace(air=case.air._replace(fan_flow_m3_s=case.air.fan_flow_m3_s * k))


def _fan_m3_s(case: Case) -> float:
    if not len(case.air.fan_count):
        return 0.0
    return float((case.air.fan_flow_m3_s.max(axis=1) * case.air.fan_count).sum())


def _set_point(case: Case, k: float) -> Case:
    return case._replace(shop=case.shop._replace(heater_set_c=case.shop.heater_set_c + k))


SHOP_LOSS = Handle("shop_loss", _loss, _loss_w_k)  # W/K
AIR_LEAKAGE = Handle("air_leakage", _leakage, lambda case: case.shop.leak_m2 * 1e4)  # cm2
THERMAL_MASS = Handle("thermal_mass", _mass, _mass_mj_k)  # MJ/K
GROUND = Handle("ground", _ground, lambda case: 0.5 * (case.shop.edge_w_k + case.shop.core_w_k))  # W/K
GLAZING = Handle("glazing_absorber", _glazing, lambda case: float(case.drive.take_sky[0]))
GAP_LEAK = Handle("gap_leak", _gap_leak, lambda case: case.air.leak_m2 * 1e4)  # cm2
FLAP = Handle("flap_leak", _flap, lambda case: case.air.flap_leak_share)
FAN = Handle("fan_flow", _fan, _fan_m3_s)  # m3/s
SET_POINT = Handle("set_point", _set_point, lambda case: case.shop.heater_set_c, plus=True)  # C

SHOP_SIDE = (SHOP_LOSS, AIR_LEAKAGE, THERMAL_MASS, GROUND, SET_POINT)
HANDLES = (*SHOP_SIDE, GLAZING, GAP_LEAK, FLAP, FAN)


def obstacle_groups(project: Project) -> dict[str, list[str]]:
    """Return the names of obstacles that shade as one: those told apart by a number only ("fir 1", "fir 2")."""
    groups: dict[str, list[str]] = {}
    for item in project.obstacles:
        if item.name:
            groups.setdefault(item.name.rstrip(" 0123456789") or item.name, []).append(item.name)
    return groups


def shade_handle(
    project: Project, group: str, course: SunCourse, strips: int, years_on: float = 0.0
) -> Handle | None:
    """Return the depth of the shade of a group of obstacles, None where none of them stands."""
    names = obstacle_groups(project).get(group)
    if not names:
        return None
    scene, frame = scene_of(project, years_on), Frame.of(project.wall)
    full = shade_in(scene, frame, course, strips)
    return shade_between(group, full, shade_in(scene.without(names), frame, course, strips))


def shade_between(group: str, full: WallShade, bare: WallShade) -> Handle:
    """Return the depth of a shade: what it takes of each part of the light, times a factor.

    full  with every obstacle;  bare  without those of the group
    """
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

    return Handle(SHADE + group, change, lambda _: 1.0)
