"""What may be meant but seldom is: figures of a project that deserve a second look. They stop nothing."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from noonwall.model import catalogue
from noonwall.model.convert import Fault
from noonwall.model.envelope import sizes
from noonwall.model.slips import Look, slips
from noonwall.units import show

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from noonwall.model.project import Project
    from noonwall.units import System

# bounds of the usual; common practice, no source, unless said otherwise
VENT_SHARES = (0.005, 0.12)  # of the wall's area, one row
FAN_FLOWS_M3_S_M2 = (0.005, 0.03)  # of the wall's area
FASTEST_M_S = 6.0  # in a fan's opening
SLOWEST_SWITCH_K, WIDEST_SWITCH_K = 3.0, 25.0


def doubts(project: Project, raw: dict[str, Any] | None = None, system: System | None = None) -> list[Fault]:
    """Return what looks odd, each with its key.

    raw     tables the project was read from: a figure without a unit is known by them
    system  units to speak in; None takes the project's own
    """
    look = Look(project, raw or {}, system or project.units or "metric")
    plain: tuple[Callable[[Project], Iterator[Fault]], ...] = (_facing, _clock, _heater, _glazing)
    measured: tuple[Callable[[Look], Iterator[Fault]], ...] = (
        _envelope, _vents, _air, _control, _cover, slips,
    )  # fmt: skip
    found = [fault for check in plain for fault in check(project)]
    return found + [fault for check in measured for fault in check(look)]


def _facing(project: Project) -> Iterator[Fault]:
    noon = 180.0 if project.site.latitude_deg >= 0.0 else 0.0
    off = abs((project.wall.azimuth_deg - noon + 180.0) % 360.0 - 180.0)
    if off > 75.0 and abs(project.site.latitude_deg) > 20.0:
        told = f"the wall faces {off:.0f} deg away from the midday sun; south is 180, north is 0"
        yield Fault(("wall", "azimuth"), told)


def _clock(project: Project) -> Iterator[Fault]:
    site = project.site
    if site.utc_offset_h is not None:
        by_sun = site.longitude_deg / 15.0
        apart = abs((site.utc_offset_h - by_sun + 12.0) % 24.0 - 12.0)
        if apart > 3.0:
            told = (
                f"{site.utc_offset_h:g} h is {apart:.0f} h off the sun's own time there; is the sign right?"
            )
            yield Fault(("site", "utc_offset"), told)


def _envelope(look: Look) -> Iterator[Fault]:
    shop, asked = look.project.shop, sizes(look.project)
    floor = asked.floor_m2
    if not asked.closes:
        gables = f" and gables of {show(asked.gables_m2, 'area', look.system)}" if asked.gables_m2 else ""
        told = (
            f"walls, windows, doors and the glazed wall are {show(asked.upright_m2, 'area', look.system)} together, "
            f"the shop's size asks for about {show(asked.asked_m2, 'area', look.system)}: length, width and eaves"
            f"{gables}"
        )
        yield Fault(("shop", "part"), told)
    if not asked.covers:
        told = (
            f"roof and ceiling are {show(asked.above_m2, 'area', look.system)} together, "
            f"the floor is {show(floor, 'area', look.system)}"
        )
        yield Fault(("shop", "part"), told)
    if shop.slab.kind == "slab" and any(p.kind == "floor" for p in shop.parts):
        yield Fault(("shop", "slab", "kind"), "there is a floor among the parts too; the floor counts twice")
    if shop.volume_m3 is not None and not 0.7 <= shop.volume_m3 / (floor * shop.eaves_m) <= 2.5:
        told = f"floor times eaves is {show(floor * shop.eaves_m, 'volume', look.system)}"
        yield Fault(("shop", "volume"), f"{show(shop.volume_m3, 'volume', look.system)} looks odd: {told}")
    if shop.air.leakage_area_m2 is not None and shop.air.air_changes_50pa_per_h is not None:
        told = "a blower-door result is given too; the leakage area is the one that counts"
        yield Fault(("shop", "air", "air_changes_at_50_pa"), told)


def _heater(project: Project) -> Iterator[Fault]:
    shop, heater = project.shop, project.shop.heater
    if heater is None:
        return
    if heater.setpoint_c >= shop.comfort.limit_c:
        told = "the heater alone reaches the limit above which heat counts as not needed (shop.comfort.limit)"
        yield Fault(("shop", "heater", "setpoint"), told)
    if heater.price_unit is not None and heater.price_per_unit is None:
        yield Fault(("shop", "heater", "price_unit"), "names a unit, but there is no price")


def _vents(look: Look) -> Iterator[Fault]:
    wall = look.project.wall
    low, high = VENT_SHARES
    for name, row in (("bottom", wall.vents.bottom), ("top", wall.vents.top)):
        share = row.area_m2 / wall.area_m2
        if not low <= share <= high:
            told = (
                f"the {name} row opens {show(row.area_m2, 'area', look.system)}, {share:.1%} of the wall; "
                f"{low:.1%} to {high:.0%} is usual"
            )
            yield Fault(("wall", "vents", name), told)


def _air(look: Look) -> Iterator[Fault]:
    project, wall = look.project, look.project.wall
    total = sum(fan.count * fan.flow_m3_s for fan in project.fans)
    low, high = FAN_FLOWS_M3_S_M2
    if project.fans and not low <= total / wall.area_m2 <= high:
        told = (
            f"all fans together move {show(total, 'flow', look.system)}; for a wall of "
            f"{show(wall.area_m2, 'area', look.system)} {show(low * wall.area_m2, 'flow', look.system, 2)} to "
            f"{show(high * wall.area_m2, 'flow', look.system, 2)} is usual"
        )
        yield Fault(("fan", 0, "flow"), told)
    for i, fan in enumerate(project.fans):
        row = wall.vents.bottom if fan.row == "bottom" else wall.vents.top
        speed = fan.flow_m3_s / (row.width_m * row.height_m)
        if speed > FASTEST_M_S:
            fast = show(speed, "speed", look.system, 2)
            told = f"through one opening of its row it would blow at {fast}; is that large enough?"
            yield Fault(("fan", i, "flow"), told)


def _control(look: Look) -> Iterator[Fault]:
    project = look.project
    switched = project.circuit.module_fans != "straight"
    mains = [fan for fan in project.fans if fan.supply == "mains" or switched]
    if mains and project.circuit.fans == "automatic" and not project.switches:
        yield Fault(("circuit", "fans"), "there is no [[switch]], so the fans never run")
    if any(fan.supply == "pv" for fan in project.fans) and not project.pv:
        yield Fault(("fan",), "a fan runs straight from PV, but no [[pv]] is described")
    for i, switch in enumerate(project.switches):
        if switch.close is None or switch.open is None:
            continue
        spread = abs(switch.close - switch.open)
        if switch.kind != "difference" and not SLOWEST_SWITCH_K <= spread <= WIDEST_SWITCH_K:
            told = (
                f"opens and closes {show(spread, 'temperature_difference', look.system)} apart; "
                f"{show(SLOWEST_SWITCH_K, 'temperature_difference', look.system)} to "
                f"{show(WIDEST_SWITCH_K, 'temperature_difference', look.system)} is usual"
            )
            yield Fault(("switch", i, "open"), told)
        if switch.kind == "close on rise" and switch.spot == "room":
            yield Fault(("switch", i, "spot"), "the fans would start when the room, not the wall, is warm")


def _cover(look: Look) -> Iterator[Fault]:
    project, wall = look.project, look.project.wall
    if wall.overhang and wall.overhang.depth_m > 0.0:
        # Profile angle of the midday sun at midwinter; Cooper declination -23.45 deg.
        height = math.radians(90.0 - abs(project.site.latitude_deg) - 23.45)
        drop = wall.overhang.depth_m * math.tan(height) - wall.overhang.above_m if height > 0.0 else 0.0
        if drop > 0.25 * wall.height_m:
            told = f"even at midwinter noon its shadow covers the wall's upper {show(drop, 'length', look.system)}"
            yield Fault(("wall", "overhang", "depth"), told)
    areas = (wall.summer_vent.top_area_m2, wall.summer_vent.bottom_area_m2)
    if any(areas) and not wall.summer_vent.open:
        yield Fault(
            ("wall", "summer_vent", "open"), "the summer vents have a size, but no time to stand open"
        )
    if wall.summer_vent.open and not any(areas):
        yield Fault(
            ("wall", "summer_vent", "open"), "the summer vents have a time to stand open, but no size"
        )


def _glazing(project: Project) -> Iterator[Fault]:
    wall = project.wall
    if wall.absorber.arrangement == "mesh" and not wall.backing:
        told = "a mesh has nothing behind it; write [[wall.backing]], the board it hangs before first"
        yield Fault(("wall", "backing"), told)
    spec = catalogue.glazing_of(wall.glazing)
    if wall.gap_m < sum(skin.thickness_m for skin in spec.skins):
        yield Fault(("wall", "gap"), "the gap is thinner than the glazing")
