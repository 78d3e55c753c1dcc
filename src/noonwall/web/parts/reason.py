"""The window that a box of a form opens: what the value is, what may be typed, what is assumed and why."""

from __future__ import annotations

import html
from typing import TYPE_CHECKING

from nicegui import ui

from noonwall.model.convert import range_text
from noonwall.model.fields import ABSENT
from noonwall.model.typed import faced, shown
from noonwall.units import in_both, own_examples
from noonwall.web.frame import named
from noonwall.web.parts.advice import advice
from noonwall.web.parts.wording import pretty

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from noonwall.model.defaults import Assumed
    from noonwall.model.typed import Spot
    from noonwall.report.reader import Reader


def taken_for(
    where: Spot, item: Assumed | None, reader: Reader, words: Mapping[str, str] | None = None
) -> str:
    """Return in a few words what is taken while a value is left open: "assumed: 90 mm"; it is not needed elsewhere."""
    facts = where.facts
    if item is not None:
        value = pretty((words or {}).get(item.value, item.value))
        return f"assumed: {value}" if value != "-" else "assumed, see why"
    if facts.default is ...:
        return "must be given"
    default = _default(where, reader)
    if facts.source == ABSENT or default == "":
        return (words or {}).get(default, default) or "none"
    told = (words or {}).get(default, default)
    return f"not needed; else {told}" if where.raw is None else f"leave it open (assumed: {told})"


def _given(where: Spot, reader: Reader) -> str:
    """Return what is given in the reader's units, and how the file has it where that is otherwise."""
    told, written = pretty(faced(where, reader.system)), pretty(shown(where))
    also = f", in the file {html.escape(written)}" if written != told else ""
    return f"Given: <b>{html.escape(told)}</b>{also}"


def _default(where: Spot, reader: Reader) -> str:
    value, kind = where.facts.default, where.kind
    if value in (None, (), {}, ""):
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if kind and isinstance(value, int | float):
        return pretty(reader.show(value, kind))
    return "; ".join(str(v) for v in value) if isinstance(value, tuple) else str(value)


def reason_dialog(
    label: str, where: Spot, item: Assumed | None, reader: Reader, clear: Callable[[], None] | None
) -> None:
    """Open the window.

    item   what is assumed while the value is open, None when it is given
    clear  takes a typed value out again; None when there is none, or when it must be given
    """
    with ui.dialog() as dialog, ui.card().classes("nw-card nw-reason"):
        ui.html(_told(label, where, item, reader), sanitize=False)
        with ui.row():
            if clear is not None and where.facts.default is not ...:
                ui.button("Leave it open", on_click=lambda: (clear(), dialog.close())).props(
                    "outline"
                ).classes("nw-plain")
            ui.button("Close", on_click=dialog.close).props("outline").classes("nw-plain")
    named(dialog, label)
    dialog.on("hide", dialog.delete)
    dialog.open()


def _told(label: str, where: Spot, item: Assumed | None, reader: Reader) -> str:
    facts, rows = where.facts, []
    told = in_both(advice(where.key) or facts.doc, reader.system)
    rows.append(f"<h2>{html.escape(label)}</h2><p>{html.escape(_sentence(told))}</p>")
    if where.raw is not None:
        rows.append(f"<p>{_given(where, reader)}</p>")
    why = (item.why, item.source) if item else (in_both(facts.why, reader.system), facts.source)
    taken = item.value if item else _default(where, reader)
    if facts.default is not ... and facts.source != ABSENT and taken not in ("", "-"):
        lead = "Assumed while it is left open" if where.raw is None else "Left open, this would be assumed"
        rows.append(f"<p>{lead}: <b>{html.escape(taken)}</b></p>")
    if facts.source != ABSENT and why[0]:
        rows.append(f"<p>Why: {html.escape(why[0])}.</p>")
    if facts.source != ABSENT and why[1]:
        rows.append(f"<p class='nw-soft nw-small'>Source: {html.escape(why[1])}</p>")
    if where.kind:
        written = html.escape(own_examples(where.kind, reader.system))
        rows.append(f"<p class='nw-soft nw-small'>May be written {written}.</p>")
        if facts.low is not None or facts.high is not None:
            span = range_text(facts.low, facts.high, where.kind, us=reader.us)
            rows.append(
                f"<p class='nw-soft nw-small'>From the file's point of view possible: {html.escape(span)}.</p>"
            )
    rows.append(
        f"<p class='nw-soft nw-small'>Its name in the project file: <code>{html.escape(where.key)}</code></p>"
    )
    return "".join(rows)


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:] + ("" if text.endswith(".") else ".")
