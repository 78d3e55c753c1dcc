"""The reference page of the project file, written from the records and catalogues themselves.

``python -m noonwall.model.reference > docs/project-file.md`` writes it; a test keeps it true.
"""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Any, Literal, get_args, get_origin

from noonwall.model import catalogue
from noonwall.model.convert import range_text
from noonwall.model.fields import ABSENT, Facts, Record, facts_of, record_in
from noonwall.model.project import Project
from noonwall.units import KINDS, SI_UNIT, show

if TYPE_CHECKING:
    from collections.abc import Iterator

    from pydantic.fields import FieldInfo

HEAD = """# The project file

A project is a folder with a `noonwall.toml` in it: plain text, UTF-8, in the TOML form. This page
is written from the program's own records (`python -m noonwall.model.reference`), so it cannot tell
anything else than the program does.

A line is `key = value`; `[table]` opens a table, `[[table]]` one more member of a list; `#` begins
a note. Text stands in quotes. Every quantity may carry its own unit, in quotes: `gap = "90 mm"`,
`gap = "3 1/2 in"`. A bare number is in the unit of the column *bare number is*. Keys that are left
out take the default; `noonwall check` lists which ones a project leaves open. An unknown key is an
error, with the nearest known one. In messages members of a list are counted from 1: `fan[1].flow`
is the flow of the first `[[fan]]`.

No number may be written with a comma (`9,5 m`): it is a decimal point to some and parts thousands
for others. A temperature and a difference of temperatures are two things: `50 degF` is 10 °C as the
one, 27.8 K as the other. `R-19` is always hour, square foot and degree Fahrenheit per Btu; the
metric figure is written `RSI 3.3`.

## Units
"""

TITLES: dict[str, str] = {
    "": "The file's top",
    "site": "The place",
    "shop": "The shop",
    "shop.part": "A part of the shop's envelope",
    "wall": "The glazed wall",
    "fan": "Fans",
    "switch": "Switches",
    "obstacle": "What stands between sun and wall",
    "pv": "PV modules",
}


def page() -> str:
    """Return the page's text."""
    parts = [HEAD, _kinds(), *_tables(Project, "", many=False), _catalogues()]
    return "\n".join(parts).rstrip() + "\n"


def _kinds() -> str:
    rows = ["| kind | may be written | bare number is |", "| --- | --- | --- |"]
    for kind, facts in KINDS.items():
        written = ", ".join(f"`{e}`" for e in facts.examples)
        rows.append(f"| {facts.noun} | {written} | {SI_UNIT[kind] or '1'} |")
    return "\n".join(rows) + "\n"


def _tables(kind: type[Record], at: str, *, many: bool) -> Iterator[str]:
    """Yield the section of a table and of those below it."""
    yield _section(kind, at, many=many)
    for name, field in kind.model_fields.items():
        inner = record_in(field)
        key = field.alias or name
        for choice in inner.classes if inner else ():
            path = f"{at}.{key}" if at else key
            yield from _tables(choice, path, many=bool(inner and inner.many))


def _section(kind: type[Record], at: str, *, many: bool) -> str:
    """Return one table of the file as a heading and a table of its keys."""
    name = f"`[[{at}]]`" if many else f"`[{at}]`"
    heading = (
        f"## {TITLES.get(at, '')}: {name}" if TITLES.get(at) and at else f"## {name if at else TITLES['']}"
    )
    doc = " ".join((kind.__doc__ or "").split())
    rows = ["| key | what it is | values | default |", "| --- | --- | --- | --- |"]
    for field in kind.model_fields.values():
        if record_in(field) is None:
            facts = facts_of(field)
            rows.append(
                f"| `{facts.key}` | {_cell(facts.doc)} | {_values(field, facts)} | {_default(facts)} |"
            )
    below = [
        f"`{'[[' if inner.many else '['}{at + '.' if at else ''}{field.alias}{']]' if inner.many else ']'}`"
        for field in kind.model_fields.values()
        if (inner := record_in(field))
    ]
    tail = f"\nTables below it: {', '.join(below)}.\n" if below else ""
    return f"{heading}\n\n{doc}\n\n" + ("\n".join(rows) + "\n" if len(rows) > 2 else "") + tail


def _values(field: FieldInfo, facts: Facts) -> str:
    """Return what a key accepts."""
    if facts.kind:
        return _quantity(facts)
    if isinstance(facts.each, tuple):
        return "list of pairs: " + ", ".join(KINDS[k].noun for k in facts.each)
    if facts.each:
        return f"list: {KINDS[facts.each].noun} each"
    words = _choices(field.annotation)
    if words:
        lists = " or a list" if "tuple" in str(field.annotation) else ""
        return ", ".join(f"`{w}`" for w in words) + lists
    if facts.low is not None or facts.high is not None:
        return f"whole number, {range_text(facts.low, facts.high, 'number')}"
    plain = str(field.annotation)
    for mark, said in (
        ("tuple", "list"),
        ("dict", "table"),
        ("bool", "`true`, `false`"),
        ("int", "whole number"),
    ):
        if mark in plain:
            return said
    return "text"


