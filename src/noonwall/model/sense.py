"""Whether the parts of a project go together: what no single key can tell. Faults stop, doubts only speak."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from functools import partial
from itertools import pairwise
from typing import TYPE_CHECKING, Literal

from noonwall.errors import ProjectError
from noonwall.model import catalogue
from noonwall.model.calendar import minute_of_day
from noonwall.model.cases import CASES
from noonwall.model.convert import Fault
from noonwall.model.place import Placed
from noonwall.model.species import day_number
from noonwall.model.surroundings import site_faults
from noonwall.units import Kind, Show, quoted, show

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Sequence

    from noonwall.model.control import Fan, Switch
    from noonwall.model.layers import Layer
    from noonwall.model.lines import Path
    from noonwall.model.openings import VentRow
    from noonwall.model.project import Project
    from noonwall.model.shop import Part
    from noonwall.model.wall import Wall
    from noonwall.units import System

NEWEST_SCHEMA = 1
HOURS, MONTHS = 24, 12
MOST_TOLD_HOURS = 6  # more columns than that no page holds
MOST_SKINS = 3
MOST_LISTED = 12
MOST_POINTS = 16
MOST_VARIANTS = 7  # beside the project itself
HIGHEST_EAVES = 2.0  # a switch above twice the eaves is above any roof
SWITCH_KEYS = {"clock": ("hours",), "light": ("close_sun", "open_sun"), "by hand": ("days",)}
Row = Literal["bottom", "top"]


def faults(project: Project, system: System | None = None) -> list[Fault]:
    """Return everything that cannot be, each with the key to mend.

    system  units to speak in; None takes the project's own
    """
    plain: tuple[Callable[[Project], Iterator[Fault]], ...] = (
        _file, _names, _site, _shop, _heater, _glazing, _circuit, _stretches, _hours, _studs, _accepted,
        _variants, _weather,
    )  # fmt: skip
    measured: tuple[Callable[[Project, Show], Iterator[Fault]], ...] = (
        _wall, _vents, _fans, _switches, _cover, site_faults,
    )  # fmt: skip
    in_units = partial(show, system=system or project.units or "metric")
    found = [fault for check in plain for fault in check(project)]
    return found + [fault for check in measured for fault in check(project, in_units)]


def _file(project: Project) -> Iterator[Fault]:
    if project.schema_version != NEWEST_SCHEMA:
        told = f"this noonwall reads version {NEWEST_SCHEMA}, the file says {project.schema_version}"
        yield Fault(("schema_version",), told)


def _names(project: Project) -> Iterator[Fault]:
    """Names empty or twice, and sightings from points that nobody described."""
    lists: tuple[tuple[Path, Sequence[str]], ...] = (
        (("shop", "part"), [p.name for p in project.shop.parts]),
        (("switch",), [s.name for s in project.switches]),
        (("variant",), [v.name for v in project.variants]),
        (("standing_point",), [p.name for p in project.standing_points]),
        (("obstacle",), [o.name for o in project.obstacles]),
        (("pv",), [p.name for p in project.pv]),
    )
    for path, names in lists:
        yield from _twice(path, names)
    if not project.name.strip():
        yield Fault(("name",), "is empty; give the project a name")
    points = [p.name for p in project.standing_points]
    for key, placed in (("obstacle", project.obstacles), ("pv", project.pv)):
        for i, item in enumerate(placed):
            seen_from = item.seen_from if isinstance(item, Placed) else None
            if seen_from is not None and seen_from not in points:
                there = f"there are {_listed(points)}" if points else "describe it as [[standing_point]]"
                yield Fault((key, i, "from"), f"no standing point is called {quoted(seen_from)}; {there}")


def _twice(path: Path, names: Sequence[str]) -> Iterator[Fault]:
    counts = Counter(n.strip() for n in names)
    seen: set[str] = set()
    for i, name in enumerate(n.strip() for n in names):
        if not name:
            yield Fault((*path, i, "name"), "is empty; give it a name")
        elif counts[name] > 1 and name in seen:
            yield Fault((*path, i, "name"), f"{quoted(name)} is there already; no two may be alike")
        seen.add(name)


def _site(project: Project) -> Iterator[Fault]:
    site = project.site
    if isinstance(site.snow, tuple) and len(site.snow) != MONTHS:
        yield Fault(("site", "snow"), f"holds {len(site.snow)} shares, wanted 12, January first")
    elif isinstance(site.snow, tuple):
        bad = next((s for s in site.snow if not 0.0 <= s <= 1.0), None)
        if bad is not None:
            yield Fault(("site", "snow"), f"{bad:g} is no share of days; each lies between 0 and 1")
    for azimuth, elevation in site.horizon:
        if not (0.0 <= azimuth <= 360.0 and -10.0 <= elevation < 90.0):
            point = f"[{azimuth:g}, {elevation:g}]"
            told = f"{point} is no point of a skyline: azimuth 0-360, elevation -10 to 90 deg"
            yield Fault(("site", "horizon"), told)
            break
    azimuths = Counter(azimuth % 360.0 for azimuth, _ in site.horizon)
    if twice := [a for a, n in azimuths.items() if n > 1]:
        yield Fault(
            ("site", "horizon"), f"azimuth {twice[0]:g} deg is given twice; keep one elevation for it"
        )
    if site.utc_offset_h is not None and (site.utc_offset_h * 4.0) % 1.0:
        yield Fault(
            ("site", "utc_offset"), f"{site.utc_offset_h:g} h is no offset in use; they go by quarter hours"
        )


def _shop(project: Project) -> Iterator[Fault]:
    shop = project.shop
    if not shop.parts:
        yield Fault(("shop", "part"), "the shop has no walls, roof or windows; write [[shop.part]] for each")
    for i, part in enumerate(shop.parts):
        yield from _part(part, ("shop", "part", i))
    floors = [p for p in shop.parts if p.kind == "floor"]
    if shop.slab.kind == "none" and not floors and shop.parts:
        told = 'no slab, then the floor must be a [[shop.part]] of kind = "floor"'
        yield Fault(("shop", "slab", "kind"), told)
    hours = shop.gains.by_hour_w
    if len(hours) != HOURS:
        yield Fault(("shop", "gains", "by_hour"), f"holds {len(hours)} figures, wanted 24, midnight first")
    elif not all(0.0 <= h <= 1e6 for h in hours):
        yield Fault(("shop", "gains", "by_hour"), "holds a figure below 0 or above 1 MW")
    comfort = shop.comfort
    if not comfort.warm_enough_c < comfort.limit_c <= comfort.too_hot_c:
        told = "warm_enough must lie below limit, and limit not above too_hot"
        yield Fault(("shop", "comfort"), told)
    if not 1 <= len(comfort.hours) <= MOST_TOLD_HOURS or not all(0.5 <= h <= HOURS for h in comfort.hours):
        told = "wanted one to six hours of the day from 0.5 to 24, such as [8, 10, 18]"
        yield Fault(("shop", "comfort", "hours"), told)


def _part(part: Part, path: Path) -> Iterator[Fault]:
    """One part of the envelope: one way of giving its resistance, and a window's way to face."""
    given = [k for k, v in (("u", part.u_w_m2k), ("r", part.r_m2k_w)) if v is not None]
    given += ["layer"] if part.layers else []
    if not given:
        yield Fault(path, f'{quoted(part.name)} needs one of u, r or layer, such as r = "R-19"')
    elif len(given) > 1:
        yield Fault((*path, given[1]), f"{quoted(part.name)} has {' and '.join(given)}; keep one")
    yield from _layers(part.layers, (*path, "layer"))
    if part.kind == "window" and part.azimuth_deg is None:
        yield Fault((*path, "azimuth"), f"missing; window {quoted(part.name)} must say which way it faces")
    if part.kind != "window" and part.solar_gain_share is not None:
        told = f"only a window lets sun in; {quoted(part.name)} is a {part.kind}"
        yield Fault((*path, "solar_gain"), told)


