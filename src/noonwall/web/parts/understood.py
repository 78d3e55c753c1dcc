"""How a file handed in is understood, in words: what it holds, what is asked, what is taken for granted."""

from __future__ import annotations

import html
import re
from typing import TYPE_CHECKING, Any

from noonwall.logs.clock import near
from noonwall.logs.guessing import AT_SITE
from noonwall.logs.maps import GENERAL
from noonwall.units import moments_in

if TYPE_CHECKING:
    from noonwall.report.reader import Reader

MOST_TOLD = 8  # lines on cells that are no readings
# What only the command takes: on the page there are boxes for it, or nothing.
_TYPED = (
    (
        re.compile(r"say what sets them apart with --map \S+"),
        "save it with commas or semicolons between its cells",
    ),
    (re.compile(r" \((?:noonwall|--map) [^)]*\)"), ""),
    (re.compile(r"(?: like| with) --map zone=(\S+)"), r" such as \1"),
    (re.compile(r" (?:with|by) --map (?:(?:\w+=\S+)(?: --map )?)+"), ""),
    (re.compile(r"; if they are none, --map layout=wide"), ""),
    (re.compile(r" (?:with|by) --map(?=,|;|$)"), ""),
)


def zone_hint(clock_h: float) -> str:
    """Return examples of zones: those of the site's standard time.

    >>> zone_hint(-5.0)
    'such as UTC-5, America/New_York'
    """
    fixed = f"UTC{clock_h:+g}" if clock_h == int(clock_h) else "UTC"
    return f"such as {fixed}, {name}" if (name := near(clock_h)) else f"such as {fixed}"


def doubtful_words(many: int, older: int) -> str:
    """Return how many things look doubtful of which those that were known before are told apart.

    >>> doubtful_words(6, 3)
    '3 things look doubtful in this file, and 3 that were found before: see below.'
    >>> doubtful_words(1, 1), doubtful_words(0, 0)
    ('Nothing looks doubtful in this file; 1 that was found before is told below.', 'Nothing looks doubtful.')
    """
    if not many:
        return "Nothing looks doubtful."
    new = many - older
    before = f"{older} that {'was' if older == 1 else 'were'} found before"
    if not new:
        return f"Nothing looks doubtful in this file; {before} {'is' if older == 1 else 'are'} told below."
    things = f"{new} thing{' looks' if new == 1 else 's look'} doubtful in this file"
    return f"{things}, and {before}: see below." if older else f"{things}: see below."


def on_page(text: str) -> str:
    """Return what is told of a file without what is to be typed in a terminal.

    >>> on_page("every column is to be skipped; give one a role with --map")
    'every column is to be skipped; give one a role'
    >>> on_page("read already as import 2; undo that one first (noonwall readings undo 2)")
    'read already as import 2; undo that one first'
    >>> on_page("name them with --map channel=NAME --map value=NAME")
    'name them'
    """
    for typed, said in _TYPED:
        text = typed.sub(said, text)
    return text


def summary(guess: dict[str, Any], reader: Reader) -> str:
    """Return in one sentence what a file holds."""
    step = guess["step_s"]
    every = f"{step // 60} min" if step >= 60 and step % 60 == 0 else f"{step} s"
    when = " and ".join(guess["time_columns"])
    first, last = (moments_in(guess[key], reader.system) for key in ("from", "to"))
    return (
        f"{guess['rows']:,} rows from {first} to {last} by its own clock, one every {every}; the time "
        f'stands in "{when}".'
    )


def no_readings(guess: dict[str, Any]) -> str:
    """Return as HTML, everything in it escaped, which cells of a file are no readings, column by column."""
    told = guess["no_readings"]
    rest = f"<li>and {len(told) - MOST_TOLD} more of the kind</li>" if len(told) > MOST_TOLD else ""
    lines = "".join(f"<li>{html.escape(line)}</li>" for line in told[:MOST_TOLD])
    return f"<p><b>Not every cell holds a reading:</b></p><ul>{lines}{rest}</ul>"


def known_as(one: dict[str, Any], reader: Reader) -> str:
    """Return a known channel by its name, and what it is where the name does not say so."""
    height = f" at {reader.show(one['height_m'], 'length', 3)}" if one["height_m"] is not None else ""
    return (
        f"{one['name']}{height}" if one["name"] == one["role"] else f"{one['name']} ({one['role']}{height})"
    )


def holds(join: dict[str, Any], guess: dict[str, Any]) -> bool:
    """Return whether a column must be joined or kept apart before it is read: what is not used may wait."""
    return any(c["column"] == join["column"] and c["role"] != "other" for c in guess["columns"])


def asked_of(question: dict[str, Any], guess: dict[str, Any]) -> str | None:
    """Return the one column that a question is about; None for the file or for many columns."""
    if not question["text"].startswith('column "'):
        return None
    return next(
        (c["column"] for c in guess["columns"] if question["text"].startswith(f'column "{c["column"]}":')),
        None,
    )


def as_it_stands(question: dict[str, Any], guess: dict[str, Any]) -> tuple[str, str] | None:
    """Return the word, key and value, that says to a question that the guess is right; None where one would not do."""
    if question["answers"][0].startswith("zone="):
        return "zone", str(guess["zone"])
    name = asked_of(question, guess)
    if name is None or "plane=" in question["answers"][0]:
        return None
    spec = next(c["spec"] for c in guess["columns"] if c["column"] == name)
    return (f"column {name}" if name in GENERAL else name), str(spec)


def granted(guess: dict[str, Any]) -> list[str]:
    """Return what is taken for granted where a file's questions stay unanswered."""
    asked = any(q["answers"][0].startswith("zone=") for q in guess["questions"])
    at_site = guess["zone_reason"].startswith(AT_SITE) and not asked
    told = [f"the clock's zone is {guess['zone']}"] if at_site else []
    for question in (q for q in guess["questions"] if not q["must"]):
        column = next((c for c in guess["columns"] if c["column"] == asked_of(question, guess)), None)
        if question["answers"][0].startswith("zone="):
            told.append(f"the clock's zone is {guess['zone']}")
        elif column is None:
            told.append(f"{question['text'].partition(': ')[0]} are what their rows say")
        elif column["role"] in ("other", "skip"):
            told.append(
                f'"{column["column"]}" is {"kept, but not used" if column["role"] == "other" else "left out"}'
            )
        else:
            plane = f", plane {column['plane'] or 'unknown'}" if column["role"] == "sun" else ""
            told.append(f'"{column["column"]}" is {column["role"]}, in {column["unit"] or "no unit"}{plane}')
    return list(dict.fromkeys(told))
