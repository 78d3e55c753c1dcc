"""A board, a blanket, an air space: one layer of a build-up."""

from __future__ import annotations

from noonwall.model.fields import ABSENT, Record, entry, word


class Layer(Record):
    """One layer. Either a catalogue material with a thickness, own numbers, or a bare resistance."""

    material: str | None = word("material", None, doc="name from the catalogue of materials", source=ABSENT)
    thickness_m: float | None = entry(
        "thickness", "length", None, low=0.0001, high=2.0, doc="how thick", source=ABSENT
    )
    conductivity_w_mk: float | None = entry(
        "conductivity",
        "conductivity",
        None,
        low=0.005,
        high=500.0,
        doc="heat conductivity, if not from the catalogue",
        source=ABSENT,
    )
    density_kg_m3: float | None = entry(
        "density",
        "density",
        None,
        low=1.0,
        high=12000.0,
        doc="density, if not from the catalogue",
        source=ABSENT,
    )
    specific_heat_j_kgk: float | None = entry(
        "specific_heat",
        "specific_heat",
        None,
        low=100.0,
        high=6000.0,
        doc="specific heat, if not from the catalogue",
        source=ABSENT,
    )
    resistance_m2k_w: float | None = entry(
        "r",
        "r_value",
        None,
        low=0.0,
        high=50.0,
        doc="heat resistance given directly; it stores no heat then, unless thickness and density are known",
        source=ABSENT,
    )
    combustible: bool | None = word(
        "combustible", None, doc="whether it burns, if not from the catalogue", source=ABSENT
    )


class SolidLayer(Record):
    """A layer with every number filled in (from the catalogue or by the builder): what the engine reads."""

    name: str = word("name", doc="what to call it")
    resistance_m2k_w: float = entry("r", "r_value", low=0.0, doc="heat resistance through the layer")
    heat_capacity_j_m2k: float = entry(
        "heat_capacity", "heat_capacity", low=0.0, doc="heat stored per square metre and kelvin"
    )
    combustible: bool = word("combustible", doc="whether it burns")
    thickness_m: float = entry("thickness", "length", 0.0, low=0.0, doc="how thick", source=ABSENT)
