"""The catalogues in the package: materials, glazings, dark faces, fuels, slab edges, tightness, fans.

Every row of every file in ``library/`` names where its numbers come from; generic materials only, no brands.
"""

from __future__ import annotations

import bisect
import difflib
import math
import tomllib
from dataclasses import dataclass, replace
from functools import cache
from importlib import resources
from typing import TYPE_CHECKING, Any, Literal

from noonwall.errors import ProjectError
from noonwall.model.layers import Layer, SolidLayer
from noonwall.units import parse

if TYPE_CHECKING:
    from collections.abc import Sequence

    from noonwall.model.control import Fan
    from noonwall.model.glazing import Glazing
    from noonwall.model.shop import Air, Slab

Shelf = Literal["material", "glazing", "face", "fuel", "tightness"]
_FILES: dict[Shelf, str] = {
    "material": "materials.toml",
    "glazing": "glazings.toml",
    "face": "faces.toml",
    "fuel": "fuels.toml",
    "tightness": "tightness.toml",
}


@dataclass(frozen=True)
class Material:
    """A building material. Conductivity is None for an air space, whose resistance goes by its thickness."""

    name: str
    conductivity_w_mk: float | None
    density_kg_m3: float
    specific_heat_j_kgk: float
    emittance: float  # long-wave, bare surface
    combustible: bool
    service_limit_c: float | None  # published limit of lasting use
    service_source: str
    source: str
    thickness_m: tuple[float, ...] = ()  # of an air space, with
    resistance_m2k_w: tuple[float, ...] = ()  # its resistance


@dataclass(frozen=True)
class Skin:
    """One clear skin."""

    thickness_m: float
    refractive_index: float
    extinction_1_m: float  # absorbed sun per metre of path
    emittance_out: float
    emittance_in: float
    heat_capacity_j_m2k: float
    resistance_m2k_w: float  # through the skin


@dataclass(frozen=True)
class Cavity:
    """The still air between two skins and the ribs that cross it."""

    depth_m: float
    web_conductance_w_m2k: float  # conduction along the ribs
    exchange_emittance: float  # long-wave exchange between the skins, ribs counted in [-]


@dataclass(frozen=True)
class GlazingSpec:
    """A clear cover, outermost skin first."""

    name: str
    skins: tuple[Skin, ...]
    cavities: tuple[Cavity, ...]  # one fewer than skins
    solar_scatter: float  # share of the sun let through that leaves in all directions
    mass_kg_m2: float
    expansion_per_k: float | None
    service_limit_c: float | None  # published limit of lasting use
    service_source: str
    published_u_w_m2k: float | None  # for comparison only
    published_solar: float | None  # sun let through at normal incidence, for comparison only
    source: str


@dataclass(frozen=True)
class Face:
    """A dark face."""

    name: str
    absorptance: float
    emittance: float
    source: str


@dataclass(frozen=True)
class FuelSpec:
    """A fuel, on its higher heating value."""

    name: str
    usual_unit: str
    kwh_per: dict[str, float]  # unit -> kWh in one unit
    usual_efficiency: float
    co2_kg_per_kwh: float | None
    source: str


def names(shelf: Shelf) -> tuple[str, ...]:
    """Return the names on a shelf, in the order of its file."""
    return tuple(row["name"] for row in _rows(shelf))


def known(shelf: Shelf, name: str) -> bool:
    """Return whether a name, or another word for it, stands on a shelf."""
    return _key(name) in _index(shelf)


def search(shelf: Shelf, name: str) -> str:
    """Return the catalogue's own name for a word.

    raises  ProjectError for an unknown name, with the nearest known one
    """
    return str(_row(shelf, name)["name"])


def material(name: str) -> Material:
    """Return a material by name or by another word for it.

    raises  ProjectError for an unknown name, with the nearest known one
    """
    row = _row("material", name)
    return Material(
        name=row["name"],
        conductivity_w_mk=row.get("conductivity"),
        density_kg_m3=float(row["density"]),
        specific_heat_j_kgk=float(row["specific_heat"]),
        emittance=row["emittance"],
        combustible=row["combustible"],
        service_limit_c=row.get("service_limit_c"),
        service_source=row.get("service_source", ""),
        source=row["source"],
        thickness_m=tuple(row.get("thickness_m", ())),
        resistance_m2k_w=tuple(row.get("resistance_m2k_w", ())),
    )


