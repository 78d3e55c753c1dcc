"""What was found to have gone otherwise than described, in plain words with dates, the largest first."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from noonwall.logs.links import STEPS, dates_text
from noonwall.logs.period import DAY_S

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from noonwall.logs.chain import Chain
    from noonwall.logs.period import Period
    from noonwall.logs.records import Finding

MISHAPS = {
    "fans dead": ("dead", "the fans stood still though they were wanted"),
    "flap stuck open": ("reversed", "the flap let air sink at night"),
    "switch drift": ("fans", "the switch closed elsewhere than before"),
    "short cycling": ("fans", "the fans started and stopped too often"),
    "held by the room switch": ("fans", "the room's switch held the fans back"),
}


def causes(chain: Chain, findings: Sequence[Finding], period: Period) -> tuple[str, ...]:
    """Return what was found, each a clause with its dates, by how much heat its link of the chain moves.

    findings   of the last check of the readings
    """
    heat = {item.key: abs(item.kwh) for item in (*chain.links, chain.sensors)}
    told = [*_shade(chain), *_cover(chain, period), *_mishaps(chain, period)]
    told += [("sensors", text) for text in _sensors(findings, period)]
    told.sort(key=lambda pair: -heat[pair[0]])
    return tuple(text for _, text in told)


def causes_sentence(found: Sequence[str]) -> str:
    """Return causes as one sentence, empty for none.

    >>> causes_sentence(["the fans stood still 2025-02-08 to 2025-02-16"])
    'Found, largest first: the fans stood still 2025-02-08 to 2025-02-16.'
    """
    return f"Found, largest first: {'; '.join(found)}." if found else ""


def _shade(chain: Chain) -> Iterator[tuple[str, str]]:
    if chain.calendar is not None and chain.calendar.any_shade:
        first = chain.calendar.words[0].split(" to ")[0]
        last = chain.calendar.words[-1].split(" to ")[1].split(":")[0]
        many = len(chain.calendar.words)
        spells = "" if many == 1 else f" in {many} half months"
        yield "shade", f"the wall is shaded more than described{spells}, {first} to {last}"


def _cover(chain: Chain, period: Period) -> Iterator[tuple[str, str]]:
    at, dates = chain.scene, next(item.dates for item in chain.links if item.key == "cover")
    described = at.case.drive.pass_share[at.first : at.first + at.steps] < 1.0
    for text in dates:
        first, last = (
            int((np.datetime64(end) - period.first).astype(int)) for end in (text[:10], text[-10:])
        )
        wanted = described[first * STEPS : (last + 1) * STEPS].mean() > 0.5
        days = last - first + 1
        what = "the cover was not hung" if wanted else "the cover hung though it should not have"
        yield "cover", f"{what} {text} ({days} days)"


def _mishaps(chain: Chain, period: Period) -> Iterator[tuple[str, str]]:
    for item in chain.mishaps:
        key, words = MISHAPS[item.kind]
        yield key, f"{words} {dates_text(item.first, item.last, period)}"


def _sensors(findings: Sequence[Finding], period: Period) -> Iterator[str]:
    """Return exchanged sensors by name and dates, all else that was set aside or mended in one clause."""
    used = [item for item in findings if item.verdict != "used"]
    used = [item for item in used if item.to_s >= period.start_s and item.from_s < period.end_s]
    swaps: dict[tuple[int, int], list[str]] = {}
    for item in used:
        if item.kind == "swap":
            swaps.setdefault((item.from_s, item.to_s), []).append(item.channel)
    for (begin, end), names in swaps.items():
        first = max(begin - period.start_s, 0) // DAY_S
        last = min(end, period.end_s - 1) - period.start_s
        yield f"{' and '.join(names)} were exchanged {dates_text(first, last // DAY_S, period)}"
    kinds = sorted({f"{item.kind} of {item.channel}" for item in used if item.kind != "swap"})
    if kinds:
        more = f" and {len(kinds) - 3} more" if len(kinds) > 3 else ""
        yield f"readings were set aside or mended ({', '.join(kinds[:3])}{more})"