def _layers(layers: Iterable[Layer], path: Path) -> Iterator[Fault]:
    for i, layer in enumerate(layers):
        try:
            catalogue.resolve_layer(layer)
        except ProjectError as error:
            key = ("material",) if layer.material and not catalogue.known("material", layer.material) else ()
            yield Fault((*path, i, *key), str(error))


def _heater(project: Project) -> Iterator[Fault]:
    heater = project.shop.heater
    if heater is None:
        return
    path: Path = ("shop", "heater")
    units = catalogue.fuel(heater.fuel).kwh_per
    if heater.price_unit is not None and heater.price_unit not in units:
        told = f"{quoted(heater.price_unit)} is no unit of {heater.fuel}; there are {_listed(units)}"
        yield Fault((*path, "price_unit"), told)
    if heater.efficiency > 1.0 and heater.fuel != "electricity":
        told = (
            f"{heater.efficiency:g} is more heat than {heater.fuel} holds; only a heat pump gives more than 1"
        )
        yield Fault((*path, "efficiency"), told)


def _wall(project: Project, show: Show) -> Iterator[Fault]:
    wall, shop = project.wall, project.shop
    longest = max(shop.length_m, shop.width_m)
    if wall.width_m > longest * 1.001:
        told = (
            f"{show(wall.width_m, 'length')} is wider than the shop's longest side, {show(longest, 'length')}"
        )
        yield Fault(("wall", "width"), told)
    if not wall.absorber.layers:
        told = "the absorber is made of nothing; write [[wall.absorber.layer]], the face first"
        yield Fault(("wall", "absorber", "layer"), told)
    yield from _layers(wall.absorber.layers, ("wall", "absorber", "layer"))
    yield from _layers(wall.backing, ("wall", "backing"))
    if not catalogue.known("material", wall.frame.material):
        yield _unknown(("wall", "frame", "material"), "material", wall.frame.material)


