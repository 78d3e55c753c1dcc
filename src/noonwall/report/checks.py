"""What a look at the project file found, as text and as a document."""

from __future__ import annotations

import re
import textwrap
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from noonwall.report.blocks import WIDTH, filled
from noonwall.report.not_yet import not_yet_lines
from noonwall.report.reader import name_of
from noonwall.report.tables import CAUTION

if TYPE_CHECKING:
    from noonwall.model.defaults import Assumed
    from noonwall.model.file import Problem
    from noonwall.model.project import Project

SCHEMA = "noonwall.check/1"
KEY_WIDTH = 34
FIRST = 10
# own judgement, most of all first: what air, floor, sky and use do to a shop and a wall of the usual kind
MOVERS = (
    "shop.air.leakage_area", "shop.air.tightness", "shop.slab.edge_insulation", "shop.slab.edge_loss",
    "weather.file", "site.elevation", "site.horizon", "site.snow", "shop.gains.by_hour", "wall.gap",
    "wall.glazing.kind", "shop.comfort.limit", "shop.heater.efficiency", "wall.frame.share",
    "shop.contents.mass", "shop.air.extra_air_changes", "wall.absorber.absorptance", "site.shelter",
    "wall.leakage", "fan.shutoff_pressure", "wall.glazing.dirt", "site.snow_albedo", "shop.part.solar_gain",
)  # fmt: skip


@dataclass(frozen=True)
class Checked:
    """A project that reads well, and what is to be said about it."""

    project: Project
    file: str
    doubts: list[Problem]
    assumed: list[Assumed]


def check_page(checked: Checked, *, every: bool = False) -> str:
    """Return the page of ``noonwall check``: what looks odd, then the values that were left open.

    every  reason and source of all of them, not only of those that move the answer most
    """
    blocks = [f"{name_of(checked.project)}: {checked.file} reads well."]
    blocks += [filled(line) for line in not_yet_lines(checked.project)]
    if checked.doubts:
        lines = (textwrap.fill(d.told(checked.file), WIDTH, subsequent_indent="    ") for d in checked.doubts)
        blocks.append("\n".join(["LOOKS ODD (it stops nothing)", *(f"  {line}" for line in lines)]))
    else:
        blocks.append("Nothing looks odd.")
    if checked.assumed:
        blocks += _assumed(checked.assumed, every=every)
    return "\n\n".join([*blocks, filled(CAUTION)])


def _assumed(values: list[Assumed], *, every: bool) -> list[str]:
    """Return the values left open: first those that usually move the answer, with their reasons."""
    first = ranked(values)[:FIRST]
    rest = [v for v in values if v not in first]
    title = f"ASSUMED: {len(values)} values you left open, and what is taken in their place"
    if first and rest:
        title += ";\nfirst those that usually move the answer most (our own judgement)"
    blocks = ["\n".join([title, *(_line(v) for v in first)])]
    if rest:
        told = "AND OF LESS WEIGHT" if every else "AND OF LESS WEIGHT (--all tells why, and by which source)"
        blocks.append("\n".join([told, *(_line(v) if every else _head(v) for v in rest)]))
    return blocks


def ranked(values: list[Assumed]) -> list[Assumed]:
    """Return those values left open that usually move the answer, most of all first."""
    return sorted((v for v in values if _rank(v) < len(MOVERS)), key=_rank)


def _rank(value: Assumed) -> int:
    """Return where a value stands among those that move the answer; list members' numbers do not count."""
    key = re.sub(r"\[[\d, ]*\]", "", value.key)
    return MOVERS.index(key) if key in MOVERS else len(MOVERS)


def check_document(checked: Checked) -> dict[str, Any]:
    """Return the same as plain data, schema noonwall.check/1."""
    return {
        "schema": SCHEMA,
        "name": checked.project.name,
        "odd": [{"key": d.key, "line": d.line, "text": d.text} for d in checked.doubts],
        "assumed": [value._asdict() for value in checked.assumed],
    }


def _head(value: Assumed) -> str:
    return f"  {value.key:<{KEY_WIDTH}}  {value.value}"


def _line(value: Assumed) -> str:
    reason = "; ".join(part for part in (value.why, value.source) if part)
    if not reason:
        return _head(value)
    told = textwrap.fill(reason, WIDTH, initial_indent=" " * 6, subsequent_indent=" " * 6)
    return f"{_head(value)}\n{told}"
