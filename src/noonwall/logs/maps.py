"""The builder's word on what a file's columns are: typed as key=value, kept in the project folder.

``readings-map.toml`` holds one table for each kind of file, known by its heading. Keys that are no general
word name columns: ``"Ch 1" = "shop at 2.4 m; unit=F; name=bench"``.
"""

from __future__ import annotations

import difflib
import re
import tomllib
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal, get_args

import tomlkit
import tomlkit.items

from noonwall.errors import UnitError
from noonwall.logs.errors import ReadingsError
from noonwall.logs.measures import unit_of
from noonwall.logs.records import Stamp
from noonwall.logs.roles import Kind, role
from noonwall.units import parse

if TYPE_CHECKING:
    from collections.abc import Sequence

FILE = "readings-map.toml"
General = Literal[
    "delimiter", "decimal", "time", "dates", "zone", "layout", "channel", "value", "unit", "empty"
]
GENERAL: tuple[str, ...] = get_args(General)
_KEYS = ("unit", "name", "height", "plane", "place", "kind", "stamp", "empty")
_ALLOWED: dict[str, tuple[str, ...]] = {
    "decimal": (".", ","),
    "dates": ("ymd", "dmy", "mdy"),
    "layout": ("wide", "long"),
}
_DELIMITERS = {
    "tab": "\t",
    "\\t": "\t",
    "blank": "",
    "blanks": "",
    "space": "",
    "comma": ",",
    "semicolon": ";",
}


@dataclass(frozen=True)
class Spec:
    """What one column is, as the builder said; None where nothing was said."""

    role: str
    unit: str | None = None
    name: str | None = None
    height_m: float | None = None
    plane: str | None = None
    place: str | None = None
    kind: Kind | None = None
    stamp: Stamp | None = None
    empties: tuple[str, ...] = ()

    def text(self) -> str:
        """Return it as it is typed: "shop; unit=F; height=2.4 m"."""
        said = [self.role]
        said += [f"unit={self.unit}"] if self.unit else []
        said += [f"name={self.name}"] if self.name else []
        said += [f"height={self.height_m:g} m"] if self.height_m is not None else []
        said += [
            f"{key}={value}" for key in ("plane", "place", "kind", "stamp") if (value := getattr(self, key))
        ]
        said += [f"empty={', '.join(self.empties)}"] if self.empties else []
        return "; ".join(said)


@dataclass(frozen=True)
class FileMap:
    """What the builder said of one kind of file."""

    general: dict[str, str] = field(default_factory=dict)
    columns: dict[str, Spec] = field(default_factory=dict)

    def over(self, other: FileMap) -> FileMap:
        """Return this map's words, and the other's where this one says nothing."""
        return FileMap({**other.general, **self.general}, {**other.columns, **self.columns})


def spec_of(text: str, where: str) -> Spec:
    """Return what "shop at 2.4 m; unit=F; name=bench" says.

    where    for the message: file and key
    raises   ReadingsError for an unknown role, key, unit, kind or height
    """
    first, *rest = [piece.strip() for piece in text.split(";")]
    named = re.fullmatch(r"(.+?)\s+at\s+(.+)", first)
    try:
        key = role(named[1] if named else first).key
        said: dict[str, Any] = {"height": named[2]} if named else {}
        for piece in filter(None, rest):
            word, equals, value = (part.strip() for part in piece.partition("="))
            said[_known_key(word, piece) if equals else _known_key("", piece)] = value
        return _spec(key, said)
    except (ReadingsError, UnitError) as error:
        raise ReadingsError(f"{where}: {error}") from None


def _known_key(word: str, piece: str) -> str:
    if word in _KEYS:
        return word
    near = difflib.get_close_matches(word, _KEYS, n=1)
    hint = f'; nearest is "{near[0]}"' if near else ""
    raise ReadingsError(f'"{piece[:40]}" is none of {", ".join(f"{k}=" for k in _KEYS)}{hint}')


def _spec(key: str, said: dict[str, str]) -> Spec:
    unit = said.get("unit")
    if unit is not None:
        found = unit_of(unit)
        if found is None:
            raise ReadingsError(
                f'unknown unit "{unit[:20]}"; units are like C, F, W/m2, W, kWh, %, m/s, hPa, L, min'
            )
        unit = found
    for word, allowed in (("kind", get_args(Kind)), ("stamp", get_args(Stamp))):
        if word in said and said[word] not in allowed:
            raise ReadingsError(f'{word}="{said[word][:20]}" is none of {", ".join(allowed)}')
    return Spec(
        role=key,
        unit=unit,
        name=said.get("name"),
        height_m=parse(said["height"], "length") if "height" in said else None,
        plane=said.get("plane"),
        place=said.get("place"),
        kind=said.get("kind"),  # type: ignore[arg-type]
        stamp=said.get("stamp"),  # type: ignore[arg-type]
        empties=tuple(word.strip() for word in said["empty"].split(",")) if "empty" in said else (),
    )


