"""The fans' circuit: contacts against currents, limits that cannot act, fans that hunt, the cable's drop."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np

from noonwall.physics.electric import (
    area_for_drop_m2,
    copper_resistivity_ohm_m,
    gauge_area_m2,
    voltage_drop_v,
)
from noonwall.units import show

if TYPE_CHECKING:
    from collections.abc import Iterator

    from noonwall.engine.year import Year
    from noonwall.model.control import Fan, Switch
    from noonwall.model.project import Project
    from noonwall.units import Kind, System

Verdict = Literal["beyond", "look", "fits", "not checked"]

MOTOR_SHARE = 0.8  # of a motor rating that a snap switch may carry: NEC 404.14, quoted in public pages
HUNTING_A_DAY, HUNTING_AN_HOUR = 20.0, 6.0  # starts; common practice, no source
WARM_COPPER_C = 70.0  # a loaded cable in a warm place; IEC cable practice (from memory)
CAUTION = "Local code and a licensed electrician decide."
CONTACTS = "switch makers' guides to kinds of load: a motor draws six times its running current at the start"
NEC_SWITCH = "NEC 404.14, quoted in public pages: motor load at most 80 % of a snap switch's rating"
NEC_DROP = "NEC 210.19(A), informational note, quoted in public pages: a recommendation, no requirement"
OHM = "Ohm's law, out and back, warm copper"
WIRING = "how circuits work"
SIMULATED = "the simulated year"
PRACTICE = "common practice, no source"
GAUGES = (20, 18, 16, 14, 12, 10, 8, 6, 4, 2)
SECTIONS_MM2 = (0.5, 0.75, 1.0, 1.5, 2.5, 4.0, 6.0, 10.0, 16.0, 25.0, 35.0)


@dataclass(frozen=True)
class Load:
    """The fans on one supply."""

    supply: Literal["mains", "pv"]
    volts: float
    running_a: float  # all of them
    starting_a: float  # all at once
    switched: bool  # through the switches


@dataclass(frozen=True)
class Finding:
    """One check of the circuit."""

    about: str  # a switch's name, "cable", "fans"
    verdict: Verdict
    told: str
    source: str
    caution: str = CAUTION


@dataclass(frozen=True)
class CircuitCheck:
    """All that is told of a circuit."""

    loads: tuple[Load, ...]
    findings: tuple[Finding, ...]
    starts_a_day: float  # mean of the days on which the fans ran
    most_starts_a_day: float
    most_starts_an_hour: float
    run_h: float

    @property
    def beyond(self) -> bool:
        """Whether something is beyond a rating, or wired so that it cannot work."""
        return any(one.verdict == "beyond" for one in self.findings)


def circuit_check(project: Project, year: Year, system: System = "metric") -> CircuitCheck:
    """Check the circuit of a project.

    year    its simulated year, for what acts and how often;  system  units of what is told
    """
    found = loads(project)
    mean, day, hour = starts(year)
    findings = [
        *_contacts(project, found),
        *_parallel(project),
        *_bypassed(project),
        *_never(project, year, system),
        *_hunting(project, year),
        *_cable(project, found, system),
    ]
    run_h = float(year.table.fan_share.sum() * year.step_s / 3600.0)
    return CircuitCheck(found, tuple(findings), mean, day, hour, run_h)


def loads(project: Project) -> tuple[Load, ...]:
    """Return the fans' currents, supply by supply."""
    found = []
    supplies: tuple[Literal["mains", "pv"], ...] = ("mains", "pv")
    for supply in supplies:
        mine: list[Fan] = [fan for fan in project.fans if fan.supply == supply]
        if mine:
            running = sum(fan.count * fan.running_a for fan in mine)
            starting = sum(fan.count * fan.running_a * fan.start_ratio for fan in mine)
            switched = supply == "mains" or project.circuit.module_fans != "straight"
            found.append(Load(supply, min(fan.volts for fan in mine), running, starting, switched))
    return tuple(found)


