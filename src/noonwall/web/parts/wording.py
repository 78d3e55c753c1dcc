"""How a quantity in letters is set on a page."""

from __future__ import annotations

import re


def pretty(text: str) -> str:
    """Return a quantity with its powers raised: "1.2 m2" reads "1.2 m\u00b2"."""
    return re.sub(
        r"(?<![A-Za-z])(c?m|mm|ft|in)([23])(?!\d)", lambda m: m[1] + "\u00b2\u00b3"[m[2] == "3"], text
    )
