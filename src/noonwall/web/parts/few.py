"""A few large figures side by side, each with its name above and a note below."""

from __future__ import annotations

import html
from typing import TYPE_CHECKING

from noonwall.web.parts.wording import together

if TYPE_CHECKING:
    from collections.abc import Sequence


def few_figures(rows: Sequence[dict[str, str]]) -> str:
    """Return figures (name, value, note) as HTML, escaped."""
    cells = "".join(
        f"<div><dt>{html.escape(row['name'])}</dt><dd><b>{html.escape(together(row['value']))}</b>"
        f"<span class='nw-soft'>{html.escape(together(row['note']))}</span></dd></div>"
        for row in rows
    )
    return f"<dl class='nw-brought'>{cells}</dl>"