def groups(project: Project) -> list[list[Switch]]:
    """Return the circuit: groups in series, the switches of a group in parallel."""
    by_name = {switch.name: switch for switch in project.switches}
    if not project.circuit.series:
        return [[switch] for switch in project.switches]
    return [
        [by_name[n] for n in ((entry,) if isinstance(entry, str) else entry)]
        for entry in project.circuit.series
    ]


def starts(year: Year) -> tuple[float, float, float]:
    """Return starts a day on days with fans running, most in a day, most within an hour of the clock."""
    _, day = np.unique(year.table.time.astype("datetime64[D]"), return_inverse=True)
    _, hour = np.unique(year.table.time.astype("datetime64[h]"), return_inverse=True)
    per_day, per_hour = np.bincount(day, year.table.fan_starts), np.bincount(hour, year.table.fan_starts)
    ran = np.bincount(day, year.table.fan_share) > 0.0
    mean = float(per_day[ran].mean()) if ran.any() else 0.0
    return mean, float(per_day.max()), float(per_hour.max())


def _contacts(project: Project, found: tuple[Load, ...]) -> Iterator[Finding]:
    """Hold each contact against running and starting current."""
    switched = [load for load in found if load.switched]
    running, starting = sum(load.running_a for load in switched), sum(load.starting_a for load in switched)
    if not switched:
        return
    for switch in (s for group in groups(project) for s in group):
        if switch.contact_a is None:
            told = (
                f"no rating given; it must be printed for {running / MOTOR_SHARE:.2g} A of motor load or more, or for "
                f"{starting:.2g} A if no motor is named on it (the fans run at {running:.2g} A; a snap switch may "
                f"carry {100.0 * MOTOR_SHARE:.0f} % of its motor rating)"
            )
            yield Finding(switch.name, "not checked", told, CONTACTS)
        elif switch.contact_for == "motor":
            allowed = MOTOR_SHARE * switch.contact_a
            told = f"carries {running:.2g} A; {allowed:.2g} A are allowed of its motor rating of {switch.contact_a:g} A"
            yield Finding(switch.name, "fits" if running <= allowed else "beyond", told, NEC_SWITCH)
        else:
            told = f"{starting:.2g} A at the start against a rating of {switch.contact_a:g} A that names no motor"
            yield Finding(switch.name, "fits" if starting <= switch.contact_a else "beyond", told, CONTACTS)


def _parallel(project: Project) -> Iterator[Finding]:
    """Find limits that another switch goes round."""
    for group in groups(project):
        limits = [s for s in group if s.kind == "open on rise"]
        others = [s for s in group if s.kind != "open on rise"]
        for limit in limits if others else ():
            told = (
                f'stands in parallel with "{others[0].name}": when it opens, the other still feeds the fans; a limit '
                "belongs in series"
            )
            yield Finding(limit.name, "beyond", told, WIRING)


def _bypassed(project: Project) -> Iterator[Finding]:
    """Find switches that do not reach the fans at all."""
    wired = {switch.name for group in groups(project) for switch in group}
    for switch in project.switches:
        if switch.name not in wired:
            yield Finding(switch.name, "look", "is not in circuit.series, so it switches nothing", WIRING)
    straight = [f for f in project.fans if f.supply == "pv"] and project.circuit.module_fans == "straight"
    if straight:
        told = "run on their module alone: no switch and no room limit stops them while the sun shines"
        yield Finding("fans on the module", "look", told, WIRING)
    if project.circuit.fans == "on" and wired:
        yield Finding("fans", "look", "are always on, so no switch acts", WIRING)


