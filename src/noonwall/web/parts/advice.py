"""What to measure for a box, and what is normal, where its label says what it is; common practice, no source."""

from __future__ import annotations

import re

_VENT = {
    "count": "Count the openings of this row.",
    "width": "Measure the clear opening between its edges, frame and grille left out.",
    "height": "Measure the clear opening from edge to edge. The whole row usually has 1 to 5 % of the wall's area.",
    "screen_open_share": "Hold the screen to the light: fly screen leaves about 60 %, hardware cloth more. 1 for none.",
    "discharge": "A sharp-edged hole lets pass about 0.6 of what its area would; leave it open unless it was measured.",
}
_LAYER = {
    "thickness": "Measure the layer itself, no air space beside it; for boards what is printed on them."
}
ADVICE: dict[str, str] = {
    "wall.width": "Measure the clear glazing from frame to frame, where the sun gets in, not the whole wall.",
    "wall.height": "Measure the clear glazing from the sill to the head, where the sun gets in; 2 to 3 m is usual.",
    "wall.gap": "Measure from the glazing's inner face to the dark face. 50 to 150 mm is usual; less chokes the air.",
    "wall.glazing.sheet_gap": "Measure between the two sheets, face to face; 10 to 25 mm is usual.",
    "wall.glazing.dirt": "Wiped each autumn a sheet loses 2 to 3 %; an old, hazed one 10 % and more.",
    "wall.glazing.skin.thickness": "Measure one skin at its cut edge, not the whole sheet.",
    "wall.glazing.skin.emittance_out": "How well the face gives off heat: bare about 0.9, coated far less.",
    "wall.glazing.skin.emittance_in": "How well the face gives off heat: bare about 0.9, coated far less.",
    "wall.absorber.absorptance": "Flat black paint takes 0.9 to 0.97, dark brown or green 0.85, weathered metal less.",
    "wall.absorber.emittance": "Paint of any colour gives off 0.85 to 0.95; only bare or selective metal far less.",
    "wall.absorber.mesh_openness": "Hold the mesh to the light and judge how much of it you see through.",
    "wall.absorber.mesh_area_ratio": "All surface of wires that the air touches over the wall's area; about 1 a layer.",
    "wall.overhang.depth": "Measure level from the glazing's face to the drip edge, the gutter counted in.",
    "wall.overhang.side": "Measure along the wall from the glazing's edge to the roof's end, at each side.",
    "wall.flap.row": "The foot vents are the usual place: there the air is cool and the flap keeps its shape.",
    "wall.flap.opening_pressure": "A thin film lifts at less than 1 Pa; a sprung damper at 5 to 25 Pa, that is never.",
    "wall.cover.passes": "Hold the cloth to the sun: a tarpaulin passes little, shade cloth what is printed on it.",
    "wall.summer_vent.top_area": "Measure the clear opening from the gap to outdoors at the top; grilles off.",
    "wall.summer_vent.bottom_area": "Measure the clear opening from outdoors to the gap at the foot; grilles off.",
    "fan.count": "Count fans of one kind; add another entry for a different kind.",
    "fan.voltage": "As the label on the motor says.",
    "fan.start_ratio": "Small motors draw four to six times their running current for a moment; see the label.",
    "switch.spot": "Where its sensing end is fastened: what it touches, or the air it hangs in.",
    "switch.contact": "Amperes printed on the switch, for motors if it names them.",
    "switch.contact_for": "Look for words beside the amperes: 'motor', 'FLA' or 'hp'; none means lamps and heaters.",
    "circuit.most_drop": "What the fans can do without: 3 % is the usual aim, 5 % much.",
    "shop.length": "Measure inside, along the ridge, from lining to lining.",
    "shop.width": "Measure inside, across the ridge, from lining to lining.",
    "shop.eaves": "Measure inside, from the floor to where the wall meets the roof.",
    "shop.humidity": "What a hygrometer shows on a usual winter day; a heated dry shop has 30 to 50 %.",
    "shop.part.area": "Height times width of this part, its windows and doors taken off, gables counted in.",
    "shop.part.r": "As it is printed on the insulation, less about a sixth for studs; films of air are added here.",
    "shop.part.u": "As a window's or door's label says; used instead of a resistance, never beside it.",
    "shop.part.absorptance": "White paint takes about 0.3 of the sun, grey or weathered boards 0.6, black 0.9.",
    "shop.slab.thickness": "Measure at an edge or a drilled hole; 100 to 150 mm is usual.",
    "shop.slab.edge_insulation": "As printed on the boards: foam has about R-5 for each inch.",
    "shop.slab.edge_insulation_way": "Look at the slab's outer edge, or ask who poured it.",
    "shop.air.leakage_area": "A blower-door report states it; leave it open without one.",
    "shop.gains.workdays_only": "Whether the heat above comes on Saturday and Sunday too.",
    "shop.heater.setpoint": "Where its thermostat stands day and night, such as what keeps pipes from freezing.",
    "shop.heater.power": "Output as the plate says, not input.",
    "shop.comfort.limit": "Above this you would burn no fuel; heat that comes then is not counted as of use.",
    "shop.comfort.warm_enough": "From which temperature on you take your gloves off; 8 to 12 °C for most.",
    "shop.comfort.too_hot": "From which temperature on you stop working; 25 to 30 °C for most.",
    "money.electricity": "All of it that one more kilowatt-hour costs: energy and delivery, no fixed charge.",
    "site.elevation": "Read it off a map; 100 m more or less hardly matter.",
    "site.snow_albedo": "Fresh snow reflects 0.8, old or trodden snow 0.5 to 0.6.",
    **{f"wall.vents.{row}.{key}": told for row in ("bottom", "top") for key, told in _VENT.items()},
    **{f"{table}.{key}": told for table in ("wall.absorber.layer", "wall.backing", "shop.part.layer")
       for key, told in _LAYER.items()},
}  # fmt: skip


def advice(key: str) -> str:
    """Return what to measure for a key, empty where its own description says it.

    >>> advice("shop.part[2].area")[:6], advice("wall.frame.share")
    ('Height', '')
    """
    return ADVICE.get(re.sub(r"\[\d+\]", "", key), "")
