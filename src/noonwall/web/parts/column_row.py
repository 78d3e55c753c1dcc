"""One column of a file of readings: what it is, in which unit, where the sensor sits; each to be corrected."""

from __future__ import annotations

import html
from typing import TYPE_CHECKING, Any

from nicegui import ui

from noonwall.logs.maps import GENERAL
from noonwall.web.frame import named

if TYPE_CHECKING:
    from collections.abc import Awaitable, Callable

    from noonwall.report.reader import Reader

    Word = Callable[[str, str | None], Awaitable[None]]

SURE = {
    "sure": ("nw-good", "sure"),
    "asked": ("nw-old", "please check"),
    "likely": ("nw-old", "likely"),
    "a guess": ("nw-bad", "a guess"),
}
NO_UNIT = "-"


class ColumnRow:
    """A row of boxes for one column."""

    def __init__(self, column: dict[str, Any], choices: dict[str, Any], reader: Reader, word: Word) -> None:
        self.column, self.choices, self.word = column, choices, word
        name = column["column"]
        with named(ui.element("div").classes("nw-column").props("role=group"), f"column {name}"):
            self._head()
            roles = {key: f"{key}: {doc}" for key, doc in choices["roles"].items()}
            self.role = ui.select(
                roles, value=column["role"], label="What it is", on_change=self._role
            ).props("outlined dense options-dense")
            units = {unit: unit for unit in choices["units"][column["role"]]}
            units = {column["unit"] or NO_UNIT: column["unit"] or "none", **units}
            self.unit = ui.select(
                units, value=column["unit"] or NO_UNIT, label="Unit", on_change=self._send
            ).props("outlined dense options-dense")
            self.where = self._where(reader)
            self.name = (
                ui.input("Its name", value=column["name"]).props("outlined dense").on("change", self._send)
            )
            self.name.set_visibility(column["role"] != "skip")
            self.unit.set_visibility(bool(choices["units"][column["role"]]) and column["role"] != "skip")

    def _head(self) -> None:
        column = self.column
        style, word = SURE[column["sure"]]
        cells = html.escape(", ".join(column["cells"]))
        reason = f"; {html.escape(column['reason'])}" if column["reason"] else ""
        ui.html(
            f"<div><b>{html.escape(column['column'])}</b><br>"
            f'<span class="nw-soft nw-small">{cells or "empty"}</span><br>'
            f'<span class="nw-small {style}">{word}</span><span class="nw-soft nw-small">{reason}</span></div>',
            sanitize=False,
        )

    def _where(self, reader: Reader) -> ui.input | None:
        """Return the box for the height of a thermometer or the plane of a sun sensor."""
        column = self.column
        if column["role"] in self.choices["height"]:
            height = column["height_m"]
            text = "" if height is None else reader.show(height, "length", 3)
            box = ui.input("Height", value=text)
        elif column["role"] in self.choices["plane"]:
            box = ui.input("Plane", value=column["plane"] or "")
        else:
            return None
        box.props("outlined dense").on("change", self._send)
        return box

    async def _role(self) -> None:
        """Send another role alone: unit, name and the rest are then guessed anew."""
        await self.word(self._key(), str(self.role.value))

    async def _send(self) -> None:
        await self.word(self._key(), self.spec())

    def _key(self) -> str:
        name = str(self.column["column"])
        return f"column {name}" if name in GENERAL else name

    def spec(self) -> str:
        """Return what stands in the boxes as it is typed after --map."""
        column, role = self.column, str(self.role.value)
        said = [role]
        if self.unit.value and self.unit.value != NO_UNIT:
            said.append(f"unit={self.unit.value}")
        if self.name.value and role != "skip":
            said.append(f"name={_word(self.name.value)}")
        if self.where is not None and self.where.value:
            said.append(
                f"{'height' if role in self.choices['height'] else 'plane'}={_word(self.where.value)}"
            )
        kept = [
            piece
            for piece in column["spec"].split("; ")
            if piece.startswith(("kind=", "stamp=", "place=", "empty="))
        ]
        return "; ".join([*said, *(kept if role == column["role"] else [])])


def _word(text: object) -> str:
    """Return a text that cannot end its place in a line of words."""
    return " ".join(str(text).replace(";", " ").split())
