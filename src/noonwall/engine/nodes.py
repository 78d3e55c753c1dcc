"""From a described project to the numbers the kernel reads."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from noonwall.engine.layers import TwoNodes, chain_of, two_nodes
from noonwall.engine.numbers import AirNumbers, Floats, ShopNumbers, SwitchNumbers, WallNumbers
from noonwall.engine.schedule import timed_switches
from noonwall.model.catalogue import (
    GlazingSpec,
    air_changes_50pa,
    edge_loss_w_mk,
    fan_curve,
    glazing_of,
    resolve_layer,
)
from noonwall.model.layers import SolidLayer
from noonwall.physics.air import SPECIFIC_HEAT_J_KGK, standard_pressure_pa
from noonwall.physics.envelope import STACK_COEFFICIENTS, WIND_COEFFICIENTS, leakage_area_m2
from noonwall.physics.flow import screen_loss
from noonwall.physics.optics import GlazingCurves, OpticalSkin, glazing_curves, mesh_curves
from noonwall.physics.radiation import exchange_emittance, sky_sight

if TYPE_CHECKING:
    from collections.abc import Sequence

    from noonwall.model.control import Switch
    from noonwall.model.openings import VentRow
    from noonwall.model.project import Project
    from noonwall.model.shop import Part, PartKind, Shop
    from noonwall.model.wall import Wall

STRIPS = 8
RSE = 0.04  # outside film, ISO 6946
RSI = {"wall": 0.13, "door": 0.13, "window": 0.13, "roof": 0.10, "ceiling": 0.10, "floor": 0.17}
SHELTER_CLASS = {"open": 1, "some": 3, "sheltered": 4, "very sheltered": 5}
BOARD_J_M2K = (
    9000.0  # one thin board each side of a build-up given only as R or U; common practice, no source
)
CONTENTS_HOURS = 2.0  # time in which things follow the air; common practice, no source
CONCRETE = (1.7, 2300.0, 900.0)  # W/mK, kg/m3, J/kgK; ISO 10456
EDGE_SHARE = 0.5  # of a slab's loss that follows the weather of days, the rest that of the year
SOIL_J_M3K = 2.0e6  # ISO 13370, clay or silt between 3.0e6 and sand 2.0e6
EDGE_SOIL_M2 = 0.6  # soil warmed along each metre of edge
CORE_SOIL_M = 1.0
SUN_TO_FLOOR, SUN_TO_CONTENTS = (
    0.5,
    0.3,
)  # window sun; the rest warms surfaces that give it to the air at once
TURN_LOSS = 2.4  # two square turns at 1.2 each (check against fluids.bend_miter)


def wall_numbers(project: Project, strips: int, sky_view: float) -> WallNumbers:
    """Return the wall as numbers.

    strips    how many strips;  sky_view  mean share of its sky the wall still sees
    Rows of the absorbed-share tables (see `drive`): 0 absorber, 1 board behind a mesh, 2.. skins from outside
    """
    wall = project.wall
    spec = glazing_of(wall.glazing)
    capacity, fixed, emittance, cavity = skins_chain(spec)
    sun = [2 + k for k in range(len(capacity))]
    inner_skin = len(capacity) - 1
    plate = -1
    absorber = [resolve_layer(layer) for layer in wall.absorber.layers]
    backing = [resolve_layer(layer) for layer in wall.backing]
    arrangement = wall.absorber.arrangement
    face_emittance = wall.absorber.emittance
    left_face, right_face = spec.skins[-1].emittance_in, face_emittance
    if arrangement == "air behind":
        chain = chain_of(absorber)
        plate = len(capacity)
        fixed.append(0.0)
        emittance.append(exchange_emittance(spec.skins[-1].emittance_in, face_emittance))
        cavity.append(wall.absorber.stagnant_gap_m)
        capacity += list(chain.capacity)
        fixed += list(chain.joined)
        emittance += [0.0] * len(chain.joined)
        cavity += [0.0] * len(chain.joined)
        sun += [0] + [-1] * len(chain.joined)
        left_face, right_face = face_emittance, BACK_EMITTANCE
    solid = absorber + backing if arrangement == "air in front" else backing
    right = chain_of(solid)
    mesh = arrangement == "mesh"
    if mesh:
        right_face = BACK_EMITTANCE
    open_share = wall.absorber.mesh_openness if mesh else 1.0
    frame = 1.0 - wall.frame.share
    sky, _, _ = sky_sight(np.pi / 2.0)
    bottom_m, top_m = vent_heights(wall)
    return WallNumbers(
        strips=strips,
        strip_m2=wall.area_m2 * frame / strips,
        height_m=wall.height_m,
        gap_m=wall.gap_m,
        channel_m2=wall.width_m * frame * wall.gap_m,
        bottom_vent_m=wall.foot_m + bottom_m,
        top_vent_m=wall.foot_m + top_m,
        column=column_heights(wall.height_m, strips, bottom_m, top_m),
        left_capacity=np.array(capacity),
        left_fixed=np.array(fixed, dtype=float),
        left_emittance=np.array(emittance, dtype=float),
        left_cavity_m=np.array(cavity, dtype=float),
        left_sun=np.array(sun, dtype=np.int64),
        right_capacity=right.capacity,
        right_fixed=right.joined,
        right_film=1.0 / RSI["wall"],
        right_sun={"air in front": 0, "air behind": -1, "mesh": 1}[arrangement],
        outer_emittance=spec.skins[0].emittance_out,
        sky_form=sky * sky_view,
        channel_emittance=exchange_emittance(left_face, right_face) * open_share,
        mesh=int(mesh),
        mesh_sun=0 if mesh else -1,
        mesh_capacity=sum(layer.heat_capacity_j_m2k for layer in absorber) if mesh else 0.0,
        mesh_area=wall.absorber.mesh_area_ratio if mesh else 0.0,
        mesh_left_emittance=(1.0 - open_share) * exchange_emittance(left_face, face_emittance)
        if mesh
        else 0.0,
        mesh_right_emittance=(1.0 - open_share) * exchange_emittance(right_face, face_emittance)
        if mesh
        else 0.0,
        inner_skin=inner_skin,
        plate=plate,
    )


BACK_EMITTANCE = 0.9  # board or paint behind the air; common building surfaces, ISO 6946


def skins_chain(spec: GlazingSpec) -> tuple[list[float], list[float], list[float], list[float]]:
    """Return capacities of the skins, outermost first, and fixed, long-wave and still-air links between them."""
    return (
        [skin.heat_capacity_j_m2k for skin in spec.skins],
        [cavity.web_conductance_w_m2k for cavity in spec.cavities],
        [cavity.exchange_emittance for cavity in spec.cavities],
        [cavity.depth_m for cavity in spec.cavities],
    )


def curves_of(project: Project) -> GlazingCurves:
    """Return the optics of the project's glazing over its absorber."""
    wall = project.wall
    spec = glazing_of(wall.glazing)
    skins = [OpticalSkin(skin.thickness_m, skin.refractive_index, skin.extinction_1_m) for skin in spec.skins]
    if wall.absorber.arrangement == "mesh":
        return mesh_curves(
            skins, wall.absorber.absorptance, wall.absorber.mesh_openness, wall.absorber.absorptance
        )
    return glazing_curves(skins, wall.absorber.absorptance)


