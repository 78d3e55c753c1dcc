"""How a quantity in letters is set on a page."""

from __future__ import annotations

import re

_UNIT = re.compile(r"(?<=\d) (?=(?:°[CF]|%|(?:K|kWh|kBtu|kW|W|h|ft|in|mm|cm|m|cfm)\b))")


def pretty(text: str) -> str:
    """Return a quantity with its powers raised: "1.2 m2" reads "1.2 m\u00b2"."""
    return re.sub(
        r"(?<![A-Za-z])(c?m|mm|ft|in)([23])(?!\d)", lambda m: m[1] + "\u00b2\u00b3"[m[2] == "3"], text
    )


def together(text: str) -> str:
    r"""Return a text whose figures are not parted from their units at the end of a line.

    >>> together("above 68 °F for 18 h, 95 % of it") == "above 68\u00a0°F for 18\u00a0h, 95\u00a0% of it"
    True
    """
    return _UNIT.sub("\u00a0", text)