def _unknown(path: Path, shelf: catalogue.Shelf, name: str) -> Fault:
    """Return the catalogue's own complaint about a name."""
    try:
        catalogue.search(shelf, name)
    except ProjectError as error:
        return Fault(path, str(error))
    return Fault(path, f"no {shelf} called {quoted(name)}")


def _glazing(project: Project) -> Iterator[Fault]:
    glazing, path = project.wall.glazing, ("wall", "glazing")
    if glazing.kind == "own" and not glazing.skins:
        yield Fault((*path, "skin"), 'missing; kind = "own" needs [[wall.glazing.skin]] once for each skin')
        return
    if glazing.skins and glazing.kind != "own":
        yield Fault(
            (*path, "kind"), f'there are skins of your own, then kind is "own", not {quoted(glazing.kind)}'
        )
        return
    if glazing.kind != "own" and not catalogue.known("glazing", glazing.kind):
        yield _unknown((*path, "kind"), "glazing", glazing.kind)
        return
    spec = catalogue.glazing_of(glazing)
    if glazing.skins and glazing.sheets != 1:
        yield Fault((*path, "sheets"), "own skins are listed one by one; leave sheets out")
    elif len(spec.skins) > MOST_SKINS:
        told = f"{len(spec.skins)} skins in all, wanted three at most"
        yield Fault((*path, "skin" if glazing.skins else "sheets"), told)