def resolve_layer(layer: Layer) -> SolidLayer:
    """Return a layer with every number filled in.

    Own numbers go before the catalogue's. A resistance given directly stands as it is; the layer then stores
    heat only if its thickness and a density are known. Stuff of unknown nature counts as combustible.

    raises  ProjectError when the material is unknown or the numbers do not make a resistance
    """
    known_as = material(layer.material) if layer.material is not None else None
    thickness = layer.thickness_m
    density = layer.density_kg_m3 or (known_as.density_kg_m3 if known_as else None)
    heat = layer.specific_heat_j_kgk or (known_as.specific_heat_j_kgk if known_as else None)
    resistance = layer.resistance_m2k_w
    if resistance is None:
        resistance = _resistance(layer, known_as)
        if density is None or heat is None:
            raise ProjectError("a layer with its own conductivity needs density and specific_heat too, or r")
    capacity = thickness * density * heat if thickness and density and heat else 0.0
    burns = known_as.combustible if known_as else True
    return SolidLayer(
        name=known_as.name if known_as else "own layer",
        resistance_m2k_w=resistance,
        heat_capacity_j_m2k=capacity,
        combustible=burns if layer.combustible is None else layer.combustible,
        thickness_m=thickness or 0.0,
    )


def _resistance(layer: Layer, known_as: Material | None) -> float:
    """Return the resistance of a layer from its thickness."""
    thickness = layer.thickness_m
    conductivity = layer.conductivity_w_mk or (known_as.conductivity_w_mk if known_as else None)
    if thickness is None:
        what = f'"{known_as.name}"' if known_as else "a layer"
        raise ProjectError(f"{what} needs a thickness, or r")
    if conductivity is not None:
        return thickness / conductivity
    if known_as is None:
        raise ProjectError("a layer needs a material, its own conductivity, or r")
    return _between(known_as.thickness_m, known_as.resistance_m2k_w, thickness)


def glazing(name: str) -> GlazingSpec:
    """Return one sheet of a catalogue glazing.

    raises  ProjectError for an unknown name, with the nearest known one
    """
    row = _row("glazing", name)
    thickness, depths = row["thickness"], row.get("cavity", [])
    mass, spacing = float(row["mass"]), row.get("web_spacing")
    conductivity = row.get("conductivity", 1.0)
    solid = sum(thickness)
    skins = tuple(
        Skin(
            thickness_m=t,
            refractive_index=row["refractive_index"],
            extinction_1_m=row["extinction"],
            emittance_out=row["emittance"],
            emittance_in=row["emittance"],
            heat_capacity_j_m2k=mass * row["specific_heat"] * t / solid,
            resistance_m2k_w=t / conductivity,
        )
        for t in thickness
    )
    cavities = tuple(
        Cavity(
            depth_m=depth,
            web_conductance_w_m2k=conductivity * row["web_thickness"] / spacing / depth if spacing else 0.0,
            exchange_emittance=exchange_emittance(row["emittance"], row["emittance"], depth, spacing),
        )
        for depth in depths
    )
    return GlazingSpec(
        name=row["name"],
        skins=skins,
        cavities=cavities,
        solar_scatter=row.get("scatter", 0.0),
        mass_kg_m2=mass,
        expansion_per_k=row.get("expansion_per_k"),
        service_limit_c=row.get("service_limit_c"),
        service_source=row.get("service_source", ""),
        published_u_w_m2k=row.get("published_u"),
        published_solar=row.get("published_solar"),
        source=row["source"],
    )


