"""What was found to have gone otherwise than described, in plain words with dates, the largest first."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from noonwall.logs.links import STEPS, dates_text
from noonwall.logs.period import DAY_S

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from noonwall.logs.chain import Chain
    from noonwall.logs.links import Link
    from noonwall.logs.period import Period
    from noonwall.logs.records import Finding, Floats

NEARLY = 0.05  # of a link's heat: so little on other days is no other figure
MOST_SPELLS = 3  # of dates told of one cause
MISHAPS = {
    "fans dead": ("dead", "the fans stood still though they were wanted"),
    "flap stuck open": ("reversed", "the flap let air sink at night"),
    "switch drift": ("fans", "the switch closed elsewhere than before"),
    "short cycling": ("fans", "the fans started and stopped too often"),
    "held by the room switch": ("fans", "the room's switch held the fans back"),
}


@dataclass(frozen=True)
class Cause:
    """One thing that was found.

    ``text``  a clause with its dates;  ``key``  of the link of the chain it belongs to
    ``kwh``   what that link moves on those dates, positive for more heat; of sensors: what the raw readings would add
    """

    text: str
    key: str
    kwh: float


Spells = tuple[tuple[int, int], ...]  # first and last day of each, counted from the period's first


def causes(chain: Chain, findings: Sequence[Finding], period: Period) -> tuple[Cause, ...]:
    """Return what was found, the largest first by how much heat its link of the chain moves.

    findings   of the last check of the readings
    """
    links = {item.key: item for item in (*chain.links, chain.sensors)}
    told = [
        *_shade(chain, period),
        *_cover(chain, period),
        *_mishaps(chain, period),
        *_sensors(findings, period),
    ]
    told.sort(key=lambda item: -abs(links[item[0]].kwh))
    many = Counter(key for key, _, _ in told)
    return tuple(
        Cause(text, key, _heat(links[key], spells, alone=many[key] == 1)) for key, text, spells in told
    )


def _heat(link: Link, spells: Spells, *, alone: bool) -> float:
    """Return what a link moves on some days; all of it where that is nearly the same, so that one figure is told."""
    part = _within(link.by_day, spells)
    return link.kwh if alone and abs(part - link.kwh) <= NEARLY * abs(link.kwh) else part


def _within(by_day: Floats, spells: Spells) -> float:
    """Return the sum over some days, each once."""
    days = np.zeros(len(by_day), bool)
    for first, last in spells:
        days[first : last + 1] = True
    return float(by_day[days].sum())


def _shade(chain: Chain, period: Period) -> Iterator[tuple[str, str, Spells]]:
    if chain.calendar is not None and chain.calendar.any_shade:
        spells = chain.calendar.stretches(period)
        dates = [dates_text(first, last, period) for first, last in spells]
        shown = dates if len(dates) <= MOST_SPELLS else [*dates[: MOST_SPELLS - 1], f"at last {dates[-1]}"]
        yield "shade", f"the wall is shaded more than described, {', '.join(shown)}", spells


def _cover(chain: Chain, period: Period) -> Iterator[tuple[str, str, Spells]]:
    at, dates = chain.scene, next(item.dates for item in chain.links if item.key == "cover")
    described = at.case.drive.pass_share[at.first : at.first + at.steps] < 1.0
    for text in dates:
        first, last = (
            int((np.datetime64(end) - period.first).astype(int)) for end in (text[:10], text[-10:])
        )
        wanted = described[first * STEPS : (last + 1) * STEPS].mean() > 0.5
        days = last - first + 1
        what = "the cover was not hung" if wanted else "the cover hung though it should not have"
        yield "cover", f"{what} {text} ({days} days)", ((first, last),)


def _mishaps(chain: Chain, period: Period) -> Iterator[tuple[str, str, Spells]]:
    for item in chain.mishaps:
        key, words = MISHAPS[item.kind]
        words += ", or it was not there yet," if item.never_else else ""
        yield key, f"{words} {dates_text(item.first, item.last, period)}", ((item.first, item.last),)


def _sensors(findings: Sequence[Finding], period: Period) -> Iterator[tuple[str, str, Spells]]:
    """Return exchanged sensors by name and dates, all else that was set aside or mended in one clause."""
    used = [item for item in findings if item.verdict != "used"]
    used = [item for item in used if item.to_s >= period.start_s and item.from_s < period.end_s]
    swaps: dict[tuple[int, int], list[str]] = {}
    for item in used:
        if item.kind == "swap":
            swaps.setdefault(_days(item, period), []).append(item.channel)
    for (first, last), names in swaps.items():
        text = f"{' and '.join(names)} were exchanged {dates_text(first, last, period)}"
        yield "sensors", text, ((first, last),)
    rest = [item for item in used if item.kind != "swap"]
    kinds = sorted({f"{item.kind} of {item.channel}" for item in rest})
    if kinds:
        more = f" and {len(kinds) - 3} more" if len(kinds) > 3 else ""
        text = f"readings were set aside or mended ({', '.join(kinds[:3])}{more})"
        yield "sensors", text, tuple(_days(item, period) for item in rest)


def _days(item: Finding, period: Period) -> tuple[int, int]:
    """Return the first and last day of a finding within the period."""
    first = max(item.from_s - period.start_s, 0)
    return first // DAY_S, (min(item.to_s, period.end_s - 1) - period.start_s) // DAY_S
