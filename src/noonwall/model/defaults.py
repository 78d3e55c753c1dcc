"""Which values of a project the builder left open, what is taken in their place, and why."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any, NamedTuple

from noonwall.model import catalogue
from noonwall.model.convert import dotted
from noonwall.model.fields import ABSENT, Facts, Record, facts_of, record_in
from noonwall.model.file import from_text, parse_toml
from noonwall.model.limits import GAP_AIR, limits_of
from noonwall.model.sense import vent_span_m
from noonwall.units import System, in_both, show

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from noonwall.model.lines import Path
    from noonwall.model.project import Project


class Assumed(NamedTuple):
    """One value that was left open, or the same one in several members of a list."""

    key: str  # "wall.gap", "shop.part[1, 3].absorptance"
    value: str  # what is taken, for reading
    why: str
    source: str


def assumed(project_text: str, system: System = "metric") -> list[Assumed]:
    """Return every value the builder left to its default and that has a say in the answer.

    project_text  the whole project file;  system  units to show values in, "metric" or "us"
    returns       in the order of the reference page; members of a list that leave the same open are one entry
    raises        ProjectError for a text that is no project
    """
    project = from_text(project_text)
    open_values = _table(project, parse_toml(project_text), (), project, system)
    merged: dict[tuple[str, str], list[Assumed]] = {}
    for item in open_values:
        merged.setdefault((re.sub(r"\[\d+\]", "[]", item.key), item.value), []).append(item)
    return [_one(items) for items in merged.values()]


def _one(items: list[Assumed]) -> Assumed:
    """Return the same assumption about several members of a list as one."""
    if len(items) == 1:
        return items[0]
    numbers = ", ".join(found[1] for item in items if (found := re.search(r"\[(\d+)\]", item.key)))
    return items[0]._replace(key=re.sub(r"\[\d+\]", f"[{numbers}]", items[0].key, count=1))


def _table(
    record: Record, raw: dict[str, Any], at: Path, project: Project, system: System
) -> Iterator[Assumed]:
    """Yield what a table leaves open, and the tables below it."""
    for name, field in type(record).model_fields.items():
        key = field.alias or name
        value = getattr(record, name)
        path = (*at, key)
        if record_in(field) is None:
            facts = facts_of(field)
            if key in raw or facts.default is ... or facts.source == ABSENT or _idle(record, path, project):
                continue
            yield Assumed(
                dotted(path),
                _shown(record, value, facts, path, project, system),
                in_both(facts.why, system),
                facts.source,
            )
        elif isinstance(value, Record):
            yield from _table(value, raw.get(key, {}), path, project, system)
        elif isinstance(value, tuple):
            for i, (item, row) in enumerate(zip(value, raw.get(key, []), strict=False)):
                yield from _table(item, row, (*path, i), project, system)


def _plain(path: Path) -> str:
    return ".".join(p for p in path if isinstance(p, str))


def _idle(record: Any, path: Path, project: Project) -> bool:
    """Return whether a key has no say in this project."""
    test = _IDLE.get(_plain(path))
    return bool(test and test(record, project))


_IDLE: dict[str, Callable[[Any, Project], bool]] = {
    "site.snow_albedo": lambda site, _: site.snow == "none",
    "shop.part.solar_gain": lambda part, _: part.kind != "window",
    "shop.part.absorptance": lambda part, _: part.kind in ("window", "floor", "ceiling"),
    "shop.slab.thickness": lambda slab, _: slab.kind == "none",
    "shop.slab.perimeter": lambda slab, _: slab.kind == "none",
    "shop.slab.edge_loss": lambda slab, _: slab.kind == "none",
    "shop.slab.edge_insulation": lambda slab, _: slab.kind == "none" or slab.loss_w_mk is not None,
    "shop.slab.edge_insulation_way": lambda slab, _: not _edge(slab),
    "shop.slab.edge_insulation_depth": lambda slab, _: not _edge(slab),
    "shop.air.tightness": lambda air, _: _measured(air),
    "shop.air.leakage_area": lambda air, _: _measured(air),
    "shop.heater.price_unit": lambda heater, _: heater.price_per_unit is None,
    "wall.glazing.sheet_gap": lambda glazing, _: glazing.sheets == 1 and len(glazing.skins) < 2,
    "wall.glazing.sheets": lambda glazing, _: bool(glazing.skins),
    "wall.absorber.absorptance": lambda absorber, _: absorber.face is not None,
    "wall.absorber.emittance": lambda absorber, _: absorber.face is not None,
    "wall.absorber.mesh_openness": lambda absorber, _: absorber.arrangement != "mesh",
    "wall.absorber.mesh_area_ratio": lambda absorber, _: absorber.arrangement != "mesh",
    "wall.absorber.stagnant_gap": lambda absorber, _: absorber.arrangement != "air behind",
    "wall.cover.passes": lambda cover, _: not cover.hung and not cover.by_rule,
    "wall.cover.take_down_below": lambda cover, _: not cover.by_rule,
    "shop.warmer_per_metre": lambda _, project: all(s.height_m is None for s in project.switches),
    "switch.spot": lambda switch, _: not switch.feels_heat,
    "switch.height": lambda switch, _: not switch.feels_heat or switch.spot != "room",
    "switch.lag": lambda switch, _: not switch.feels_heat,
    "switch.contact_for": lambda switch, _: switch.contact_a is None,
    "circuit.module_fans": lambda _, project: all(fan.supply == "mains" for fan in project.fans),
    "circuit.most_drop": lambda circuit, _: circuit.cable_m is None,
    "fan.pressure": lambda fan, _: bool(fan.curve),
    "fan.shutoff_pressure": lambda fan, _: bool(fan.curve),
    "circuit.series": lambda _, project: len(project.switches) < 2,
    "weather.file": lambda weather, _: bool(weather.months),
    "weather.seed": lambda weather, _: weather.file is not None,
    "money.currency": lambda money, project: money.electricity_per_kwh is None and not _priced(project),
}


def _edge(slab: Any) -> bool:
    """Return whether a slab's edge insulation is what counts."""
    return bool(slab.kind == "slab" and slab.loss_w_mk is None and slab.edge_insulation_r_m2k_w > 0.0)


