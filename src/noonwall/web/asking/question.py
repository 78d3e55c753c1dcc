"""What a question is about, and what it is made of."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from pathlib import Path

    from noonwall.climate.weather import Weather
    from noonwall.model.project import Project
    from noonwall.report.blocks import Page
    from noonwall.report.reader import Reader
    from noonwall.studies.runner import Tell
    from noonwall.web.asked import Order

    Drawing = Callable[[str], bytes]

STEP_S = 300
FINE_S = 60


@dataclass(frozen=True)
class Matter:
    """What a question is about: the project, its weather, where it lies, what was asked."""

    project: Project
    weather: Weather
    folder: Path
    order: Order


@dataclass(frozen=True)
class Question:
    """How one question is studied, and how its study is told; ``found`` is whatever ``study`` returned."""

    study: Callable[[Matter, Tell], Any]
    document: Callable[[Any, Matter], dict[str, Any]]
    page: Callable[[Any, Matter, Reader], Page]
    pictures: Callable[[Any, Matter, Reader], Mapping[str, Drawing]]
    fit: Callable[[Any], bool] = lambda _found: True
    judged: Callable[[Any, Matter], Any] = lambda found, _matter: found  # by what no figure depends on
    more: Callable[[Any, Matter, Reader], dict[str, Any]] = lambda _found, _matter, _reader: {}
