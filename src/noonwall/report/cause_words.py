"""What was found in a recap, each with the heat it moved, in the reader's units."""

from __future__ import annotations

from typing import TYPE_CHECKING

from noonwall.logs.recap import NOT_PROVEN
from noonwall.report.reader import grouped

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from noonwall.report.reader import Reader

SENSORS = "sensors"


def cause_words(found: Iterable[tuple[str, str, float]], reader: Reader) -> list[str]:
    """Return each cause with its heat: "the fans stood still 8 Feb to 16 Feb (-6 kWh)".

    found   text, key of its link, heat [kWh]

    >>> from noonwall.report.reader import Reader
    >>> cause_words([("the flap let air sink", "reversed", -40.0)], Reader())
    ['the flap let air sink (-40 kWh)']
    >>> cause_words([("a and b were exchanged", "sensors", -24.4)], Reader())
    ['a and b were exchanged (as written it would be -24 kWh)']
    """
    return [f"{reader.dated(text)} ({'as written it would be ' if key == SENSORS else ''}{_plus(kwh, reader)})"
            for text, key, kwh in found]  # fmt: skip


def headline(verdict: str, found: Sequence[str]) -> list[str]:
    """Return the verdict with the first of what was found in one sentence, the others in a second.

    found   as `cause_words` gives it

    >>> headline("not as good as its weather allowed", ["a (-9 kWh)", "b (-1 kWh)"])
    ['Not as good as its weather allowed; found: a (-9 kWh).', 'Also found, largest first: b (-1 kWh).']
    """
    said = verdict[:1].upper() + verdict[1:]
    if not found:
        return [f"{said}."]
    first = f"{said}; {'but' if verdict == NOT_PROVEN else 'found:'} {found[0]}."
    return [first, *([f"Also found, largest first: {'; '.join(found[1:])}."] if found[1:] else [])]


def _plus(kwh: float, reader: Reader) -> str:
    text = grouped(reader.heat(kwh))
    sign = "" if kwh < 0.0 or text == "0" else "+"
    return f"{sign}{'0' if text == '-0' else text} {reader.heat_unit}"
