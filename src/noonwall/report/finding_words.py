"""What looks doubtful about readings, in a builder's words and the reader's units: what it is, what may be done."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

from noonwall.report.channels import in_units
from noonwall.units import day_words

if TYPE_CHECKING:
    from collections.abc import Callable

    from noonwall.report.reader import Reader

KINDS = {
    "gap": "Nothing was read",
    "conflict": "Two files say different things",
    "repeat": "The same moment comes twice",
    "swap": "Two sensors changed places",
    "stuck": "Stands still while others move",
    "spike": "Leaps away and back",
    "out of range": "Shows what cannot be",
    "clock": "Its clock is wrong",
    "clock drift": "Its clock runs slow or fast",
    "clocks apart": "Two clocks do not agree",
    "sun on sensor": "The sun shines on it",
    "place": "Does not hang where it is said to",
    "scale": "Another unit than it was read in",
}
KEEP = "keep: use them as they are"
LEAVE_OUT = "leave them out"
MENDED = {
    "swap": "they were exchanged: use each as the other",
    "clock": "its clock was off: use it put right",
    "clock drift": "its clock drifted: use it put right",
    "scale": "it was the other unit: use it turned back",
}
OF_A_GAP = {
    "used": "go on with what else was read",
    "set aside": "leave the whole time out, all channels",
}
NOTHING_THEN = (
    "No channel has readings then, so there is nothing to keep or to leave out: recap and learning pass over this "
    "time by themselves."
)
_DEGREES = re.compile(r"(-?\d+(?:\.\d+)?) (K|C)\b")


def kind_words(kind: str) -> str:
    """Return what a kind of finding is, for a builder."""
    return KINDS.get(kind, kind)


def verdict_words(found: dict[str, Any]) -> dict[str, str]:
    """Return what may be done about a finding, by verdict; empty where there is nothing to decide.

    found   as ``reception.listing`` gives it
    """
    if found["kind"] == "gap":
        return {} if found["nothing_then"] else dict(OF_A_GAP)
    words = {"used": KEEP, "set aside": LEAVE_OUT, "mended": MENDED.get(found["kind"], "use them put right")}
    return {verdict: words[verdict] for verdict in found["verdicts"]}


def when_words(found: dict[str, Any], reader: Reader) -> str:
    """Return from when to when, as the reader says dates."""
    first, last = (day_words(found[key][:16], reader.system, year=True, hour=True) for key in ("from", "to"))
    return first if first == last else f"{first} to {last}"


def consequence_words(found: dict[str, Any], reader: Reader) -> str:
    """Return what was seen and what becomes of it, degrees in the reader's."""
    if found["kind"] == "gap":
        return f"No readings for {_length(found['evidence']['hours'])}."
    text = _DEGREES.sub(lambda m: _turned(m, reader), str(found["consequence"]))
    if found["measure"] == "temperature" and found["kind"] in ("stuck", "spike", "out of range"):
        text = re.sub(r"(?<=leaps from )(\S+) to (\S+)(?= and back)",
                      lambda m: f"{_degrees(m[1], reader)} to {_degrees(m[2], reader)}", text)  # fmt: skip
        text = re.sub(r"((?<=shows )\S+(?= for )|(?<=can show, up to )[^;]+(?=;))",
                      lambda m: _degrees(m[1], reader), text)  # fmt: skip
    return f"{text[:1].upper()}{text[1:]}."


def evidence_words(found: dict[str, Any], reader: Reader) -> str:
    """Return what else tells it, in one line; empty where the sentence above has said it all."""
    words, told = _TOLD.get(found["kind"], {}), []
    for name, value in found["evidence"].items():
        if name in words and value:
            told.append(words[name](float(value), reader))
        elif name == "largest_difference" and found["measure"] is not None:
            told.append(f"up to {_apart(float(value), found['measure'], reader)} apart")
    return f"What tells it: {', '.join(told)}." if told else ""


def _turned(found: re.Match[str], reader: Reader) -> str:
    if found[2] == "C":
        return _degrees(found[1], reader)
    return f"{reader.kelvins(float(found[1])):.1f} {reader.degree}"


def _degrees(text: str, reader: Reader) -> str:
    try:
        return f"{reader.degrees(float(text)):.1f} {reader.degree}"
    except ValueError:
        return text


def _length(hours: float) -> str:
    return f"{hours / 24.0:.1f} days" if hours >= 48.0 else f"{hours:.1f} hours"


def _apart(value: float, measure: str, reader: Reader) -> str:
    scale, unit = in_units(measure, reader)
    return f"{scale(value) - scale(0.0):.3g} {unit}".strip()


def _count(one: str, many: str) -> Callable[[float, Reader], str]:
    return lambda value, _reader: f"{value:,.0f} {one if value == 1 else many}"


def _crossed(value: float, reader: Reader) -> str:
    return f"at the change their readings cross by {reader.kelvins(value):.1f} {reader.degree}"


# by kind: what the consequence does not say already
_TOLD: dict[str, dict[str, Callable[[float, Reader], str]]] = {
    "swap": {"crossed_by_k": _crossed},
    "clock": {"days": _count("day of sun", "days of sun")},
    "clock drift": {"minutes": lambda value, _reader: f"{abs(value):.0f} min by its end"},
    "clocks apart": {"starts": _count("start of the fan", "starts of the fan")},
    "place": {"correlation": lambda value, _reader: f"it goes up and down with it ({100.0 * value:.0f} %)"},
    "scale": {"days": _count("day", "days")},
}
