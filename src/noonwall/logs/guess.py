"""What was understood of a file of readings, ready to be shown, corrected and used."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from noonwall.logs.maps import FileMap, Spec
from noonwall.logs.records import Channel
from noonwall.logs.stamps import shown

if TYPE_CHECKING:
    from pathlib import Path

    from noonwall.logs.records import Conversion, Stamp
    from noonwall.logs.roles import Kind, Measure
    from noonwall.logs.stamps import StampRule
    from noonwall.logs.table import Table

Layout = Literal["wide", "long"]


@dataclass(frozen=True)
class TimeGuess:
    """How the file says when."""

    stamp: StampRule
    zone: str  # "in the stamps" where each stamp carries its own offset
    confidence: float
    reason: str


@dataclass(frozen=True)
class ColumnGuess:
    """What one column (in a long file: one channel) is.

    ``confidence``   1 the builder's or the file's own plain word, 0.5 a fair sign, 0 nothing to go by
    """

    column: str  # heading, or the channel's name in a long file
    place: int  # index of its cells in a row (in a long file: of the value)
    role: str
    measure: Measure
    unit: str
    conversion: Conversion
    name: str
    kind: Kind
    stamp: Stamp
    height_m: float | None
    plane: str | None
    where: str | None  # of humidity: outdoor or shop
    empties: tuple[str, ...]  # cells that mean "nothing", besides the usual words
    confidence: float
    reason: str

    @property
    def channel(self) -> Channel:
        """The channel its readings go to."""
        return Channel(
            self.name, self.role, self.measure, self.kind, self.height_m, self.plane, self.where, self.stamp
        )

    def spec(self) -> Spec:
        """Return it as the builder would type it."""
        return Spec(
            self.role,
            self.unit or None,
            self.name if self.role != "skip" else None,
            self.height_m,
            self.plane,
            self.where,
            self.kind if self.kind != "point" and self.role != "skip" else None,
            self.stamp if self.stamp != "point" and self.role != "skip" else None,
            self.empties,
        )


@dataclass(frozen=True)
class Question:
    """Something the file does not settle. One that must be answered stops the import."""

    text: str
    answer: str  # what to type, an example; the likelier of two
    must: bool
    other: str = ""  # the other answer, where there are but two

    @property
    def typed(self) -> str:
        """What to type on a command line, the likelier answer first."""
        return " or ".join(f"--map '{answer}'" for answer in (self.answer, self.other) if answer)


@dataclass(frozen=True)
class Guess:
    """What was understood of one file; nothing is read into a store before it is accepted."""

    path: Path
    table: Table
    content: str  # SHA-256 of the unpacked file
    decimal: str
    layout: Layout
    channel_place: (
        int | None
    )  # of a long file: the cells that name the channel, and those that hold the value
    value_place: int | None
    time: TimeGuess
    descending: bool
    rows: int
    first_clock_s: int
    last_clock_s: int
    step_s: int
    columns: tuple[ColumnGuess, ...]
    no_readings: tuple[str, ...]  # cells such as ERR, by column: how many, and what becomes of them
    notes: tuple[str, ...]
    questions: tuple[Question, ...]

    @property
    def ready(self) -> bool:
        """Whether nothing is left that must be answered before the file can be read."""
        return not any(question.must for question in self.questions)

    def as_map(self) -> FileMap:
        """Return all of it as a map that makes the same guess of the next such file."""
        rule = self.time.stamp
        general = {
            "decimal": self.decimal,
            "dates": rule.order,
            "zone": self.time.zone,
            "layout": self.layout,
        }
        if self.time.zone == "in the stamps" or rule.form.startswith("epoch"):
            del general["zone"]
        if rule.form in ("epoch s", "epoch ms", "epoch us", "serial day"):
            del general["dates"]
        return FileMap(general, {item.column: item.spec() for item in self.columns})

    def text(self) -> str:
        """Return the guess as the builder reads it: file, time, columns with reasons, what is open."""
        table, rule = self.table, self.time.stamp
        cut = {"\t": "tabs", "": "blanks", ",": "commas", ";": "semicolons", "|": "bars"}
        when = " and ".join(f'"{table.names[i]}"' for i in rule.columns)
        form = {"stamp": f"date ({rule.order})", "day and time": f"date ({rule.order}) and clock"}
        said = form.get(rule.form, rule.form)
        between = cut.get(table.delimiter, repr(table.delimiter))
        packed = ", gzip" if table.form.gzipped else ""
        first, last = shown(self.first_clock_s), shown(self.last_clock_s)
        every, sign = _interval(self.step_s), "comma" if self.decimal == "," else "point"
        lines = [
            f"{self.path.name}: {self.rows:,} rows from {first} to {last} by its clock, one every {every}",
            f"  text     {table.form.encoding}{packed}, cells between {between}, decimal {sign}",
            f"  layout   {self.layout}, readings from line {table.data_line}",
            f"  time     {when}: {said}, zone {self.time.zone} ({self.time.reason})",
        ]
        wide = max((len(item.column) for item in self.columns), default=0)
        wide = min(wide, 36)
        for item in self.columns:
            sure = "" if item.confidence >= 0.8 else " [likely]" if item.confidence >= 0.5 else " [a guess]"
            lines.append(
                f"  {item.column[:36]:<{wide}}  {item.spec().text() + sure}"
                + (f"  ({item.reason})" if item.reason else "")
            )
        lines += [f"  no reading: {told}" for told in self.no_readings]
        lines += [f"  note: {note}" for note in self.notes]
        for question in self.questions:
            mark = "must be answered" if question.must else "please check"
            lead = "answer with" if question.other else "e.g."
            lines.append(f"  {mark}: {question.text}; {lead} {question.typed}")
        return "\n".join(lines)


def _interval(step_s: int) -> str:
    if step_s >= 3600 and step_s % 3600 == 0:
        return f"{step_s // 3600} h"
    return f"{step_s // 60} min" if step_s >= 60 and step_s % 60 == 0 else f"{step_s} s"
