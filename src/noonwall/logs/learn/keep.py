"""What was learned, kept beside the project in a file of its own; the project's own values stay as they are."""

from __future__ import annotations

import tomllib
from typing import TYPE_CHECKING, Any

import numpy as np

from noonwall.climate.weather import Weather
from noonwall.engine.corrections import SHADE, obstacle_groups, same
from noonwall.engine.simulate import build_case, surroundings
from noonwall.logs.learn.errors import LearningError
from noonwall.logs.learn.parameters import parameters_of
from noonwall.logs.learn.readings import HOUR_S
from noonwall.model.disk import project_file, read_text, write_text
from noonwall.model.taught import Correction, taught

if TYPE_CHECKING:
    import os
    from collections.abc import Container
    from pathlib import Path

    from noonwall.logs.learn.story import Learned
    from noonwall.model.project import Project
    from noonwall.model.taught import Taught

FILE = "learned.toml"
FORM = "noonwall.learned/1"


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


def kept_text(path: str | os.PathLike[str]) -> str | None:
    """Return what lies beside a project as it is written there, None for nothing; `put_back` brings it again."""
    file = learned_file(path)
    return read_text(file) if file.exists() else None


def put_back(path: str | os.PathLike[str], text: str | None) -> None:
    """Keep again what `kept_text` returned.

    Raises  OutputError when it cannot be written
    """
    file = learned_file(path)
    if text is not None:
        write_text(file, text)
    else:
        file.unlink(missing_ok=True)


def corrections_by(learned: Learned, keys: Container[str]) -> tuple[Correction, ...]:
    """Return some of what was learned as it corrects a project, not yet kept."""
    return tuple(
        Correction(key=v.key, factor=v.factor, plus=v.plus, assumed=v.assumed, told=v.told)
        for v in learned.values
        if v.key in keys
    )


def as_text(learned: Learned) -> str:
    """Return what was learned as TOML, assumed values beside learned ones."""
    import tomlkit

    document = tomlkit.document()
    document.add(
        tomlkit.comment("Learned from readings by `noonwall learn`; noonwall.toml keeps what was assumed.")
    )
    document.add(
        tomlkit.comment("`noonwall year PROJECT --learned` goes by them; so do hot, night and recap.")
    )
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


def read(path: str | os.PathLike[str]) -> tuple[Correction, ...]:
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


def _kept(file: str, key: str, table: Any) -> Correction:
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
    return Correction(key=key, factor=factor, plus=plus, assumed=float(table["assumed"]), told=table["told"])


def with_learned(project: Project, kept: tuple[Correction, ...]) -> Taught:
    """Return the project with what was learned: every calculation and every study of it then goes by that.

    raises  LearningError when the project's own value is no longer the one that was learned against
    """
    case = build_case(project, surroundings(project, _any_day(project), HOUR_S))
    there = {p.key: p.assumed(case) for p in parameters_of(case)}
    there |= {SHADE + name: 1.0 for name in obstacle_groups(project)}
    for item in kept:
        now = there.get(item.key, None if item.told else item.assumed)
        if now is None:
            raise LearningError(
                f"{FILE}: value.{item.key}: the project has no such thing any more; run `noonwall learn` again"
            )
        if not same(now, item.assumed):
            raise LearningError(
                f"{FILE}: value.{item.key}: was learned while the project said {item.assumed:.4g}, now "
                f"it says {now:.4g}; run `noonwall learn` again"
            )
    return taught(project, kept)


def _any_day(project: Project) -> Weather:
    """Return a day of weather under which to ask a project what it assumes; no assumed value depends on it."""
    site, hours = project.site, np.zeros(24)
    return Weather(
        kind="csv",
        place="any day",
        latitude_deg=site.latitude_deg,
        longitude_deg=site.longitude_deg,
        elevation_m=site.elevation_m,
        utc_offset_h=0.0 if site.utc_offset_h is None else site.utc_offset_h,
        start=np.datetime64("2001-03-01T00:00:00", "s"),
        step_s=HOUR_S,
        air_c=hours,
        dewpoint_c=hours - 5.0,
        pressure_pa=hours + 101_325.0,
        wind_m_s=hours,
        ghi_w_m2=hours,
        dni_w_m2=hours,
        dhi_w_m2=hours,
    )
