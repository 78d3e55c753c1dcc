"""Numbers as one reader wants them: metric or US units, sensible digits, thousands set apart."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from noonwall.model.mine import still_template
from noonwall.units import by_tape, clock_words, dates_in, day_words, in_feet, show

if TYPE_CHECKING:
    from collections.abc import Sequence

    import numpy as np

    from noonwall.model.project import Project
    from noonwall.units import Kind, System

KBTU_PER_KWH = 3.412142  # NIST SP 811: 3600 kJ over 1.05505585262 kJ


@dataclass(frozen=True)
class Reader:
    """Who reads: the system of units. Heat is in kWh or thousand Btu, electricity in kWh for both."""

    system: System = "metric"

    @property
    def us(self) -> bool:
        """Whether the reader thinks in US units."""
        return self.system == "us"

    @property
    def degree(self) -> str:
        """Sign of a temperature."""
        return "°F" if self.us else "°C"

    @property
    def heat_unit(self) -> str:
        """Unit of an amount of heat."""
        return "kBtu" if self.us else "kWh"

    @property
    def power_unit(self) -> str:
        """Unit of a flow of heat, `heat_unit` an hour."""
        return "kBtu/h" if self.us else "kW"

    def heat(self, kwh: float) -> float:
        """Return an amount of heat in the reader's unit."""
        return kwh * KBTU_PER_KWH if self.us else kwh

    def degrees(self, celsius: float) -> float:
        """Return a temperature on the reader's scale."""
        return celsius * 1.8 + 32.0 if self.us else celsius

    def kelvins(self, kelvin: float) -> float:
        """Return a temperature difference in the reader's degrees."""
        return kelvin * 1.8 if self.us else kelvin

    def heat_text(self, kwh: float) -> str:
        """Return "1,480 kWh" or "5,050 kBtu"."""
        return f"{grouped(self.heat(kwh))} {self.heat_unit}"

    def degrees_text(self, celsius: float, decimals: int = 0) -> str:
        """Return "43 °C" or "110 °F"."""
        return f"{_unsigned_zero(self.degrees(celsius), decimals)} {self.degree}"

    def degrees_cell(self, celsius: float) -> str:
        """Return a temperature for a table's column, in whole degrees: "-4", never "-0"."""
        return _unsigned_zero(self.degrees(celsius), 0)

    def hour_text(self, hour: float) -> str:
        """Return an hour of the day: "18 h", "10:30"; "6 pm", "noon", "10:30 am" for a US reader."""
        minutes = round(hour * 60.0) % 1440
        if self.us:
            return "noon" if minutes == 720 else _twelve_hours(minutes)
        whole = f"{24 if minutes == 0 and hour else minutes // 60} h"
        return f"{minutes // 60}:{minutes % 60:02d}" if minutes % 60 else whole

    def hour_ticks(self, hours: Sequence[float]) -> list[str]:
        """Return the hours beside an axis: "6", "12", "18"; "6 am", "noon", "6 pm" for a US reader."""
        return [self.hour_text(hour) if self.us else f"{hour:g}" for hour in hours]

    def span_text(self, first: float, last: float) -> str:
        """Return two hours as "9 and 16 h" or "9 am and 4 pm", for a sentence with 'between'."""
        begin = self.hour_text(first)
        return f"{begin if self.us else begin.removesuffix(' h')} and {self.hour_text(last)}"

    def day_text(self, day: np.datetime64 | str, *, short: bool = False, year: bool = False) -> str:
        """Return a day, of a moment or of an ISO text: "14 January", for a US reader "January 14"."""
        return day_words(day, self.system, short=short, year=year)

    def period_text(self, first: np.datetime64 | str, last: np.datetime64 | str) -> str:
        """Return two days with their years: "1 February 2025 to 28 February 2025"."""
        return f"{self.day_text(first, year=True)} to {self.day_text(last, year=True)}"

    def dated(self, text: str) -> str:
        """Return a text with its ISO dates as the reader says them."""
        return dates_in(text, self.system)

    def moment_text(self, time: np.datetime64 | str, *, short: bool = False) -> str:
        """Return "14 January 13:25", for a US reader "January 14 1:25 pm"."""
        return day_words(time, self.system, short=short, hour=True)

    def clock_text(self, time: np.datetime64 | str) -> str:
        """Return the time of day of a moment: "13:25", for a US reader "1:25 pm"."""
        return clock_words(str(time).replace(" ", "T").partition("T")[2], self.system)

    def feet_text(self, metres: float) -> str:
        """Return a length as a drawing is marked: "2.4 m", "90 mm", "7 ft 10 1/2 in", "3.54 in"."""
        return in_feet(metres, self.system)

    def tape_text(self, metres: float) -> str:
        """Return a length to be marked out with a tape: "500 mm", "1 ft 8 in"."""
        return by_tape(metres, self.system)

    def show(self, value: float, kind: Kind, digits: int = 3) -> str:
        """Return any other quantity with its unit."""
        return show(value, kind, self.system, digits)


def name_of(project: Project) -> str:
    """Return a project's name on one printable line, marked when it is invented or has a new project's figures."""
    name = " ".join("".join(c if c.isprintable() else " " for c in project.name).split()) or "unnamed"
    if project.invented:
        return f"{name} (an invented example)"
    return f"{name} (template figures, not your shop yet)" if still_template(project) else name


def grouped(number: float) -> str:
    """Return a whole number with its thousands set apart; a small one keeps a decimal, not to read as nought.

    >>> grouped(12345.6), grouped(0.34), grouped(0.0)
    ('12,346', '0.3', '0')
    """
    if 0.05 <= abs(number) < 0.95:
        return f"{number:.1f}"
    return f"{shown_whole(number):,}"


def cell(number: float) -> str:
    """Return a number for a column of whole numbers: a trace reads as less than one, not as nought.

    >>> cell(12345.6), cell(0.84), cell(0.34), cell(0.01)
    ('12,346', '1', '<1', '0')
    """
    return "<1" if 0.05 <= number < 0.5 else grouped(shown_whole(number))


def percent(share: float) -> str:
    """Return a share as percent, with a decimal below ten.

    >>> percent(0.482), percent(0.034), percent(0.0)
    ('48 %', '3.4 %', '0 %')
    """
    number = 100.0 * share
    small = 0.05 <= abs(number) < 9.95
    return f"{number:.1f} %" if small else f"{shown_whole(number)} %"


def _twelve_hours(minutes: int) -> str:
    """Return minutes since midnight on a clock of twelve hours: 7 am, 1:25 pm."""
    hour, rest = minutes // 60, minutes % 60
    return f"{(hour - 1) % 12 + 1}{f':{rest:02d}' if rest else ''} {'am' if hour < 12 else 'pm'}"


def shown_whole(number: float) -> int:
    """Return a number as `grouped` rounds it, halves upward."""
    return math.floor(number + 0.5)


def _unsigned_zero(number: float, decimals: int) -> str:
    text = f"{number:.{decimals}f}"
    return text.removeprefix("-") if float(text) == 0.0 else text