def _vents(project: Project, show: Show) -> Iterator[Fault]:
    wall = project.wall
    rows: tuple[tuple[Row, VentRow], ...] = (("bottom", wall.vents.bottom), ("top", wall.vents.top))
    for name, row in rows:
        path: Path = ("wall", "vents", name)
        if row.count * row.width_m > wall.width_m * 1.001:
            told = (
                f"{row.count} openings of {show(row.width_m, 'length')} are "
                f"{show(row.count * row.width_m, 'length')}, the wall is {show(wall.width_m, 'length')} wide"
            )
            yield Fault((*path, "width"), told)
        low, high = vent_span_m(wall, name)
        if row.height_m > wall.height_m:
            told = f"{show(row.height_m, 'length')} is taller than the wall, {show(wall.height_m, 'length')}"
            yield Fault((*path, "height"), told)
        elif low < -1e-6 or high > wall.height_m + 1e-6:
            told = (
                f"the openings would reach from {show(low, 'length')} to {show(high, 'length')} above the "
                f"wall's foot, the wall is {show(wall.height_m, 'length')} high"
            )
            yield Fault((*path, "centre"), told)
    if vent_span_m(wall, "bottom")[1] > vent_span_m(wall, "top")[0] + 1e-6:
        yield Fault(("wall", "vents", "top"), "must lie above the bottom row; the two overlap or are swapped")


def vent_span_m(wall: Wall, name: Row) -> tuple[float, float]:
    """Return the lower and upper edge of a row of vents above the wall's foot [m]."""
    row = wall.vents.bottom if name == "bottom" else wall.vents.top
    usual = 0.5 * row.height_m if name == "bottom" else wall.height_m - 0.5 * row.height_m
    middle = usual if row.centre_m is None else row.centre_m
    return middle - 0.5 * row.height_m, middle + 0.5 * row.height_m


def _fans(project: Project, show: Show) -> Iterator[Fault]:
    for name in ("bottom", "top"):
        openings = project.wall.vents.bottom.count if name == "bottom" else project.wall.vents.top.count
        fans = [(i, fan) for i, fan in enumerate(project.fans) if fan.row == name]
        total = sum(fan.count for _, fan in fans)
        if total > openings:
            told = f"{total} fans in the {name} row, which has {openings} openings; each fan sits in one"
            yield Fault(("fan", fans[-1][0], "count"), told)
    for i, fan in enumerate(project.fans):
        yield from _curve(fan, ("fan", i), show)


def _curve(fan: Fan, path: Path, show: Show) -> Iterator[Fault]:
    points = sorted(fan.curve)
    falling = all(b[1] < a[1] and b[0] > a[0] for a, b in pairwise(points))
    if points and (len(points) < 2 or not falling or min(min(p) for p in points) < 0.0):
        told = "wanted two points or more, [flow, pressure], pressure falling as flow rises, none below 0"
        yield Fault((*path, "curve"), told)
    if len(points) > MOST_POINTS:
        yield Fault((*path, "curve"), f"holds {len(points)} points, wanted {MOST_POINTS} at most")
    if fan.shutoff_pa is not None and not fan.curve and fan.shutoff_pa <= fan.pressure_pa:
        told = (
            f"{show(fan.shutoff_pa, 'pressure')} is not above the rated {show(fan.pressure_pa, 'pressure')}; "
            "it is the pressure at no flow"
        )
        yield Fault((*path, "shutoff_pressure"), told)


def _switches(project: Project, show: Show) -> Iterator[Fault]:
    for i, switch in enumerate(project.switches):
        path: Path = ("switch", i)
        yield from _wanted_keys(switch, path)
        if switch.kind == "light":
            yield from _light(switch, path, show)
        elif switch.close is not None and switch.open is not None and switch.feels_heat:
            yield from _heat(switch, switch.close, switch.open, path, show)
        if switch.height_m is not None and (switch.spot != "room" or not switch.feels_heat):
            yield Fault(
                (*path, "height"), 'only a switch that senses the room hangs at a height; spot = "room"'
            )
        elif switch.height_m is not None and switch.height_m > project.shop.eaves_m * HIGHEST_EAVES:
            eaves = show(project.shop.eaves_m, "length")
            told = f"{show(switch.height_m, 'length')} is above the roof; the eaves are at {eaves}"
            yield Fault((*path, "height"), told)


