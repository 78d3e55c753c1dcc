"""Options of the commands that look at the site: a date, years of growth, lengths and shares."""

from __future__ import annotations

import datetime as dt
import re
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from collections.abc import Callable

    from noonwall.studies.sunlight import When
    from noonwall.units import Kind

LEAP_YEAR = 2000
MOST_YEARS = 100.0


class Date(click.ParamType["When"]):
    """A date such as '2-5', with a time of day perhaps: '2-5 14:30'."""

    name = "M-D [H:MM]"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> When:
        """Return the date, or refuse in one line."""
        from noonwall.studies.sunlight import When

        if isinstance(value, When):
            return value
        found = re.fullmatch(r"\s*(\d{1,2})-(\d{1,2})(?:[ T]+(\d{1,2}):(\d{2}))?\s*", str(value))
        if not found:
            self.fail(f"{str(value)!r} is no date; write month-day, as 2-5 or '2-5 14:30'", param, ctx)
        month, day, hour, minute = (None if part is None else int(part) for part in found.groups())
        try:
            dt.date(LEAP_YEAR, month or 0, day or 0)
        except ValueError:
            self.fail(f"{value}: there is no such day; write month-day, as 2-5", param, ctx)
        if (month, day) == (2, 29):
            self.fail("a calculated year has no 29 February; 2-28 and 3-1 are there", param, ctx)
        if hour is None or minute is None:
            return When(month or 0, day or 0)
        if hour > 23 or minute > 59:
            self.fail(f"{hour}:{minute:02d} is no time of day", param, ctx)
        return When(month or 0, day or 0, 60 * hour + minute)


class Quantity(click.ParamType[float]):
    """A number with its unit, such as '8 m' or '25 ft': the answer is SI."""

    def __init__(self, kind: Kind, low: float, high: float, name: str) -> None:
        """Tell the kind of quantity and its range in SI."""
        self.kind, self.low, self.high, self.name = kind, low, high, name

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> float:
        """Return SI, or refuse in one line."""
        from noonwall.errors import NoonwallError
        from noonwall.units import parse, show

        if isinstance(value, float):
            return value
        try:
            number = parse(float(value) if _bare(value) else str(value), self.kind)
        except NoonwallError as error:
            self.fail(str(error), param, ctx)
        if not self.low <= number <= self.high:
            low, high = show(self.low, self.kind), show(self.high, self.kind)
            self.fail(f"{value} is outside {low} to {high}", param, ctx)
        return number


def _bare(text: str) -> bool:
    return re.fullmatch(r"\s*\d+(\.\d*)?\s*", str(text)) is not None


class Years(click.ParamType[float]):
    """A number of years, none or up to a hundred."""

    name = "YEARS"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> float:
        """Return years, or refuse in one line."""
        try:
            years = float(value)
        except ValueError:
            years = -1.0
        if not 0.0 <= years <= MOST_YEARS:
            self.fail(f"{value} is no number of years from 0 to {MOST_YEARS:g}", param, ctx)
        return years


def years_on(command: Callable[..., Any]) -> Callable[..., Any]:
    """Add --years-on."""
    return click.option(
        "--years-on",
        type=Years(),
        default=0.0,
        help="See the site in so many years, trees grown on. Now otherwise.",
    )(command)
