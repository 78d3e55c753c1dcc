"""What was learned, kept beside the project in a file of its own; the project's own values stay as they are."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from noonwall.logs.learn.errors import LearningError
from noonwall.logs.learn.parameters import Parameter, adjusted, parameters_of
from noonwall.logs.learn.trial import obstacles
from noonwall.model.disk import project_file, read_text, write_text

if TYPE_CHECKING:
    import os
    from collections.abc import Sequence
    from pathlib import Path

    from noonwall.engine.numbers import Floats
    from noonwall.engine.simulate import Case, Surroundings
    from noonwall.logs.learn.story import Learned
    from noonwall.model.project import Project

FILE = "learned.toml"
FORM = "noonwall.learned/1"
SAME_SHARE = 0.01  # an assumed value that moved by more is another project than the one that was learned from


@dataclass(frozen=True)
class Kept:
    """One learned value as it is kept."""

    key: str
    factor: float
    plus: bool
    assumed: float
    told: bool


def learned_file(project: str | os.PathLike[str]) -> Path:
    """Return where a project's learned values lie: beside its project file."""
    return project_file(project).with_name(FILE)


def write(path: str | os.PathLike[str], learned: Learned) -> Path:
    """Keep what was learned beside the project, all or nothing; what was learned before is replaced.

    path     the project's folder or file
    Returns  the file;  raises OutputError when it cannot be written
    """
    file = learned_file(path)
    write_text(file, as_text(learned))
    return file


def as_text(learned: Learned) -> str:
    """Return what was learned as TOML, assumed values beside learned ones."""
    import tomlkit

    document = tomlkit.document()
    document.add(
        tomlkit.comment("Learned from readings by `noonwall learn`; noonwall.toml keeps what was assumed.")
    )
    document.add(tomlkit.comment("`noonwall year PROJECT --learned` calculates with these values."))
    document["schema"] = FORM
    document["from"] = str(learned.start.astype("datetime64[D]"))
    document["days"] = round(learned.days, 1)
    for value in learned.values:
        table = tomlkit.table()
        table["what"] = value.title
        table["unit"] = value.unit
        table["assumed"] = _digits(value.assumed)
        table["learned"] = _digits(value.learned)
        table["low_90"] = _digits(value.low)
        table["high_90"] = _digits(value.high)
        table["added" if value.plus else "factor"] = _digits(value.factor)
        table["told"] = value.told
        if "value" not in document:
            document["value"] = tomlkit.table(is_super_table=True)
        document["value"][value.key] = table
    return tomlkit.dumps(document)


def _digits(value: float) -> float:
    return float(f"{value:.6g}")


def read(path: str | os.PathLike[str]) -> tuple[Kept, ...]:
    """Return the learned values that lie beside a project.

    raises  LearningError when there are none or the file does not read
    """
    file = learned_file(path)
    if not file.exists():
        raise LearningError(f"{file}: no such file; `noonwall learn PROJECT` writes it from readings")
    try:
        document = tomllib.loads(read_text(file))
    except tomllib.TOMLDecodeError as error:
        raise LearningError(f"{file}: does not read as TOML ({error}); learn again to replace it") from None
    values = document.get("value")
    if document.get("schema") != FORM or not isinstance(values, dict):
        raise LearningError(
            f'{file}: wanted schema = "{FORM}" and tables [value.NAME]; learn again to replace it'
        )
    return tuple(_kept(str(file), key, table) for key, table in values.items())


def _kept(file: str, key: str, table: Any) -> Kept:
    plus = isinstance(table, dict) and "added" in table
    wanted = {"assumed": float, ("added" if plus else "factor"): float, "told": bool}
    for name, kind in wanted.items():
        found = table.get(name) if isinstance(table, dict) else None
        number = isinstance(found, int | float) and not isinstance(found, bool) and np.isfinite(found)
        if not (isinstance(found, bool) if kind is bool else number):
            raise LearningError(
                f"{file}: value.{key}.{name}: wanted a {'flag' if kind is bool else 'number'}"
            )
    factor = float(table["added" if plus else "factor"])
    if not plus and not 0.01 <= factor <= 100.0:
        raise LearningError(f"{file}: value.{key}.factor: {factor:g} is no factor from 0.01 to 100")
    return Kept(key, factor, plus, float(table["assumed"]), table["told"])


def with_learned(project: Project, around: Surroundings, case: Case, kept: tuple[Kept, ...]) -> Case:
    """Return a case with the learned values in place of the assumed ones.

    raises  LearningError when the project's own value is no longer the one that was learned against
    """
    every = (*parameters_of(case), *obstacles(project, around))
    known = {p.key: p for p in every}
    for item in kept:
        p = known.get(item.key)
        if p is None and item.told:
            raise LearningError(
                f"{FILE}: value.{item.key}: the project has no such thing any more; run `noonwall learn` again"
            )
        now = item.assumed if p is None else p.assumed(case)
        if abs(now - item.assumed) > SAME_SHARE * max(abs(item.assumed), 1e-9):
            raise LearningError(
                f"{FILE}: value.{item.key}: was learned while the project said {item.assumed:.4g}, now "
                f"it says {now:.4g}; run `noonwall learn` again"
            )
    return adjusted(case, *chosen(every, kept))


def chosen(every: Sequence[Parameter], kept: Sequence[Kept]) -> tuple[list[Parameter], Floats]:
    """Return the parameters that were kept, and their places on the search's axes."""
    known = {p.key: p for p in every}
    there = [item for item in kept if item.key in known]
    places = np.array([item.factor if item.plus else np.log(item.factor) for item in there], dtype=float)
    return [known[item.key] for item in there], places
