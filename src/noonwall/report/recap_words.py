"""The first sentences of a recap: what came in beside what was to be expected, and what that figure hangs on."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from noonwall.report.cause_words import cause_words, headline
from noonwall.report.reader import percent

if TYPE_CHECKING:
    from noonwall.report.reader import Reader

SHOWS = "What was changed since shows up below as a difference."
AS_IT_STANDS = (
    "All below is held against the project as it stands now, so what was changed shows up as a difference."
)


def answer(document: dict[str, Any], reader: Reader) -> list[str]:
    """Return a recap's sentences: the three figures, how sure the measured one is, the verdict with what was found.

    document   as the command prints it
    """
    return [
        *warning(document, reader),
        lead(document, reader),
        f"{_sure(document, reader)} {_moves(document)}".rstrip(),
        *headline(reader.dated(document["verdict"]), _found(document, reader)),
        *_expectation(document, reader),
    ]


def warning(document: dict[str, Any], reader: Reader) -> list[str]:
    """Return what must be known before the first figure: the project was changed after these days; else nothing."""
    kept, changed = document.get("project_kept"), document.get("project_changed") or []
    parts = f"{', '.join(changed[:-1])} and {changed[-1]}" if len(changed) > 1 else "".join(changed)
    when = reader.day_text(kept, year=True) if kept else ""
    if document.get("as_was") and kept:
        other = f" Changed since: {parts}." if parts else ""
        return [f"Held against your project as it was on {when}, when these readings were read in.{other}"]
    if not document.get("changed_since"):
        return []
    if kept:
        return [
            f"Your project was changed after these readings were read in on {when}: {parts}. {AS_IT_STANDS}"
        ]
    written = reader.day_text(document["project_written"], year=True)
    return [f"Your project was last written on {written}, after these days. {SHOWS}"]


def lead(document: dict[str, Any], reader: Reader) -> str:
    """Return what was measured, what the weather should have given, and what the project counts on in a usual year."""
    measured = document["measured"]["heat_kwh"]
    expected, typical = document["whole"]["expected_kwh"], document["chain"]["expected_kwh"]
    if document["whole"]["measured_kwh"] is None:
        return (
            "No heat was measured in this time, so there is nothing to hold against what was to be expected."
        )
    came = f"{reader.heat_text(measured)} came into the shop"
    if measured < 0.0:
        came = f"{reader.heat_text(-measured)} more went out of the shop than came in"
    return (
        f"{came}. With the weather you had, {_whose(document)} {_net(expected or 0.0, reader)}; on the same days of "
        f"a typical year, {_net(typical, reader)}."
    )


def _whose(document: dict[str, Any]) -> str:
    if document.get("as_was"):
        return "your project as it was then promised"
    return (
        "your project as it stands would have promised"
        if document.get("changed_since")
        else "your project promised"
    )


def _net(kwh: float, reader: Reader) -> str:
    return f"{reader.heat_text(-kwh)} going out" if kwh < 0.0 else reader.heat_text(kwh)


def _sure(document: dict[str, Any], reader: Reader) -> str:
    """Return how sure the measured figure is, and of which hours all three are."""
    days, error = document["days"], reader.heat_text(document["measured"]["error_kwh"])
    blank = sum(row["measured_kwh"] is None for row in days)
    nothing = f" (on {blank} of {len(days)} days in none)" if blank else ""
    share = percent(document["period"]["known_share"])
    return (
        f"What came in was measured in {share} of the hours{nothing}, give or take {error}, less what went out at "
        "night; the other two are of the same hours."
    )


def _moves(document: dict[str, Any]) -> str:
    """Return why what was measured moves with the project; empty where it does not."""
    if not document.get("reckoned"):
        return ""
    if not document.get("changed_since"):
        return "It is reckoned from temperatures with fans and openings as described: change them and it moves too."
    return (
        "It is reckoned anew with fans and openings as they stand now, the project having been changed after these "
        "days: change them and it moves again."
    )


def anew(before: dict[str, Any] | None, document: dict[str, Any], reader: Reader) -> str | None:
    """Return that what was measured has just been reckoned anew, and what it was; None where it stayed.

    before   the document shown before the last change, None without one
    """
    if before is None or before["period"] != document["period"] or not document.get("reckoned"):
        return None
    was, now = (reader.heat_text(one["measured"]["heat_kwh"]) for one in (before, document))
    return None if was == now else f"Reckoned anew since the last change: before it, {was} came in."


def _found(document: dict[str, Any], reader: Reader) -> list[str]:
    if not document.get("causes"):
        return []
    told = zip(document["causes"], document["causes_link"], document["causes_kwh"], strict=True)
    return cause_words(told, reader)


def _expectation(document: dict[str, Any], reader: Reader) -> list[str]:
    told = document.get("expectation")
    if document.get("changed_since") or document.get("as_was"):
        return []  # said before the first figure
    return [f"{reader.dated(told[:1].upper() + told[1:])}."] if told else []
