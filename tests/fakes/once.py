"""The same year and the same study are calculated once a run, however many pages and documents ask."""

from __future__ import annotations

import hashlib
import pickle
from typing import TYPE_CHECKING

import noonwall
from fakes.kept import kept_as

if TYPE_CHECKING:
    import pytest

    from noonwall.climate.weather import Weather
    from noonwall.engine.year import Year
    from noonwall.model.project import Project

CALCULATED: dict[str, Year] = {}


def years_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Put a memory before ``noonwall.simulate``: by project, weather and step."""
    simulate = noonwall.simulate

    def remembered(project: Project, weather: Weather | None = None, step_s: int = 300) -> Year:
        what = pickle.dumps((project.model_dump_json(), weather, step_s))
        name = f"year {hashlib.sha256(what).hexdigest()}"
        if name not in CALCULATED:
            CALCULATED[name] = kept_as(name, lambda: simulate(project, weather, step_s))
        return CALCULATED[name]

    monkeypatch.setattr(noonwall, "simulate", remembered)