def _measured(air: Any) -> bool:
    return air.leakage_area_m2 is not None or air.air_changes_50pa_per_h is not None


def _priced(project: Project) -> bool:
    heater = project.shop.heater
    return heater is not None and heater.price_per_unit is not None


def _shown(record: Any, value: Any, facts: Facts, path: Path, project: Project, system: System) -> str:
    """Return a default for reading; what is worked out from other keys is worked out here too."""
    worked_out = _WORKED_OUT.get(_plain(path))
    if worked_out and value in (None, ()):
        return worked_out(project, system, record)
    if value is None:
        return "-"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if facts.kind and isinstance(value, int | float):
        return show(value, facts.kind, system)
    if isinstance(value, tuple):
        return "none" if not any(value) else ", ".join(str(v) for v in value)
    return str(value)


def _price_unit(project: Project, _system: System, _record: Any) -> str:
    heater = project.shop.heater
    return catalogue.fuel(heater.fuel).usual_unit if heater else "-"


def _centre(project: Project, system: System, row: Any) -> str:
    low, high = vent_span_m(project.wall, row)
    return f"{show(0.5 * (low + high), 'length', system)} above the wall's foot"


_WORKED_OUT: dict[str, Callable[[Project, System, Any], str]] = {
    "site.utc_offset": lambda p, _s, _: f"{round(p.site.longitude_deg / 15.0):+d} h",
    "site.ground_albedo": lambda p, _s, _: f"as {p.site.ground}",
    "site.horizon": lambda *_: "level",
    "shop.volume": lambda p, s, _: show(p.shop.air_m3, "volume", s),
    "shop.slab.perimeter": lambda p, s, _: show(p.shop.edge_m, "length", s),
    "shop.slab.edge_loss": lambda p, s, _: show(catalogue.edge_loss_w_mk(p.shop.slab), "loss_per_length", s),
    "shop.air.leakage_area": lambda p, _s, _: (
        f"{catalogue.air_changes_50pa(p.shop.air):g} air changes/h at 50 Pa"
    ),
    "shop.contents.mass": lambda p, s, _: show(p.shop.contents_kg, "mass", s),
    "shop.part.solar_gain": lambda *_: "65 %",
    "shop.heater.price_unit": _price_unit,
    "wall.vents.bottom.centre": lambda p, s, _: _centre(p, s, "bottom"),
    "wall.vents.top.centre": lambda p, s, _: _centre(p, s, "top"),
    "fan.shutoff_pressure": lambda _p, s, fan: show(catalogue.fan_curve(fan)[0][1], "pressure", s),
    "circuit.series": lambda *_: "all in series",
    "wall.frame.studs": lambda p, *_: p.wall.frame.stud_material,
    "wall.cover.take_down_below": lambda p, s, _: show(p.wall.cover.down_c, "temperature", s),
    "switch.height": lambda p, s, _: show(0.5 * p.shop.eaves_m, "length", s),
    "fan.hottest_air": lambda _p, s, _: show(limits_of(GAP_AIR)[0].value_c, "temperature", s),
    "fan.voltage": lambda _, s, fan: show(fan.volts, "voltage", s),
    "fan.current": lambda _, s, fan: show(fan.running_a, "current", s),
    "weather.file": lambda *_: "a year made from monthly figures",
}