def _wanted_keys(switch: Switch, path: Path) -> Iterator[Fault]:
    """Keys that a kind of switch must have, and those that mean nothing to it."""
    given = {
        "close": switch.close is not None,
        "open": switch.open is not None,
        "hours": bool(switch.hours),
        "days": bool(switch.days),
        "close_sun": switch.close_sun_w_m2 is not None,
        "open_sun": switch.open_sun_w_m2 is not None,
    }
    needs = ("close", "open") if switch.feels_heat else SWITCH_KEYS[switch.kind]
    may = {*needs, "days"} if switch.kind == "clock" else {*needs}
    if missing := [key for key in needs if not given[key]]:
        yield Fault((*path, missing[0]), f'missing; kind = "{switch.kind}" needs {" and ".join(needs)}')
    for key in (k for k, there in given.items() if there and k not in may):
        yield Fault(
            (*path, key), f'means nothing to kind = "{switch.kind}", which takes {" and ".join(needs)}'
        )


def _light(switch: Switch, path: Path, show: Show) -> Iterator[Fault]:
    close, opened = switch.close_sun_w_m2, switch.open_sun_w_m2
    if close is not None and opened is not None and opened >= close:
        told = f"{show(opened, 'irradiance')} is not below close_sun, {show(close, 'irradiance')}"
        yield Fault((*path, "open_sun"), f"{told}; it starts the fans in the sun and stops them below that")


def _heat(switch: Switch, close: float, opens: float, path: Path, show: Show) -> Iterator[Fault]:
    """Set points of a switch that feels heat."""
    kind: Kind = "temperature_difference" if switch.kind == "difference" else "temperature"
    closed, opened = show(close, kind), show(opens, kind)
    if switch.kind == "open on rise" and opens <= close:
        told = f"{opened} is not above close, {closed}; it stops the fans when warm, lets them run below that"
        yield Fault((*path, "open"), told)
    elif switch.kind != "open on rise" and opens >= close:
        told = f"{opened} is not below close, {closed}; it starts the fans when it gets warm, stops them below that"
        yield Fault((*path, "open"), told)
    if switch.kind == "difference" and switch.spot == "room":
        yield Fault((*path, "spot"), "a difference from the room needs another spot than the room")
    if switch.kind == "difference" and opens < 0.0:
        yield Fault((*path, "open"), f"{opened}: below the room the wall would cool the shop; give 0 or more")


def _circuit(project: Project) -> Iterator[Fault]:
    path: Path = ("circuit", "series")
    known = [s.name for s in project.switches]
    named = [n for group in project.circuit.series for n in ((group,) if isinstance(group, str) else group)]
    for name in named:
        if name not in known:
            there = f"there are {_listed(known)}" if known else "there is no [[switch]] at all"
            yield Fault(path, f"no switch is called {quoted(name)}; {there}")
    if twice := [n for n, count in Counter(named).items() if count > 1]:
        yield Fault(path, f"{quoted(twice[0])} stands in the circuit twice")
    if project.circuit.wire_m2 is not None and project.circuit.wire_gauge is not None:
        yield Fault(("circuit", "wire_gauge"), "the wire is given by its copper too; keep one of the two")
    if any(not isinstance(group, str) and not group for group in project.circuit.series):
        yield Fault(path, "holds an empty group; name the switches that are in parallel, or leave it out")


def _stretches(project: Project) -> Iterator[Fault]:
    """Days of the year, wherever they stand."""
    wall = project.wall
    places: list[tuple[Path, Sequence[tuple[str, str]]]] = [
        (("wall", "vents", "closed"), wall.vents.closed),
        (("wall", "cover", "hung"), wall.cover.hung),
        (("wall", "summer_vent", "open"), wall.summer_vent.open),
    ]
    places += [(("switch", i, "days"), switch.days) for i, switch in enumerate(project.switches)]
    places += [
        (("obstacle", i, "hung"), item.hung)
        for i, item in enumerate(project.obstacles)
        if item.kind == "awning"
    ]
    for path, stretches in places:
        for day in (day for stretch in stretches for day in stretch):
            try:
                day_number(day)
            except ProjectError as error:
                yield Fault(path, str(error))
                break


