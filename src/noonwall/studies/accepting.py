"""Cases of the worst hours that a builder lives with: each for the pieces it was given for, and no others."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from noonwall.model.edit import set_value
from noonwall.model.file import from_text

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from noonwall.assess.hot import CaseHeat
    from noonwall.model.project import Hot


def pieces_over(case: CaseHeat) -> list[str]:
    """Return the pieces of a case that are above a published limit, as pages call them."""
    return [
        heat.piece.label
        for heat in case.pieces
        if any(limit.published and heat.hottest_c > limit.value_c for limit in heat.piece.limits)
    ]


def judged(cases: tuple[CaseHeat, ...], hot: Hot) -> tuple[CaseHeat, ...]:
    """Return the cases, accepted where the project says so of every piece that is above a limit in them."""
    return tuple(replace(case, accepted=_covers(case, hot)) for case in cases)


def given_for(hot: Hot, case: str) -> tuple[str, tuple[str, ...]] | None:
    """Return the day on which a case was accepted and the pieces it was accepted for; None where neither is noted."""
    rows = [(day, piece) for name, day, piece in hot.accepted_for if name == case]
    return (max(day for day, _ in rows), tuple(piece for _, piece in rows)) if rows else None


def _covers(case: CaseHeat, hot: Hot) -> bool:
    """Return whether a case is accepted; one that only its name stands for, as written by hand, is so whole."""
    given = given_for(hot, case.case)
    return case.case in hot.accepted and (given is None or set(pieces_over(case)) <= set(given[1]))


def write_accepted(text: str, turned: Mapping[str, Sequence[str] | None], day: str) -> str:
    """Return a project's text with cases accepted for pieces on a day (YYYY-MM-DD), or for None no longer accepted.

    What stands there of other cases stays.
    """
    hot = from_text(text).hot
    left = [case for case in hot.accepted if turned.get(case, ()) is not None]
    now = [*left, *(case for case, pieces in turned.items() if pieces is not None and case not in left)]
    rows = [list(row) for row in hot.accepted_for if row[0] not in turned]
    rows += [[case, day, piece] for case, pieces in turned.items() for piece in pieces or ()]
    text = set_value(text, "hot.accepted", now or None)
    return set_value(text, "hot.accepted_for", rows or None)
