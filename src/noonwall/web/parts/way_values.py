"""The values of the project that a variant may have otherwise, under the names their boxes have."""

from __future__ import annotations

from typing import TYPE_CHECKING

from noonwall.model.typed import faced
from noonwall.web.parts.field import assumed_at, spot_of, tables_of
from noonwall.web.parts.trade import TABLES, label_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from noonwall.web.bench import Bench

# what a builder weighs against the wall as described, in the order of the pages
OFFERED = ("wall", "wall.glazing", "wall.absorber", "wall.frame", "wall.vents.bottom", "wall.vents.top", "wall.vents",
           "wall.overhang", "wall.flap", "wall.cover", "wall.summer_vent", "fan", "switch", "circuit", "shop",
           "shop.air", "shop.slab", "shop.heater", "shop.comfort", "site")  # fmt: skip
SPARED = ("name",)


def values_of(bench: Bench) -> dict[str, tuple[str, str]]:
    """Return key -> (what its box is called, what stands in it in the reader's units), for what has a value."""
    return {
        key: (label_of(key), value)
        for table in OFFERED
        for place in _places(bench, table)
        for row in TABLES[table].rows
        if row.key not in SPARED and (value := _value(bench, key := f"{place}.{row.key}"))
    }


def _places(bench: Bench, table: str) -> Iterator[str]:
    """Yield a table's place, or those of its members, counted from 1."""
    found = tables_of(bench).get(table)
    if isinstance(found, list):
        yield from (f"{table}[{i}]" for i in range(1, len(found) + 1))
    elif "." not in table or table.split(".", maxsplit=1)[0] in tables_of(bench):
        yield table


def _value(bench: Bench, key: str) -> str:
    where = spot_of(bench, key)
    if where.raw is not None:
        return "" if isinstance(where.raw, list) else faced(where, bench.reader.system)
    taken = assumed_at(bench, key)
    return "" if taken is None else str(taken.value)