def typed(words: Sequence[str]) -> FileMap:
    """Return the map of what was typed after --map: files and key=value.

    raises   ReadingsError naming the word that does not read
    """
    found = FileMap()
    for word in words:
        key, equals, value = (part.strip() for part in word.partition("="))
        if not equals:
            found = _from_toml(Path(word), None).over(found)
            continue
        found = _put(found, key, value, f"--map {key}")
    return found


def _put(found: FileMap, key: str, value: str, where: str) -> FileMap:
    if key not in GENERAL:
        column = key.removeprefix("column ") if key.startswith("column ") and key[7:] in GENERAL else key
        return FileMap(found.general, {**found.columns, column: spec_of(value, where)})
    if key == "delimiter":
        value = _DELIMITERS.get(value.lower(), value)
        if len(value) > 1:
            raise ReadingsError(
                f'{where}: "{value[:20]}" is no delimiter; give one character, or tab or blanks'
            )
    if key in _ALLOWED and value not in _ALLOWED[key]:
        raise ReadingsError(f'{where}: "{value[:20]}" is none of {", ".join(_ALLOWED[key])}')
    if key == "unit" and (unit := unit_of(value)) not in ("C", "F", "K"):
        raise ReadingsError(f'{where}: "{unit or value[:20]}" is no unit of temperature; give C, F or K')
    return FileMap({**found.general, key: value}, found.columns)


def _tables(path: Path) -> list[dict[str, Any]]:
    try:
        data = tomllib.loads(path.read_text(encoding="utf-8-sig"))
    except OSError as error:
        raise ReadingsError(f"{path}: {(error.strerror or str(error)).lower()}") from None
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise ReadingsError(f"{path}: does not read as TOML: {error}") from None
    tables = data.get("file", [data])
    if not isinstance(tables, list) or not all(isinstance(table, dict) for table in tables):
        raise ReadingsError(f"{path}: file: each kind of file is a table [[file]]")
    return tables


def _from_toml(path: Path, heading: Sequence[str] | None) -> FileMap:
    """Return the map of a file's table for a heading (None: of its only table)."""
    tables = _tables(path)
    if heading is None:
        if len(tables) != 1:
            raise ReadingsError(f"{path}: holds {len(tables)} maps; give a file with one, or key=value")
        chosen = tables[0]
    else:
        chosen = next((table for table in tables if _same(table.get("heading"), heading)), {})
    found = FileMap()
    columns = chosen.get("columns", {})
    if not isinstance(columns, dict):
        raise ReadingsError(f'{path}: columns: is a table of "heading" = "role; unit=..."')
    for key, value in chosen.items():
        if key in ("heading", "columns"):
            continue
        if key not in GENERAL or not isinstance(value, str):
            raise ReadingsError(f"{path}: {key}: is none of {', '.join(GENERAL)}, each a text")
        found = _put(found, key, value, f"{path}: {key}")
    for column, value in columns.items():
        if not isinstance(value, str):
            raise ReadingsError(f'{path}: columns."{column}": is a text like "shop; unit=F"')
        found = FileMap(found.general, {**found.columns, column: spec_of(value, f"{path}: {column}")})
    return found


def _same(known: object, heading: Sequence[str]) -> bool:
    return isinstance(known, list) and [str(name) for name in known] == list(heading)


def saved(folder: Path, heading: Sequence[str]) -> FileMap:
    """Return what was kept for files with this heading, an empty map when nothing was."""
    path = folder / FILE
    return _from_toml(path, heading) if path.exists() else FileMap()


def keep(folder: Path, heading: Sequence[str], found: FileMap) -> None:
    """Keep a map for files with this heading in the project folder, over what was kept of them before.

    What else stands in the file stays, comments too. The file is written anew beside the old one and then put
    in its place.
    """
    path = folder / FILE
    found = found.over(saved(folder, heading))
    document = tomlkit.parse(path.read_text(encoding="utf-8-sig")) if path.exists() else tomlkit.document()
    tables = document.get("file")
    if not isinstance(tables, tomlkit.items.AoT):
        tables = tomlkit.aot()
        document["file"] = tables
    table = next((item for item in tables if _same(item.get("heading"), heading)), None)
    if table is None:
        table = tomlkit.table()
        table["heading"] = list(heading)
        tables.append(table)
    for key in GENERAL:
        if key in found.general:
            table[key] = found.general[key]
        elif key in table:
            del table[key]
    columns = tomlkit.table()
    for name, spec in found.columns.items():
        columns[name] = spec.text()
    table["columns"] = columns
    beside = path.with_suffix(".new")
    beside.write_text(tomlkit.dumps(document), encoding="utf-8")
    beside.replace(path)
