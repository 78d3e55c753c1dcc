"""noonwall: what a sun-heated workshop wall does, before and after it is built.

>>> import noonwall
>>> project = noonwall.load("my-shop")  # doctest: +SKIP
>>> year = noonwall.simulate(project)  # doctest: +SKIP
>>> year.whole().delivered_kwh  # doctest: +SKIP
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from os import PathLike

    from noonwall.climate.weather import Weather
    from noonwall.engine.year import Year
    from noonwall.model.project import Project

__all__ = ["__version__", "load", "simulate"]


def load(path: str | PathLike[str]) -> Project:
    """Read a project.

    path     folder that holds ``noonwall.toml``, or that file itself
    Returns  the project as one frozen record, SI inside; its weather file is named by its full path
    Raises   ProjectError: one line with file, line, key, what was wrong and what would be right
    """
    from noonwall.model.disk import project_file, read_text
    from noonwall.model.file import from_text, with_files

    file = project_file(path)
    return with_files(from_text(read_text(file), file.name), file.parent)


def simulate(project: Project, weather: Weather | None = None, step_s: int = 300) -> Year:
    """Calculate what the wall and the shop do over the weather's time.

    project  what ``load`` returned
    weather  a weather record; None takes what the project names (a file, typed months, or the nearest place)
    step_s   length of a step [s], a divisor of an hour
    Returns  a Year: months(), whole(), table (arrays of shape (n,), n = steps), ledger, peaks
    Raises   WeatherError for weather that cannot be used, SolveError when a balance did not close
    """
    from noonwall.engine.simulate import simulate as run

    return run(project, weather, step_s)


def __getattr__(name: str) -> str:
    """Look the version up only when it is asked for."""
    if name == "__version__":
        from importlib.metadata import version

        return version("noonwall")
    raise AttributeError(f"module 'noonwall' has no attribute {name!r}")