def vent_heights(wall: Wall) -> tuple[float, float]:
    """Heights of the middles of the lower and the upper row above the wall's foot [m]."""
    bottom, top = wall.vents.bottom, wall.vents.top
    low = bottom.centre_m if bottom.centre_m is not None else 0.5 * bottom.height_m
    high = top.centre_m if top.centre_m is not None else wall.height_m - 0.5 * top.height_m
    return low, high


def column_heights(height_m: float, strips: int, low_m: float, high_m: float) -> Floats:
    """Height of each strip that lies between the two vent rows [m], shape (strips,)."""
    edges = np.linspace(0.0, height_m, strips + 1)
    inside: Floats = np.maximum(0.0, np.minimum(edges[1:], high_m) - np.maximum(edges[:-1], low_m))
    return inside


def row_discharge(row: VentRow) -> float:
    """Discharge coefficient of a vent with its screen: loss coefficients in series add."""
    loss: float = 1.0 / row.discharge**2
    if row.screen_open_share < 1.0:
        loss += screen_loss(row.screen_open_share)
    return 1.0 / math.sqrt(loss)


def air_numbers(project: Project, room_leak_m2: float) -> AirNumbers:
    """Return the air path as numbers."""
    wall, vents, flap = project.wall, project.wall.vents, project.wall.flap
    rows = {"bottom": vents.bottom, "top": vents.top}
    kinds = len(project.fans)
    most = max([len(fan_curve(fan)) for fan in project.fans], default=2)
    flow = np.zeros((kinds, most))
    pressure = np.zeros((kinds, most))
    points = np.zeros(kinds, dtype=np.int64)
    opening, stopped = np.zeros(kinds), np.zeros(kinds)
    fan_area = {"bottom": 0.0, "top": 0.0}
    for i, fan in enumerate(project.fans):
        curve = fan_curve(fan)
        points[i] = len(curve)
        flow[i, : len(curve)] = [q for q, _ in curve]
        pressure[i, : len(curve)] = [p for _, p in curve]
        row = rows[fan.row]
        one = row.width_m * row.height_m
        opening[i] = one * row_discharge(row)
        stopped[i] = one / (1.0 / row_discharge(row) ** 2 + fan.stopped_loss) ** 0.5
        fan_area[fan.row] += fan.count * one
    edge = 2.0 * (wall.width_m + wall.height_m)
    summer = wall.summer_vent
    return AirNumbers(
        inlet_outdoors=int(wall.inlet_from == "outdoors"),
        bottom_plain_m2=max(vents.bottom.area_m2 - fan_area["bottom"], 0.0) * row_discharge(vents.bottom),
        bottom_fan_m2=fan_area["bottom"] * row_discharge(vents.bottom),
        top_plain_m2=max(vents.top.area_m2 - fan_area["top"], 0.0) * row_discharge(vents.top),
        top_fan_m2=fan_area["top"] * row_discharge(vents.top),
        flap_row=0 if flap is None else {"bottom": 1, "top": 2}[flap.row],
        flap_opening_pa=flap.opening_pa if flap else 0.0,
        flap_leak_share=flap.leak_share if flap else 0.0,
        flap_open_share=flap.open_share if flap else 1.0,
        flap_stuck=0 if flap is None else {"no": 0, "open": 1, "shut": 2}[flap.stuck],
        leak_m2=wall.leakage_area_m2_per_m * edge,
        summer_top_m2=summer.top_area_m2 * 0.62,
        summer_bottom_m2=summer.bottom_area_m2 * 0.62,
        room_leak_m2=max(room_leak_m2, 1e-4),
        neutral_m=0.5 * project.shop.eaves_m,
        turn_loss=TURN_LOSS,
        fan_row=np.array([{"bottom": 1, "top": 2}[fan.row] for fan in project.fans], dtype=np.int64),
        fan_count=np.array([float(fan.count) for fan in project.fans]),
        fan_opening_m2=opening,
        fan_stopped_m2=stopped,
        fan_points=points,
        fan_flow_m3_s=flow,
        fan_pressure_pa=pressure,
        fan_w=np.array([fan.power_w * fan.count for fan in project.fans]),
        fan_pv=np.array([int(fan.supply == "pv") for fan in project.fans], dtype=np.int64),
        pv_free=int(project.circuit.module_fans == "straight"),
    )