def exchange_emittance(first: float, second: float, depth_m: float, spacing_m: float | None) -> float:
    """Return the long-wave exchange factor between two faces, with ribs that only pass radiation on.

    first, second  emittances [-];  depth_m  from face to face;  spacing_m  from rib to rib, None for none
    returns        q = factor x sigma (T1^4 - T2^4) [-]
    Source         network of two grey faces and one reradiating face; crossed strings for the view between
                   the faces (Incropera et al., radiation chapter; from memory)
    Valid          long ribs, wide and deep cavities alike; no ribs give 1 / (1/e1 + 1/e2 - 1)
    """
    view = 1.0
    if spacing_m:
        ratio = depth_m / spacing_m
        view = 0.5 * (1.0 + math.sqrt(1.0 + ratio * ratio) - ratio)
    return 1.0 / (1.0 / first + 1.0 / second - 2.0 + 1.0 / view)


def glazing_of(wanted: Glazing) -> GlazingSpec:
    """Return the whole cover a project describes: one or several sheets, or the builder's own skins.

    raises  ProjectError for an unknown sheet
    """
    if wanted.skins:
        return _own_glazing(wanted)
    sheet = glazing(wanted.kind)
    if wanted.sheets == 1:
        return sheet
    emittance = sheet.skins[0].emittance_out
    between = Cavity(
        wanted.sheet_gap_m, 0.0, exchange_emittance(emittance, emittance, wanted.sheet_gap_m, None)
    )
    cavities = sheet.cavities
    for _ in range(wanted.sheets - 1):
        cavities = (*cavities, between, *sheet.cavities)
    return replace(
        sheet,
        name=f"{wanted.sheets} x {sheet.name}",
        skins=sheet.skins * wanted.sheets,
        cavities=cavities,
        mass_kg_m2=sheet.mass_kg_m2 * wanted.sheets,
        solar_scatter=1.0 - (1.0 - sheet.solar_scatter) ** wanted.sheets,
        published_u_w_m2k=None,
        published_solar=None,
    )


def _own_glazing(wanted: Glazing) -> GlazingSpec:
    """Return a cover made of the builder's own skins, outermost first."""
    skins = tuple(
        Skin(
            thickness_m=own.thickness_m,
            refractive_index=own.refractive_index,
            extinction_1_m=own.extinction_1_m,
            emittance_out=own.emittance_out,
            emittance_in=own.emittance_in,
            heat_capacity_j_m2k=own.thickness_m * own.density_kg_m3 * own.specific_heat_j_kgk,
            resistance_m2k_w=own.thickness_m / own.conductivity_w_mk,
        )
        for own in wanted.skins
    )
    cavities = tuple(
        Cavity(
            depth_m=wanted.sheet_gap_m,
            web_conductance_w_m2k=0.0,
            exchange_emittance=exchange_emittance(
                outer.emittance_in, inner.emittance_out, wanted.sheet_gap_m, None
            ),
        )
        for outer, inner in zip(wanted.skins, wanted.skins[1:], strict=False)
    )
    return GlazingSpec(
        name="own skins",
        skins=skins,
        cavities=cavities,
        solar_scatter=0.0,
        mass_kg_m2=sum(own.thickness_m * own.density_kg_m3 for own in wanted.skins),
        expansion_per_k=None,
        service_limit_c=None,
        service_source="",
        published_u_w_m2k=None,
        published_solar=None,
        source="the builder's own figures",
    )


def face(name: str) -> Face:
    """Return a dark face by name.

    raises  ProjectError for an unknown name, with the nearest known one
    """
    row = _row("face", name)
    return Face(row["name"], row["absorptance"], row["emittance"], row["source"])


def fuel(name: str) -> FuelSpec:
    """Return a fuel by name.

    raises  ProjectError for an unknown name, with the nearest known one
    """
    row = _row("fuel", name)
    return FuelSpec(
        name=row["name"],
        usual_unit=row["usual_unit"],
        kwh_per=dict(row["kwh_per"]),
        usual_efficiency=row["usual_efficiency"],
        co2_kg_per_kwh=row.get("co2_kg_per_kwh"),
        source=row["source"],
    )


def tightness_50pa(word: str) -> float:
    """Return the air changes an hour at 50 Pa that a word for tightness stands for [1/h]."""
    return float(_row("tightness", word)["air_changes_50pa_per_h"])


def air_changes_50pa(air: Air) -> float:
    """Return the shop's air changes at 50 Pa [1/h]: as measured, else by the word for its tightness."""
    if air.air_changes_50pa_per_h is not None:
        return air.air_changes_50pa_per_h
    return tightness_50pa(air.tightness)


