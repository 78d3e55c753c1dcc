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

SHARED_FROM_S = 300  # years of finer steps are too large to be written down
CALCULATED: dict[str, Year] = {}


def years_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Put a memory before ``noonwall.simulate``: by project, weather and step."""
    simulate = noonwall.simulate

    def remembered(project: Project, weather: Weather | None = None, step_s: int = 300) -> Year:
        def make() -> Year:
            return simulate(project, weather, step_s)

        what = pickle.dumps((project.model_dump_json(), weather, step_s))
        name = f"year {hashlib.sha256(what).hexdigest()}"
        if name not in CALCULATED:
            CALCULATED[name] = make() if step_s < SHARED_FROM_S else kept_as(name, make)
        return CALCULATED[name]

    monkeypatch.setattr(noonwall, "simulate", remembered)
