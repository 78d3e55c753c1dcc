"""What is told beside a box and, while somebody is in it, below it: its unit, the file's own writing."""

from __future__ import annotations

from typing import TYPE_CHECKING

from noonwall.model.typed import beside, faced, is_bare, shown
from noonwall.web.parts.wording import pretty

if TYPE_CHECKING:
    from noonwall.model.typed import Spot
    from noonwall.web.bench import Bench


def beside_words(where: Spot, bench: Bench, taken: str = "") -> str:
    """Return the unit of a number alone, or what is typed in other words; nothing where the box tells its unit.

    taken  what an empty box shows: what is assumed
    """
    text, near = faced(where, bench.reader.system), beside(where, bench.reader.system)
    if text and not is_bare(text):
        return pretty(near.reads) if text == shown(where) else ""
    unit = unit_of(where, bench)
    told = unit and not text and f" {unit}," in f"{taken},"
    return pretty(near.reads) or ("" if told else unit)


def inside_words(where: Spot, bench: Bench, told: str) -> str:
    """Return how the file has what the box shows converted, and the unit of a number alone that stands nowhere else.

    told  what stands beside the box
    """
    text, written = faced(where, bench.reader.system), shown(where)
    unit = unit_of(where, bench)
    figures = where.kind is not None or where.facts.each is not None
    own = f"file: {written}" if figures and written != text else ""
    bare = f"a number alone: {unit}" if where.kind != "share" and unit and not told else ""
    return pretty("; ".join(part for part in (own, bare) if part))


def unit_of(where: Spot, bench: Bench) -> str:
    """Return the unit that a number alone gets, as it is set on a page."""
    unit = beside(where, bench.reader.system).unit
    if where.kind == "money":
        return bench.desk.project.money.currency
    if where.kind == "share":
        return "0-1, %"
    if unit == "h ft2 F/Btu":
        return "R"
    return pretty({"C": "°C", "degF": "°F", "degC": "°C"}.get(unit, unit))