def edge_loss_w_mk(slab: Slab) -> float:
    """Return a slab's heat loss per metre of outer edge and kelvin [W/mK].

    slab    own figure first; else from the edge insulation's resistance, its reach and the way it lies
    Source  library/slab.toml: F-factors of WAC 51-11C-61061, table A106.1
    Valid   up to the table's last row and column; beyond them its last value stands. Between its rows and
            columns straight lines, which is ours
    """
    if slab.loss_w_mk is not None:
        return slab.loss_w_mk
    way = next(w for w in _library("slab.toml")["way"] if w["name"] == slab.edge_insulation_way)
    unit = parse("1 h ft2 F/Btu", "r_value")
    resistance = [r * unit for r in way["resistance"]]
    by_reach = [_between(resistance, row, slab.edge_insulation_r_m2k_w) for row in way["factor"]]
    factor = _between([r * 0.3048 for r in way["reach"]], by_reach, slab.edge_insulation_depth_m)
    return parse(f"{factor:.9f} Btu/h ft F", "loss_per_length")


def fan_curve(fan: Fan) -> tuple[tuple[float, float], ...]:
    """Return one fan's curve as points (flow [m3/s], pressure [Pa]), flow rising and pressure falling.

    fan     its own points first; else the usual curve through its rated flow and pressure
    Source  library/fans.toml (common practice, no source)
    """
    if fan.curve:
        return tuple(sorted(fan.curve))
    usual = _library("fans.toml")
    shutoff = fan.shutoff_pa or max(usual["shutoff_pa"], usual["least_shutoff_over_rated"] * fan.pressure_pa)
    flows, pressures = usual["flow_share"], usual["pressure_share"]
    rated = _between(pressures[::-1], flows[::-1], min(fan.pressure_pa / shutoff, 1.0))
    free_m3_s = fan.flow_m3_s / max(rated, 0.05)
    return tuple((f * free_m3_s, p * shutoff) for f, p in zip(flows, pressures, strict=True))


def sources() -> dict[str, str]:
    """Return file and name -> source for every row of every catalogue, for the dossier and the tests."""
    found = {f"{shelf}: {row['name']}": row.get("source", "") for shelf in _FILES for row in _rows(shelf)}
    for name in ("slab.toml", "fans.toml"):
        found[name] = _library(name).get("source", "")
    return found


def _between(xs: Sequence[float], ys: Sequence[float], x: float) -> float:
    """Return y at x on straight lines between points, the ends' values outside."""
    if x <= xs[0]:
        return float(ys[0])
    if x >= xs[-1]:
        return float(ys[-1])
    i = bisect.bisect_right(xs, x)
    share = (x - xs[i - 1]) / (xs[i] - xs[i - 1])
    return float(ys[i - 1] + share * (ys[i] - ys[i - 1]))


@cache
def _library(file: str) -> dict[str, Any]:
    """Return a catalogue file."""
    return tomllib.loads(resources.files("noonwall.model").joinpath("library", file).read_text("utf-8"))


def _rows(shelf: Shelf) -> list[dict[str, Any]]:
    rows: list[dict[str, Any]] = _library(_FILES[shelf])[shelf]
    return rows


def _key(name: str) -> str:
    """Return a name without regard to case and spaces."""
    return " ".join(name.casefold().split())


@cache
def _index(shelf: Shelf) -> dict[str, dict[str, Any]]:
    """Return every name and other word of a shelf -> its row."""
    table = {_key(word): row for row in _rows(shelf) for word in row.get("also", ())}
    return table | {_key(row["name"]): row for row in _rows(shelf)}


def _row(shelf: Shelf, name: str) -> dict[str, Any]:
    index = _index(shelf)
    row = index.get(_key(name))
    if row is None:
        near = difflib.get_close_matches(_key(name), index, 1, 0.5)
        hint = f'nearest is "{index[near[0]]["name"]}"' if near else f"there are {', '.join(names(shelf))}"
        said = name if len(name) <= 40 else name[:40] + "..."
        raise ProjectError(f'no {shelf} called "{" ".join(said.split())}"; {hint}')
    return row