def part_layers(part: Part) -> list[SolidLayer]:
    """Return a storing part's build-up from outside to inside."""
    if part.layers:
        return [resolve_layer(layer) for layer in part.layers]
    films = RSE + RSI[part.kind]
    r = part.r_m2k_w if part.r_m2k_w is not None else 1.0 / (part.u_w_m2k or 1.0) - films
    board = SolidLayer(name="board", resistance_m2k_w=0.02, heat_capacity_j_m2k=BOARD_J_M2K, combustible=True)
    core = SolidLayer(
        name="core", resistance_m2k_w=max(r - 0.04, 0.02), heat_capacity_j_m2k=0.0, combustible=True
    )
    return [board, core, board]


def is_light(part: Part) -> bool:
    """Windows and doors given by U store nothing worth following."""
    return part.kind in {"window", "door"} and not part.layers


def light_u(part: Part) -> float:
    """U-value of a light part [W/m2K]."""
    if part.u_w_m2k is not None:
        return part.u_w_m2k
    return 1.0 / (RSE + RSI[part.kind] + (part.r_m2k_w or 0.0))


def bare_wall(project: Project) -> list[SolidLayer]:
    """Build-up of the wall's place without glazing and gap, from outside to inside."""
    wall = project.wall
    layers = wall.backing if wall.absorber.arrangement == "mesh" else (*wall.absorber.layers, *wall.backing)
    return [resolve_layer(layer) for layer in layers]


