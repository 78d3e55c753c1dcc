"""What to do about heat that goes back out at night: what the project has not yet, with what it saves and a change."""

from __future__ import annotations

from typing import TYPE_CHECKING

from noonwall.report.phrases import clocked, fuel_words
from noonwall.report.reader import percent
from noonwall.studies.night import FILM, SHUT

if TYPE_CHECKING:
    from noonwall.model.project import Project
    from noonwall.report.reader import Reader
    from noonwall.studies.night import NightChoice, NightStudy

STUCK = "A flap can stick shut while the sun is on the wall: `noonwall hot` tells how hot the wall gets then."
LEAST_KWH = 5.0  # saved in a year; less is not worth a button
WAYS = {
    FILM: ("A film flap at the foot vents", "Put a film flap in", "flap"),
    SHUT: ("Vents shut by hand every evening", "Have them shut by hand", "shutters"),
}


def night_steps(study: NightStudy, project: Project, reader: Reader) -> list[dict[str, str]]:
    """Return what a page offers beside the nights, the one that saves most first.

    Returns  for each way that the project has not: name, told, word (for a button), change (as ``studies.change``
             reads it)
    """
    offered = [choice for choice in study.choices if choice.name in WAYS and choice is not study.described]
    if study.has_flap:
        offered = [choice for choice in offered if choice.name != FILM]
    if project.wall.vents.shut_hours:
        offered = [choice for choice in offered if choice.name != SHUT]
    now = study.described
    gains = [(now.lost_kwh - choice.lost_kwh, choice) for choice in offered]
    return [
        _offer(choice, gain, study, project, reader)
        for gain, choice in sorted(gains, key=lambda pair: -pair[0])
        if gain >= LEAST_KWH
    ]


def _offer(
    choice: NightChoice, gain: float, study: NightStudy, project: Project, reader: Reader
) -> dict[str, str]:
    name, word, change = WAYS[choice.name]
    lost = study.described.lost_kwh
    told = (
        f"keeps {reader.heat_text(gain)} of the {reader.heat_text(lost)} ({percent(gain / lost)}) in the shop"
    )
    useful = study.described.useful_kwh - choice.useful_kwh
    if useful >= LEAST_KWH:
        told += f", and takes {reader.heat_text(useful)} of use by day"
    if choice.fuel is not None and study.described is study.choices[0]:
        told += f"; at the heater {fuel_words(choice.fuel, project.money.currency, reader)}"
    how = clocked(choice.told, reader)
    mind = f" {STUCK}" if choice.name == FILM else ""
    return {
        "name": name,
        "told": f"{how[:1].upper()}{how[1:]}. It {told}.{mind}",
        "word": word,
        "change": change,
    }