def _never(project: Project, year: Year, system: System) -> Iterator[Finding]:
    """Find switches that a whole year does not move."""
    table = year.table
    spots = {
        "gap top": table.gap_top_c,
        "absorber": table.absorber_c,
        "glazing": table.glazing_inner_c,
        "room": table.room_c,
    }
    for switch in (s for group in groups(project) for s in group):
        if switch.close is None or switch.open is None or not switch.feels_heat:
            continue
        values = spots[switch.spot]
        if switch.kind == "difference":
            values = values - table.room_c
        elif switch.height_m is not None:
            values = values + (switch.height_m - 0.5 * project.shop.eaves_m) * project.shop.warmer_per_metre_k
        if switch.kind == "open on rise":
            moves, point, verb = float(values.max()) > switch.open, switch.open, "stops the fans"
        else:
            moves, point, verb = float(values.max()) > switch.close, switch.close, "starts the fans"
        if not moves:
            beyond = switch.kind == "difference"
            kind: Kind = "temperature_difference" if beyond else "temperature"
            at, most = show(point, kind, system), show(round(float(values.max())), kind, system)
            told = f"never acts in this year: it {verb} at {at}, its place gets to {most} at most"
            told += " above the room" if beyond else ""
            yield Finding(switch.name, "look", told, SIMULATED)


def _hunting(project: Project, year: Year) -> Iterator[Finding]:
    if not project.fans or not project.switches:
        return
    mean, day, hour = starts(year)
    told = f"start {mean:.1f} times on a day with fans, {day:.0f} on the worst, {hour:.0f} within an hour at most"
    if day > HUNTING_A_DAY or hour > HUNTING_AN_HOUR:
        told += "; opening point lower, or switch further from the outlet, lets them run longer"
        yield Finding("fans", "look", f"hunt: {told}", PRACTICE)
    else:
        yield Finding("fans", "fits", told, PRACTICE)


def next_wire(area_m2: float, by_gauge: bool) -> str:
    """Return the least usual wire of at least this copper: "14 gauge", or "2.5 mm2".

    Sections of IEC 60228 (from memory); even gauge numbers, as they are sold.
    """
    if by_gauge:
        fitting = [gauge for gauge in GAUGES if gauge_area_m2(float(gauge)) >= area_m2]
        return f"{fitting[0]} gauge" if fitting else "no usual gauge"
    sections = [section for section in SECTIONS_MM2 if section >= 1e6 * area_m2]
    return f"{sections[0]:g} mm2" if sections else "no usual wire"


def _cable(project: Project, found: tuple[Load, ...], system: System) -> Iterator[Finding]:
    """Work out the voltage that the cable eats."""
    circuit = project.circuit
    copper = copper_resistivity_ohm_m(WARM_COPPER_C)
    area = circuit.wire_m2 if circuit.wire_gauge is None else gauge_area_m2(float(circuit.wire_gauge))
    if found and (circuit.cable_m is None or area is None):
        yield Finding("cable", "not checked", "its length or the thickness of its copper is not given", OHM)
        return
    for load in found if circuit.cable_m is not None and area is not None else ():
        length = circuit.cable_m or 0.0
        drop = voltage_drop_v(length, load.running_a, area or 1.0, copper)
        allowed = circuit.most_drop_share * load.volts
        lost = f"{drop:.2g} V of {load.volts:g} V ({100.0 * drop / load.volts:.1f} %) are lost"
        own = f"{1e6 * (area or 0.0):.2g} mm2"
        own = own if circuit.wire_gauge is None else f"{circuit.wire_gauge} gauge"
        wire = f"{own} of copper and {load.running_a:.2g} A"
        told = f"{lost} over {show(length, 'length', system)} with {wire}"
        if drop > allowed:
            needed = area_for_drop_m2(length, load.running_a, allowed, copper)
            wanted = f"{100.0 * circuit.most_drop_share:g} %"
            told += f"; {next_wire(needed, circuit.wire_gauge is not None)} would keep it to {wanted}"
        name = "cable" if load.supply == "mains" else "cable of the module"
        yield Finding(name, "look" if drop > allowed else "fits", told, f"{OHM}; {NEC_DROP}")