def storing_parts(
    project: Project, with_wall: bool
) -> list[tuple[PartKind, float, float, list[SolidLayer], float]]:
    """Return (kind, azimuth, area, layers, absorptance) of every part that stores heat.

    With the wall, its frame's strip of wall counts as a plain part; without it, the whole area does.
    """
    parts: list[tuple[PartKind, float, float, list[SolidLayer], float]] = [
        (
            part.kind,
            part.azimuth_deg if part.azimuth_deg is not None else -1.0,
            part.area_m2,
            part_layers(part),
            part.absorptance,
        )
        for part in project.shop.parts
        if not is_light(part)
    ]
    wall = project.wall
    share = wall.frame.share if with_wall else 1.0
    layers = bare_wall(project)
    if share > 0.0 and layers:
        parts.append(("wall", wall.azimuth_deg, wall.area_m2 * share, layers, PLAIN_ABSORPTANCE))
    return parts


PLAIN_ABSORPTANCE = 0.6


class Face(NamedTuple):
    """One piece of a store's outside."""

    kind: PartKind
    azimuth_deg: float  # negative: unknown
    area_m2: float
    absorptance: float


class Store(NamedTuple):
    """Parts of the envelope built alike: they warm and cool as one."""

    nodes: TwoNodes
    area_m2: float
    faces: tuple[Face, ...]


def envelope_stores(project: Project, with_wall: bool) -> list[Store]:
    """Gather the storing parts by build-up."""
    found: dict[TwoNodes, list[Face]] = {}
    for kind, azimuth, area, layers, absorptance in storing_parts(project, with_wall):
        nodes = two_nodes(layers, RSE, RSI[kind])
        found.setdefault(nodes, []).append(Face(kind, azimuth, area, absorptance))
    return [Store(nodes, sum(f.area_m2 for f in faces), tuple(faces)) for nodes, faces in found.items()]


def leak_area_m2(shop: Shop) -> float:
    """Effective leakage area of the shop at 4 Pa [m2]."""
    if shop.air.leakage_area_m2 is not None:
        return shop.air.leakage_area_m2
    return leakage_area_m2(air_changes_50pa(shop.air), shop.air_m3, 0.65)


def shop_numbers(project: Project, with_wall: bool) -> ShopNumbers:
    """Return the shop as numbers, with the wall or with a plain wall in its place."""
    shop = project.shop
    pressure = standard_pressure_pa(project.site.elevation_m)
    density = pressure / (287.055 * 283.15)
    volume = shop.air_m3
    parts = [(store.area_m2, store.nodes) for store in envelope_stores(project, with_wall)]
    contents = shop.contents_kg * shop.contents.specific_heat_j_kgk
    shelter = SHELTER_CLASS[project.site.shelter] - 1
    storeys = min(3, max(1, round(shop.eaves_m / 3.0))) - 1
    slab = slab_numbers(shop)
    heater = shop.heater
    return ShopNumbers(
        air_capacity=volume * density * SPECIFIC_HEAT_J_KGK,
        contents_capacity=max(contents, 1.0),
        contents_w_k=max(contents, 1.0) / (CONTENTS_HOURS * 3600.0),
        light_w_k=sum(light_u(part) * part.area_m2 for part in shop.parts if is_light(part)),
        part_out_w_k=np.array([area * p.out_w_m2k for area, p in parts]),
        part_mid_w_k=np.array([area * p.mid_w_m2k for area, p in parts]),
        part_in_w_k=np.array([area * p.in_w_m2k for area, p in parts]),
        part_outer_capacity=np.array([area * p.outer_capacity for area, p in parts]),
        part_inner_capacity=np.array([area * p.inner_capacity for area, p in parts]),
        leak_m2=leak_area_m2(shop),
        stack_coefficient=STACK_COEFFICIENTS[storeys] * 100.0,
        wind_coefficient=WIND_COEFFICIENTS[shelter][storeys] * 100.0,
        extra_air_m3_s=shop.air.extra_air_changes_per_h * volume / 3600.0,
        heater_w=heater.power_w if heater else 0.0,
        heater_set_c=heater.setpoint_c if heater else 0.0,
        sun_to_floor=SUN_TO_FLOOR,
        sun_to_contents=SUN_TO_CONTENTS,
        comfort_limit_c=shop.comfort.limit_c,
        **slab,
    )


