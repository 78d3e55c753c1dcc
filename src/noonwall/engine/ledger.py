"""The ledger: from the kernel's booked joules to terms, storage and closing errors."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from noonwall.engine import numbers as n
from noonwall.engine.room import AIR, CONTENTS, CORE, EDGE, SLAB_LOW, SLAB_TOP
from noonwall.engine.year import J_PER_KWH, Ledger

if TYPE_CHECKING:
    from noonwall.engine.numbers import Floats, ShopNumbers, WallNumbers
    from noonwall.engine.state import State

BORDER_NAMES = {
    n.L_SUN_SKINS: "sun taken by the glazing",
    n.L_SUN_ABSORBER: "sun taken by the absorber",
    n.L_OUT_CONVECTION: "wind over the glazing",
    n.L_OUT_SKY: "glazing to the sky",
    n.L_OUT_GROUND: "glazing to ground and horizon",
    n.L_GAP_OUT: "gap air to and from outdoors",
    n.L_GAINS: "people, lamps, machines",
    n.L_WINDOW: "sun through windows",
    n.L_FAN: "fan power",
    n.L_HEATER: "backup heater",
    n.L_LIGHT: "windows and doors",
    n.L_PARTS_OUT: "walls and roof",
    n.L_AIR_CHANGE: "air change",
    n.L_EDGE_OUT: "slab edge to outdoors",
    n.L_DEEP: "slab to deep ground",
}


def stored_j(wall: WallNumbers, shop: ShopNumbers, before: State, after: State) -> dict[str, float]:
    """Return the heat each group of nodes holds more than at the beginning [J]."""
    out: dict[str, float] = {}
    if wall.strips > 0:
        area = wall.strip_m2
        out["left"] = float((wall.left_capacity[:, None] * (after.left - before.left)).sum() * area)
        out["right"] = float((wall.right_capacity[:, None] * (after.right - before.right)).sum() * area)
        out["mesh"] = float(wall.mesh_capacity * (after.mesh - before.mesh).sum() * area)
    moved = after.room - before.room
    out["air"] = float(shop.air_capacity * moved[AIR])
    out["contents"] = float(shop.contents_capacity * moved[CONTENTS])
    parts = after.parts - before.parts
    out["parts"] = float(
        (shop.part_outer_capacity * parts[:, 0] + shop.part_inner_capacity * parts[:, 1]).sum()
    )
    if shop.slab_w_k > 0.0:
        out["slab"] = float(shop.slab_capacity * (moved[SLAB_TOP] + moved[SLAB_LOW]))
        out["edge"] = float(shop.edge_capacity * moved[EDGE])
        out["core"] = float(shop.core_capacity * moved[CORE])
    return out


def node_balances(shop: ShopNumbers, led: Floats, stored: dict[str, float]) -> dict[str, tuple[float, float]]:
    """Return (closing error, throughput) [J] of each group of nodes, from the fluxes booked at its borders."""
    flows: dict[str, list[float]] = {}
    if "left" in stored:
        left_sun = led[n.L_SUN_SKINS] + 0.0
        absorber_sun = led[n.L_SUN_ABSORBER] - led[n.L_SUN_MESH]
        outer = [led[n.L_OUT_CONVECTION], led[n.L_OUT_SKY], led[n.L_OUT_GROUND]]
        mesh_air = led[n.L_AIR_FACES] - led[n.L_AIR_LEFT] - led[n.L_AIR_RIGHT]
        flows["wall solids"] = [
            left_sun, absorber_sun, led[n.L_SUN_MESH], *outer, -led[n.L_AIR_FACES], -led[n.L_BACK],
        ]  # fmt: skip
        flows["mesh"] = [led[n.L_SUN_MESH], led[n.L_LEFT_OUT], -led[n.L_RIGHT_IN], -mesh_air]
        flows["gap air"] = [led[n.L_AIR_FACES], -led[n.L_AIR_ROOM], led[n.L_GAP_OUT]]
        stored = stored | {"wall solids": stored["left"] + stored["right"] + stored["mesh"], "gap air": 0.0}
    window = led[n.L_WINDOW] - led[n.L_SUN_FLOOR] - led[n.L_SUN_CONTENTS]
    flows["air"] = [
        led[n.L_AIR_ROOM], led[n.L_BACK], led[n.L_GAINS], window, led[n.L_FAN], led[n.L_HEATER], led[n.L_LIGHT],
        led[n.L_AIR_CHANGE], -led[n.L_CONTENTS], -led[n.L_PARTS_IN], -led[n.L_SLAB],
    ]  # fmt: skip
    flows["contents"] = [led[n.L_CONTENTS], led[n.L_SUN_CONTENTS]]
    flows["parts"] = [led[n.L_PARTS_IN], led[n.L_PART_SUN], led[n.L_PARTS_OUT]]
    if shop.slab_w_k > 0.0:
        flows["slab"] = [led[n.L_SLAB], led[n.L_SUN_FLOOR], -led[n.L_SLAB_EDGE], -led[n.L_SLAB_CORE]]
        flows["edge"] = [led[n.L_SLAB_EDGE], led[n.L_EDGE_OUT]]
        flows["core"] = [led[n.L_SLAB_CORE], led[n.L_DEEP]]
    out = {}
    for name, terms in flows.items():
        size = 0.5 * (sum(abs(term) for term in terms) + abs(stored[name]))
        out[name] = (float(sum(terms) - stored[name]), float(size))
    return out


def make_ledger(wall: WallNumbers, shop: ShopNumbers, led: Floats, before: State, after: State) -> Ledger:
    """Close the books of a run.

    led  (ENTRIES,) joules booked by the kernel;  before, after  states at both ends
    """
    stored = stored_j(wall, shop, before, after)
    total = sum(stored.values())
    terms = {name: float(led[entry]) for entry, name in BORDER_NAMES.items()}
    # Sun on a wall's outside mostly goes straight back: alone it would swell the throughput.
    terms[BORDER_NAMES[n.L_PARTS_OUT]] += float(led[n.L_PART_SUN])
    error = sum(terms.values()) - total
    through = max(sum(term for term in terms.values() if term > 0.0), 1.0)
    worst = max(abs(miss) / max(size, 1.0) for miss, size in node_balances(shop, led, stored).values())
    return Ledger(
        terms={name: term / J_PER_KWH for name, term in terms.items()},
        stored_kwh=total / J_PER_KWH,
        closing_error_kwh=error / J_PER_KWH,
        closing_error_share=abs(error) / through,
        node_error_share=float(np.float64(worst)),
    )
