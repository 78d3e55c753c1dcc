"""Columns of a new file that may go on where a known channel stopped: a new logger, or an old one renamed."""

from __future__ import annotations

import difflib
import re
from collections import Counter
from dataclasses import dataclass, replace
from itertools import count
from typing import TYPE_CHECKING

from noonwall.logs.maps import GENERAL, Spec
from noonwall.logs.words import said_by

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from noonwall.logs.guess import ColumnGuess, Guess
    from noonwall.logs.records import Channel

ALIKE = 0.6  # of two names' letters; common practice, no source
NEAR_M = 0.15  # heights nearer than this are one place; common practice, no source
MOST_OFFERED = 6
YOUR_WORD = "your word"  # reason of a column that the builder has spoken on


@dataclass(frozen=True)
class Join:
    """One column that may belong to channels that are known.

    ``spec`` of each channel is what to type after the column's name to go on with it; ``apart`` what to type to
    keep the column on its own
    """

    column: str
    text: str
    channels: tuple[tuple[Channel, Spec], ...]  # the likeliest first
    apart: Spec

    @property
    def key(self) -> str:
        """What to type before the "="."""
        return f"column {self.column}" if self.column in GENERAL else self.column

    @property
    def typed(self) -> str:
        """The question as the command tells it."""
        answers = [f"--map '{self.key}={spec.text()}'" for _, spec in self.channels]
        return f"  please check: {self.text}; go on with it by {' or '.join(answers)}"


def joins(guess: Guess, known: Sequence[Channel]) -> tuple[Join, ...]:
    """Return the columns that the builder has not spoken on yet and that may go on with a known channel.

    known   channels of the store
    """
    taken = {item.name for item in guess.columns if item.role != "skip"}
    free = [
        item for item in known if item.name not in taken and item.measure != "text" and ";" not in item.name
    ]
    open_ = [
        item for item in guess.columns if item.role != "skip" and item.reason.split("; ")[0] != YOUR_WORD
    ]
    found = [_of_role(item, free) for item in open_ if item.role not in ("other", "remark")]
    pairs = [pair for pair in found if pair is not None]
    told = [_join(item, [one]) for item, one in pairs if _nearest(item, one, pairs)]
    left = [one for one in free if one.name not in {join.channels[0][0].name for join in told}]
    unsaid = [(item, _offered(item, known, left)) for item in open_ if item.role == "other"]
    told += [_join(item, channels) for item, channels in unsaid if channels]
    order = [item.column for item in guess.columns]
    return tuple(sorted(told, key=lambda join: order.index(join.column)))


def as_known(guess: Guess, known: Sequence[Channel]) -> Guess:
    """Return a guess whose columns go on with channels of the same name but for capitals, blanks and hyphens.

    Where such a channel measures something else or hangs elsewhere, the column gets a name that can be told from it.

    known   channels of the store
    """
    exact = {one.name for one in known}
    folded = Counter(_folded(one.name) for one in known)
    used = Counter(_folded(item.name) for item in guess.columns if item.role != "skip")
    lone = {
        _folded(one.name): one for one in known if folded[_folded(one.name)] == used[_folded(one.name)] == 1
    }

    def named(item: ColumnGuess) -> ColumnGuess:
        one = lone.get(_folded(item.name))
        if one is None or item.role == "skip" or item.name in exact or not _alike_but_for_case(item, one):
            return item
        reason = "; ".join(text for text in (item.reason, f'goes on with "{one.name}"') if text)
        return replace(
            item, name=one.name, height_m=one.height_m, plane=one.plane, where=one.place, reason=reason
        )

    return _told_apart(replace(guess, columns=tuple(named(item) for item in guess.columns)), known)


