"""The circuit as text and as a document, schema noonwall.circuit/1."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from noonwall.assess.circuit import CAUTION, groups
from noonwall.model.spans import span_words
from noonwall.report.blocks import Facts, Title, filled, page_of, words
from noonwall.report.reader import name_of
from noonwall.report.tables import CAUTION as ESTIMATES

if TYPE_CHECKING:
    from noonwall.assess.circuit import CircuitCheck
    from noonwall.model.control import Fan, Switch
    from noonwall.model.project import Project
    from noonwall.report.blocks import Page
    from noonwall.report.reader import Reader

SCHEMA = "noonwall.circuit/1"
WORDS = {"beyond": "BEYOND", "look": "look", "fits": "fits", "not checked": "not known"}


def circuit_page(check: CircuitCheck, project: Project, reader: Reader) -> Page:
    """Return the page that ``noonwall circuit`` prints."""
    title = Title((f"{name_of(project)}: the fans' circuit",))
    if not project.fans:
        none = "There are no fans in this project: nothing is wired."
        return page_of(title, words([none]), words([ESTIMATES]))
    return page_of(
        title,
        _wiring(project, reader),
        _loads(check),
        _findings(check),
        words([f"Every finding is arithmetic on the figures of the project. {CAUTION}"]),
        words([ESTIMATES]),
    )


def switch_words(switch: Switch, reader: Reader) -> str:
    """Return what a switch does: "starts the fans at 43 °C, stops them at 32 °C, gap top"."""
    if switch.kind == "clock":
        hours = _spans(switch.hours, reader, hours=True)
        return f"lets the fans run {hours}" + (f", {_days(switch, reader)}" if switch.days else "")
    if switch.kind == "by hand":
        return f"lets the fans run {_days(switch, reader)}"
    if switch.kind == "light":
        close, opened = (
            reader.show(value or 0.0, "irradiance") for value in (switch.close_sun_w_m2, switch.open_sun_w_m2)
        )
        return f"starts the fans at {close} of sun, stops them at {opened}"
    kind = "temperature_difference" if switch.kind == "difference" else "temperature"
    close, opened = (reader.show(value or 0.0, kind) for value in (switch.close, switch.open))  # type: ignore[arg-type]
    place = (
        switch.spot
        if switch.height_m is None
        else f"{switch.spot} at {reader.show(switch.height_m, 'length')}"
    )
    beyond = " above the room" if switch.kind == "difference" else ""
    first, second = f"stops the fans at {opened}", f"lets them run again at {close}"
    if switch.kind != "open on rise":
        first, second = f"starts the fans at {close}{beyond}", f"stops them at {opened}"
    return f"{first}, {second}, {place}"


def current_words(fan: Fan) -> str:
    """Return the running current of a fan, "0.41 A each" where there are several alike."""
    return f"{fan.running_a:.2g} A{' each' if fan.count > 1 else ''}"


def _days(switch: Switch, reader: Reader) -> str:
    return _spans(switch.days, reader, hours=False)


def _spans(spans: tuple[tuple[str, str], ...], reader: Reader, *, hours: bool) -> str:
    if reader.us:
        return ", ".join(span_words([*span], hours=hours) for span in spans)
    return ", ".join(f"{a} to {b}" for a, b in spans)


def _wiring(project: Project, reader: Reader) -> str:
    lines = ["IN SERIES, one after the other"]
    for group in groups(project):
        names = " or, in parallel, ".join(f"{s.name} ({switch_words(s, reader)})" for s in group)
        lines.append(filled(f"  {names}", indent=4))
    if len(lines) == 1:
        lines.append("  no switch")
    for fan in project.fans:
        watts = reader.show(fan.power_w, "power")
        lines.append(
            f"  {fan.count} x fan of {watts}, {fan.volts:g} V, {current_words(fan)}, on {_supply(fan.supply)}"
        )
    return "\n".join(lines)


def _supply(supply: str) -> str:
    return "mains" if supply == "mains" else "a PV module"


def _loads(check: CircuitCheck) -> str:
    lines = []
    for load in check.loads:
        currents = f"{load.running_a:.2g} A running, {load.starting_a:.2g} A at the start"
        lines.append(f"ALL FANS ON {_supply(load.supply).upper()}: {currents}")
    return "\n".join(lines)


def _findings(check: CircuitCheck) -> Facts:
    told = ((f"  {WORDS[one.verdict]}", f"{one.about}: {one.told} [{one.source}]") for one in check.findings)
    return Facts("WHAT WAS CHECKED", tuple(told), 13, about="checked")


def circuit_document(check: CircuitCheck, project: Project) -> dict[str, Any]:
    """Return the circuit as plain data."""
    return {
        "schema": SCHEMA,
        "series": [[switch.name for switch in group] for group in groups(project)],
        "loads": [
            {k: round(v, 3) if isinstance(v, float) else v for k, v in asdict(load).items()}
            for load in check.loads
        ],
        "findings": [asdict(one) for one in check.findings],
        "starts_a_day": round(check.starts_a_day, 2),
        "most_starts_a_day": round(check.most_starts_a_day, 2),
        "most_starts_an_hour": round(check.most_starts_an_hour, 2),
        "run_h": round(check.run_h, 2),
    }