def _quantity(facts: Facts) -> str:
    kind = facts.kind or "number"
    text = KINDS[kind].noun
    if facts.low is not None or facts.high is not None:
        text += f", {range_text(facts.low, facts.high, kind)}"
    return text


def _choices(annotation: Any) -> tuple[str, ...]:
    """Return the words a key may hold, if it is a choice."""
    if get_origin(annotation) is Literal:
        return tuple(str(a) for a in get_args(annotation))
    return next((found for a in get_args(annotation) if (found := _choices(a))), ())


def _default(facts: Facts) -> str:
    """Return the default with its reason and source."""
    if facts.default is ...:
        return "**must be given**"
    if facts.source == ABSENT:
        shown = _shown(facts)
        return "-" if shown == "-" else shown
    why = "; ".join(part for part in (facts.why, f"*{facts.source}*" if facts.source else "") if part)
    shown = _shown(facts)
    return _cell(": ".join(part for part in (shown if shown != "-" else "", why) if part)) or "-"


def _shown(facts: Facts) -> str:
    value = facts.default
    if value is None or value in ((), {}, ""):
        return "-"
    if isinstance(value, bool):
        return f"`{str(value).lower()}`"
    if facts.kind and isinstance(value, int | float):
        return show(value, facts.kind)
    if isinstance(value, tuple):
        return "all 0" if not any(value) else ", ".join(str(v) for v in value)
    return f"`{value}`"


def _cell(text: str) -> str:
    return " ".join(text.split()).replace("|", "\\|")


def _catalogues() -> str:
    """Return the names on each shelf with their sources."""
    parts = ["## Catalogues", "", "Generic things only; own figures go before the catalogue's.", ""]
    shelves: tuple[tuple[catalogue.Shelf, str], ...] = (
        ("material", "`material`, for a layer or the frame"),
        ("glazing", "`wall.glazing.kind`"),
        ("face", "`wall.absorber.face`"),
        ("fuel", "`shop.heater.fuel`"),
        ("tightness", "`shop.air.tightness`"),
    )
    sources = catalogue.sources()
    for shelf, where in shelves:
        parts += [
            f"### {shelf.capitalize()}: {where}",
            "",
            "| name | figures | source |",
            "| --- | --- | --- |",
        ]
        for name in catalogue.names(shelf):
            figures = _in_words(shelf, name)
            parts.append(f"| `{name}` | {figures} | {_cell(sources[f'{shelf}: {name}'])} |")
        parts.append("")
    parts.append(f"Heat loss of a slab's edge: {_cell(sources['slab.toml'])}.\n")
    parts.append(f"The usual fan curve: {_cell(sources['fans.toml'])}.")
    return "\n".join(parts)


def _in_words(shelf: catalogue.Shelf, name: str) -> str:
    """Return a row's main figures for reading, in SI."""
    if shelf == "material":
        return _material_in_words(catalogue.material(name))
    if shelf == "glazing":
        spec = catalogue.glazing(name)
        u = f", U {spec.published_u_w_m2k:g} W/m2K as published" if spec.published_u_w_m2k else ""
        skins = "1 skin" if len(spec.skins) == 1 else f"{len(spec.skins)} skins"
        return f"{skins}, {spec.mass_kg_m2:g} kg/m2{u}{_limit(spec.service_limit_c)}"
    if shelf == "face":
        dark = catalogue.face(name)
        return f"absorptance {dark.absorptance:g}, emittance {dark.emittance:g}"
    if shelf == "fuel":
        spec_fuel = catalogue.fuel(name)
        units = ", ".join(f"{kwh:g} kWh/{unit}" for unit, kwh in spec_fuel.kwh_per.items() if unit != "kWh")
        return f"{units or '1 kWh/kWh'}; usual efficiency {spec_fuel.usual_efficiency:g}"
    return f"{catalogue.tightness_50pa(name):g} air changes/h at 50 Pa"


def _material_in_words(found: catalogue.Material) -> str:
    conductivity = found.conductivity_w_mk
    heat = f"{conductivity:g} W/mK" if conductivity is not None else "R by its thickness"
    burns = ", burns" if found.combustible else ""
    return (
        f"{heat}, {found.density_kg_m3:g} kg/m3, {found.specific_heat_j_kgk:g} J/kgK"
        f"{burns}{_limit(found.service_limit_c)}"
    )


def _limit(service_limit_c: float | None) -> str:
    return f", lasting heat up to {service_limit_c:g} °C" if service_limit_c is not None else ""


if __name__ == "__main__":
    sys.stdout.write(page())