def _hours(project: Project) -> Iterator[Fault]:
    """Hours of the day, wherever they stand."""
    places: list[tuple[Path, Sequence[tuple[str, str]]]] = [
        (("wall", "vents", "shut_hours"), project.wall.vents.shut_hours)
    ]
    places += [(("switch", i, "hours"), switch.hours) for i, switch in enumerate(project.switches)]
    for path, pairs in places:
        for begin, end in pairs:
            try:
                first, last = minute_of_day(begin), minute_of_day(end)
            except ProjectError as error:
                yield Fault(path, str(error))
                break
            if first == last:
                yield Fault(
                    path, f'from "{begin}" to "{end}" is no time at all; the whole day is 00:00 to 24:00'
                )
                break


def _cover(project: Project, show: Show) -> Iterator[Fault]:
    cover, path = project.wall.cover, ("wall", "cover")
    if cover.take_down_below_c is not None and not cover.by_rule:
        yield Fault(
            (*path, "take_down_below"),
            "says when it comes down, nothing says when it is hung; give hang_above",
        )
    if cover.hang_above_c is not None and cover.down_c >= cover.hang_above_c:
        told = f"{show(cover.down_c, 'temperature')} is not below hang_above, {show(cover.hang_above_c, 'temperature')}"
        yield Fault((*path, "take_down_below"), told)


def _studs(project: Project) -> Iterator[Fault]:
    studs = project.wall.frame.studs
    if studs is not None and not catalogue.known("material", studs):
        yield _unknown(("wall", "frame", "studs"), "material", studs)


def _accepted(project: Project) -> Iterator[Fault]:
    for name in project.hot.accepted:
        if name not in CASES:
            yield Fault(("hot", "accepted"), f"no case is called {quoted(name)}; there are {_listed(CASES)}")
            break
    for name, day, _ in project.hot.accepted_for:
        if name not in CASES:
            told = f"no case is called {quoted(name)}; there are {_listed(CASES)}"
        elif _no_date(day):
            told = f"{quoted(day)} is no date; write it as 2026-03-01"
        else:
            continue
        yield Fault(("hot", "accepted_for"), told)
        break


def _no_date(day: str) -> bool:
    try:
        return dt.date.fromisoformat(day).isoformat() != day
    except ValueError:
        return True


def _variants(project: Project) -> Iterator[Fault]:
    if len(project.variants) > MOST_VARIANTS:
        told = f"{len(project.variants)} variants, wanted {MOST_VARIANTS} at most: a page shows no more side by side"
        yield Fault(("variant", MOST_VARIANTS), told)
    for i, variant in enumerate(project.variants):
        if not variant.change:
            yield Fault(
                ("variant", i, "change"),
                "is empty; say what is different, such as 'flap' or 'wall.gap=120 mm'",
            )


def _weather(project: Project) -> Iterator[Fault]:
    weather = project.weather
    if weather.months and len(weather.months) != MONTHS:
        yield Fault(("weather", "months"), f"holds {len(weather.months)} months, wanted 12, January first")
    if weather.file is not None and weather.months:
        yield Fault(("weather", "months"), "there is a weather file too; keep one of the two")
    if weather.file is not None and not weather.file.strip():
        yield Fault(("weather", "file"), "is empty; name a file, or leave the key out")


def _listed(words: Iterable[str]) -> str:
    shown = [quoted(w) for w in words]
    return ", ".join(shown[:MOST_LISTED] + (["..."] if len(shown) > MOST_LISTED else []))