def _told_apart(guess: Guess, known: Sequence[Channel]) -> Guess:
    """Give a number to each column whose name nobody could tell from another's, and say so."""
    exact = {one.name for one in known}
    others = {_folded(one.name): one.name for one in known}
    columns, notes = [], []
    for understood in guess.columns:
        item = understood
        twin = None if item.role == "skip" or item.name in exact else others.get(_folded(item.name))
        if twin is not None:
            name = next(n for i in count(2) if _folded(n := f"{item.name} ({i})") not in others)
            notes.append(
                f'column "{item.column}" is kept apart from "{twin}" and called "{name}", so that the two can be told '
                "from each other"
            )
            reason = "; ".join(text for text in (item.reason, f'apart from "{twin}"') if text)
            item = replace(item, name=name, reason=reason)
        if item.role != "skip":
            others.setdefault(_folded(item.name), item.name)
        columns.append(item)
    return replace(guess, columns=tuple(columns), notes=(*guess.notes, *notes)) if notes else guess


def _folded(name: str) -> str:
    return re.sub(r"[\s_\-]+", "", name).casefold()


def _alike_but_for_case(item: ColumnGuess, one: Channel) -> bool:
    same = (item.role, item.measure, item.kind, item.stamp) == (one.role, one.measure, one.kind, one.stamp)
    return same and _same_place(item, one)


def _of_role(item: ColumnGuess, free: Sequence[Channel]) -> tuple[ColumnGuess, Channel] | None:
    """Return the one known channel of a column's role and place, None for none."""
    fit = [
        one
        for one in free
        if one.role == item.role and one.measure == item.measure and _same_place(item, one)
    ]
    return (item, max(fit, key=lambda one: _alike(item.column, one))) if fit else None


def _same_place(item: ColumnGuess, one: Channel) -> bool:
    apart = (
        item.height_m is not None and one.height_m is not None and abs(item.height_m - one.height_m) > NEAR_M
    )
    other_plane = item.plane is not None and one.plane is not None and item.plane != one.plane
    other_room = item.where is not None and one.place is not None and item.where != one.place
    counts = {item.kind, one.kind}
    return not (apart or other_plane or other_room) and (len(counts) == 1 or counts <= {"point", "mean"})


def _nearest(item: ColumnGuess, one: Channel, pairs: Iterable[tuple[ColumnGuess, Channel]]) -> bool:
    """Return whether no other column of the file comes nearer to a channel by its name."""
    rivals = [other for other, channel in pairs if channel.name == one.name]
    return item is max(rivals, key=lambda other: _alike(other.column, one))


def _offered(item: ColumnGuess, known: Sequence[Channel], free: Sequence[Channel]) -> list[Channel]:
    """Return the channels that a column of unknown meaning may go on with: the one of like name, else thermometers."""
    if item.measure not in ("number", "temperature"):
        return []
    fit = sorted(
        (one for one in known if one.measure == "temperature"), key=lambda one: -_alike(item.column, one)
    )
    if fit and _alike(item.column, fit[0]) >= ALIKE:
        return [fit[0]] if fit[0] in free else []
    return [one for one in fit if one in free and one.role != "other"][:MOST_OFFERED]


def _alike(column: str, one: Channel) -> float:
    """Return how alike a heading is to a channel's name or role, numbers and signs left out, 0 to 1."""
    return max(
        difflib.SequenceMatcher(None, _letters(column), _letters(word)).ratio()
        for word in (one.name, one.role)
    )


def _letters(name: str) -> str:
    bare = re.sub(
        r"\b(temp|temperature|sensor|logger|probe)\b",
        "",
        re.sub(r"[\W_\d]+", " ", said_by(name).bare.lower()),
    )
    return "".join(bare.split()) or name.lower()


def _join(item: ColumnGuess, channels: Sequence[Channel]) -> Join:
    unit = said_by(item.column).unit
    specs = tuple((one, _spec(one, unit)) for one in channels)
    if item.role == "other":
        text = (
            f'column "{item.column}" does not say what it is; if it hangs where an earlier one did, say which'
        )
    else:
        text = (
            f'column "{item.column}" reads as {channels[0].role}, and "{channels[0].name}" is known already; in the '
            "same place (a new logger, a new name) it goes on under that name"
        )
    apart = item.spec() if item.unit and unit else replace(item.spec(), unit=None)
    return Join(item.column, text, specs, apart)


def _spec(one: Channel, unit: str | None) -> Spec:
    return Spec(
        one.role, unit, one.name, one.height_m, one.plane, one.place,
        one.kind if one.kind != "point" else None, one.stamp if one.stamp != "point" else None,
    )  # fmt: skip
