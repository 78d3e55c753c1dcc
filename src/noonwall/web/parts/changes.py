"""What a variant or a step changes, in plain words: what it is, what it was, what it becomes."""

from __future__ import annotations

import html
import re
from typing import TYPE_CHECKING

from noonwall.errors import NoonwallError
from noonwall.model.file import parse_toml
from noonwall.model.typed import faced, shown, spot
from noonwall.web.desk import value_at
from noonwall.web.parts.trade import TABLES, label_of
from noonwall.web.parts.wording import pretty

if TYPE_CHECKING:
    from collections.abc import Iterable

    from noonwall.report.reader import Reader
    from noonwall.report.way_changes import Difference
    from noonwall.web.desk import Setting, Step
    from noonwall.web.parts.rows import Row

MEMBERS = {"obstacle": "on the site", "pv": "modules", "shop.part": "part of the envelope",
           "wall.backing": "layer behind the dark face"}  # fmt: skip
MEMBER = re.compile(r"(.*)\[\d+\]")
MOST_PARTS = 4
TO = '<span aria-hidden="true"> &#8594; </span><span class="nw-unseen"> becomes </span>'


def changes_list(differences: Iterable[Difference]) -> str:
    """Return the changes as a list in HTML, everything in it escaped."""
    lines = "".join(f"<li>{_line(one)}</li>" for one in differences)
    return (
        f'<ul class="nw-apart">{lines}</ul>'
        if lines
        else '<p class="nw-small">The project is so already: nothing changes.</p>'
    )


def step_words(step: Step, reader: Reader) -> str:
    """Return what a step did as the forms call it: "glazed height (wall): 7 ft 10 1/2 in to 8 ft 3 in"."""
    return "; ".join(_setting(one, step, reader) for one in step.settings) or step.told


def undone_words(step: Step, reader: Reader) -> str:
    """Return how it is once a step is taken back: "glazed height (wall) is 7 ft 10 1/2 in again"."""
    return "; ".join(_again(one, step, reader) for one in step.settings) or step.told


def _again(one: Setting, step: Step, reader: Reader) -> str:
    try:
        here = spot(one.key, parse_toml(step.text))
    except NoonwallError:  # its member of a list is no more
        return step.told
    was = pretty(_worded(one.key, faced(here._replace(raw=one.was), reader.system))) or "left open"
    return f"{_label(one, step)} is {was} again"


def _setting(one: Setting, step: Step, reader: Reader) -> str:
    try:
        here = spot(one.key, parse_toml(step.text))
    except NoonwallError:  # its member of a list is no more
        return step.told
    was, now = (here._replace(raw=raw) for raw in (one.was, one.now))
    told = [faced(where, reader.system) for where in (was, now)]
    if told[0] == told[1]:  # too small a change for the reader's units
        told = [shown(was), shown(now)]
    ends = (pretty(_worded(one.key, text)) or "left open" for text in told)
    return f"{_label(one, step)}: {' to '.join(ends)}"


def _label(one: Setting, step: Step) -> str:
    """Return what a value is called in a sentence: "glazed height (wall)", "height (fir 1)"."""
    name = value_at(step.text, f"{one.key.rpartition('.')[0]}.name") if "]" in one.key else None
    label = label_of(one.key)
    if name and not one.key.endswith(".name"):
        label = f"{label.partition(' (')[0]} ({name})"
    return f"{label[:1].lower()}{label[1:]}"


def _line(one: Difference) -> str:
    shown = [part for part in one.parts if _usual(one.key, part[0])][:MOST_PARTS]
    now = one.now or f"put in{': ' if shown else ''}{'; '.join(_part(one.key, *part) for part in shown)}"
    was, now = (pretty(_worded(one.key, text)) for text in (one.was, now))
    return f"{html.escape(_called(one))}: <span>{html.escape(was)}{TO}<b>{html.escape(now)}</b></span>"


def _called(one: Difference) -> str:
    member = MEMBER.fullmatch(one.key)
    if member is None:
        return label_of(one.key)
    noun = MEMBERS.get(member[1], member[1].rpartition(".")[2].replace("_", " "))
    return f"{noun.capitalize()}{f' {_quoted(one.name)}' if one.name else ''}"


def _quoted(name: str) -> str:
    return f'"{name}"'


def _part(table: str, key: str, text: str) -> str:
    row = _row(f"{table}.{key}")
    label = (row.label if row else key.replace("_", " ")).lower()
    return f"{label} {_worded(f'{table}.{key}', text)}"


def _usual(table: str, key: str) -> bool:
    """Return whether a form shows a key unfolded; what no form knows counts too."""
    boxes = TABLES.get(re.sub(r"\[\d+\]", "", table))
    return boxes is None or any(row.key == key for row in boxes.rows)


def _worded(key: str, text: str) -> str:
    """Return a choice as its box tells it, anything else as it is."""
    row = _row(key)
    return row.words.get(text, text) if row is not None and row.words else text


def _row(key: str) -> Row | None:
    """Return the box of a key, None where no form has one."""
    table, _, name = re.sub(r"\[\d+\]", "", key).rpartition(".")
    boxes = TABLES.get(table)
    return next((row for row in (*boxes.rows, *boxes.seldom) if row.key == name), None) if boxes else None