def slab_numbers(shop: Shop) -> dict[str, float]:
    """Return the slab and the soil it warms: steady loss F x P in all, shared between edge and deep ground."""
    if shop.slab.kind == "none":
        return dict.fromkeys(
            (
                "slab_w_k",
                "slab_mid_w_k",
                "slab_capacity",
                "edge_w_k",
                "edge_capacity",
                "core_w_k",
                "core_capacity",
            ),
            0.0,
        )
    k, density, heat = CONCRETE
    floor_m2 = shop.floor_m2
    perimeter = shop.edge_m
    loss = edge_loss_w_mk(shop.slab) * perimeter
    thick = shop.slab.thickness_m
    top = floor_m2 / (RSI["floor"] + 0.25 * thick / k)
    middle = floor_m2 * k / (0.5 * thick)
    # What is left for the soil once film and slab have taken their share of the F-factor's resistance.
    rest = 1.0 / max(1.0 / loss - 1.0 / top - 1.0 / middle, 1e-6)
    return {
        "slab_w_k": top,
        "slab_mid_w_k": middle,
        "slab_capacity": 0.5 * floor_m2 * thick * density * heat,
        "edge_w_k": 2.0 * EDGE_SHARE * rest,
        "edge_capacity": EDGE_SOIL_M2 * perimeter * SOIL_J_M3K,
        "core_w_k": 2.0 * (1.0 - EDGE_SHARE) * rest,
        "core_capacity": CORE_SOIL_M * floor_m2 * SOIL_J_M3K,
    }


KINDS = {"close on rise": 0, "open on rise": 1, "difference": 2}
BY_ROW = 3  # a clock, a light switch, a hand: what it does is known beforehand
SPOTS = {"gap top": 0, "absorber": 1, "glazing": 2, "room": 3}


def switch_numbers(project: Project) -> SwitchNumbers:
    """Return the fans' circuit: groups in series, in the order of the project's `series`, or all switches."""
    switches = project.switches
    series: Sequence[str | tuple[str, ...]] = project.circuit.series or tuple(s.name for s in switches)
    group_of = {}
    for number, entry in enumerate(series):
        for name in (entry,) if isinstance(entry, str) else entry:
            group_of[name] = number
    wired = [s for s in switches if s.name in group_of]
    timed = [s.name for s in timed_switches(project)]
    mode = {"off": 0, "automatic": 1, "on": 2}[project.circuit.fans]
    if not project.fans:
        mode = 0
    points = np.array([set_points(project, s) for s in wired], dtype=float).reshape(-1, 2)
    return SwitchNumbers(
        mode=mode,
        kind=np.array([KINDS.get(s.kind, BY_ROW) for s in wired], dtype=np.int64),
        spot=np.array([SPOTS[s.spot] for s in wired], dtype=np.int64),
        close_c=points[:, 0].copy(),
        open_c=points[:, 1].copy(),
        lag_s=np.array([s.lag_s for s in wired], dtype=float),
        row=np.array([timed.index(s.name) if s.name in timed else 0 for s in wired], dtype=np.int64),
        group=np.array([group_of[s.name] for s in wired], dtype=np.int64),
        groups=len(series),
    )


def set_points(project: Project, switch: Switch) -> tuple[float, float]:
    """Return where a switch closes and opens, told by the shop's mean air for one that hangs at a height.

    The shop's air is one node. A switch at a height feels that node plus a fixed difference for each metre
    above half the eaves' height, so its set points are moved down by as much.
    """
    if switch.close is None or switch.open is None:
        return 0.0, 0.0
    above_m = 0.0 if switch.height_m is None else switch.height_m - 0.5 * project.shop.eaves_m
    warmer = above_m * project.shop.warmer_per_metre_k
    return switch.close - warmer, switch.open - warmer
