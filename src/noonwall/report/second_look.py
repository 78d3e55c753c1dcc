"""A second look at a project as it is described: what looks odd, and the assumptions that matter most."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

from noonwall.climate.second_look import place_doubts
from noonwall.errors import NoonwallError
from noonwall.model.beside import marks_of
from noonwall.model.file import Problem, doubts_about, from_text, located, parse_toml
from noonwall.model.slips import Look
from noonwall.model.typed import taken
from noonwall.report.checks import ranked

if TYPE_CHECKING:
    from noonwall.model.beside import Marks
    from noonwall.model.defaults import Assumed
    from noonwall.units import System


@lru_cache(maxsize=8)
def odd(text: str, system: System) -> tuple[Problem, ...]:
    """Return what looks odd in a project file's text, the place held against the weather left out.

    text  a project file that reads well;  system  units to speak in
    """
    return tuple(doubts_about(from_text(text), text, system))


def place_problems(text: str, folder: Path, system: System) -> tuple[Problem, ...]:
    """Return what looks odd about where the site is, a weather file held against it.

    text  a project file that reads well;  folder  where it lies;  system  units to speak in
    raises  WeatherError when its weather file does not read
    """
    return tuple(located(place_doubts(Look(from_text(text), parse_toml(text), system), folder), text))


def odd_place(text: str, folder: str, system: System) -> tuple[Problem, ...]:
    """Return what looks odd about where the site is; a weather file is opened and read for it.

    text  a project file that reads well;  folder  where it lies;  system  units to speak in
    """
    return _odd_place(text, folder, system, marks_of(text, Path(folder)))


@lru_cache(maxsize=8)
def _odd_place(text: str, folder: str, system: System, _files: Marks) -> tuple[Problem, ...]:
    try:
        return place_problems(text, Path(folder), system)
    except NoonwallError as error:
        return (Problem("weather", None, str(error)),)


@lru_cache(maxsize=8)
def of_weight(text: str, system: System) -> tuple[Assumed, ...]:
    """Return the assumptions that usually move the answer, most of all first (our own judgement)."""
    return tuple(ranked(list(taken(text, system))))
