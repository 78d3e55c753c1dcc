"""What went wrong with fans, flap and switch: told by readings held against the engine's own day."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from noonwall.logs.period import DAY_S, STEP_S
from noonwall.logs.runs import ran, with_flap

if TYPE_CHECKING:
    from noonwall.engine.simulate import Case
    from noonwall.logs.period import Period
    from noonwall.logs.records import Floats
    from noonwall.logs.runs import Run, Scene
    from noonwall.logs.seen import Seen
    from noonwall.model.project import Project

STEPS = DAY_S // STEP_S
HOT_OVER_K = 1.5  # over the closing temperature: an honest switch has closed
HOT_STEPS = 2  # quarter hours a day
NEEDED_H = 0.75  # of fans that the engine wants on a day for its silence to tell, where no hot gap tells it
HINTED_H = 0.25  # the same where a hot gap does
LONG_STEPS = 6  # quarter hours of a hot gap that tell without the engine
DEAD_DAYS = 2
DRIFT_K = 3.0
RESTED_STEPS = 4  # quarter hours without fans before a start that tells
STARTS = 8  # on each side of a drift
NIGHT_DAYS = 5
CYCLING_STEPS = 8  # quarter hours a day in which the fans ran for a part only
CYCLING_DAYS = 3
HELD_H = 2.0
CLEARLY = 0.7  # of the times on either side of a parting
ALWAYS = 0.95  # of the nights told
FLAP_RISE = 0.5  # of the way from a flap that shuts to one that stands open


@dataclass(frozen=True)
class Mishap:
    """Something that went wrong: kind, first and last day of it (counted from the period's first), evidence."""

    kind: str  # "fans dead", "switch drift", "short cycling", "held by the room switch", "flap stuck open"
    first: int
    last: int
    evidence: str
    never_else: bool = (
        False  # of a flap: on hardly any night read was it seen to shut; maybe it was not there yet
    )


def dead_fans(project: Project, what: Seen, own: Run) -> list[Mishap]:
    """Return stretches of days on which the fans were needed and stood still throughout.

    own   the engine with its own switches under the lived weather
    """
    if what.fan_share is None:
        return []
    ran_h = _by_day(np.nan_to_num(what.fan_share)).sum(axis=1) * STEP_S / 3600.0
    known = np.isfinite(_by_day(what.fan_share)).mean(axis=1) > 0.8
    wanted_h = _by_day(own.fan_share).sum(axis=1) * STEP_S / 3600.0
    needed = wanted_h >= NEEDED_H
    close_c = _close_c(project)
    if what.gap_top_c is not None and close_c is not None:
        hot = np.nan_to_num(what.gap_top_c, nan=-99.0) > close_c + HOT_OVER_K
        held = held_still(project, what)
        hot = hot if held is None else hot & ~held
        waited = hot.reshape(-1, STEPS).sum(axis=1)
        needed = ((waited >= HOT_STEPS) & (wanted_h >= HINTED_H)) | (waited >= LONG_STEPS)
    still = known & (ran_h < 0.02)
    found, silent = [], needed & still
    for first, last in _spells(silent, ~still):
        days = int(silent[first : last + 1].sum())
        if days >= DEAD_DAYS:
            text = f"on {days} days the fans were wanted for {wanted_h[first : last + 1].sum():.0f} h and stood still"
            found.append(Mishap("fans dead", first, last, text))
    return found


def _spells(marks: np.ndarray, breaks: np.ndarray) -> list[tuple[int, int]]:
    """Return first and last mark of each run of marks with no break between."""
    out: list[tuple[int, int]] = []
    open_at = None
    last = 0
    for day in range(len(marks)):
        if breaks[day] and open_at is not None:
            out.append((open_at, last))
            open_at = None
        if marks[day]:
            open_at = day if open_at is None else open_at
            last = day
    if open_at is not None:
        out.append((open_at, last))
    return out


def _close_c(project: Project) -> float | None:
    """Return the temperature at which the gap's switch starts the fans, None when the gap does not decide."""
    found = [s.close for s in project.switches if s.kind == "close on rise" and s.spot == "gap top"]
    return found[0] if len(found) == 1 else None


def switch_drift(project: Project, what: Seen) -> list[Mishap]:
    """Return where the gap's switch begins to start the fans at another temperature than before."""
    if what.fan_share is None or what.gap_top_c is None or _close_c(project) is None:
        return []
    on = np.nan_to_num(what.fan_share, nan=-1.0)
    at = _rested_starts(on)
    felt = np.maximum(what.gap_top_c[at - 1], what.gap_top_c[at])
    at, felt = at[np.isfinite(felt)], felt[np.isfinite(felt)]
    if len(at) < 2 * STARTS:
        return []
    places = range(STARTS, len(at) - STARTS + 1)
    shifts = np.array([np.median(felt[i:]) - np.median(felt[:i]) for i in places])
    best = int(np.argmax(np.abs(shifts)))
    cut = best + STARTS
    spread = max(_spread(felt[:cut]), _spread(felt[cut:]))
    if abs(shifts[best]) < max(DRIFT_K, 1.5 * spread):
        return []
    before, after = float(np.median(felt[:cut])), float(np.median(felt[cut:]))
    text = f"the fans used to start with the gap at {_degrees(before)}, now at {_degrees(after)}"
    return [Mishap("switch drift", int(at[cut]) // STEPS, int(at[-1]) // STEPS, text)]


def _rested_starts(on: Floats) -> np.ndarray:
    """Return the steps at which fans start that stood still for an hour; a restart tells less of the switch."""
    still = np.concatenate([[0.0], np.cumsum(on == 0.0)])
    at = np.flatnonzero(on > 0.0)
    at = at[at >= RESTED_STEPS]
    return np.asarray(at[still[at] - still[at - RESTED_STEPS] == RESTED_STEPS])


def short_cycling(what: Seen) -> list[Mishap]:
    """Return the days on which the fans started so often that each run was a few minutes; only if readings tell."""
    if what.fan_share is None:
        return []
    share = np.nan_to_num(what.fan_share)
    partly = _by_day(((share > 0.05) & (share < 0.6)).astype(float)).sum(axis=1)
    fully = _by_day((share >= 0.6).astype(float)).sum(axis=1)
    days = np.flatnonzero((partly >= CYCLING_STEPS) & (partly > 2.0 * fully))
    if len(days) < CYCLING_DAYS:
        return []
    text = f"on {len(days)} days they ran a few minutes at a time for two hours or more: they start and stop"
    return [Mishap("short cycling", int(days[0]), int(days[-1]), text)]


def held_by_the_room(project: Project, what: Seen) -> list[Mishap]:
    """Return where a switch that feels the room kept the fans still while the gap was warm."""
    limit = _room_limit_c(project)
    held = held_still(project, what)
    if limit is None or held is None or what.shop_c is None:
        return []
    hours = float(held.sum()) * STEP_S / 3600.0
    if hours < HELD_H:
        return []
    days = np.flatnonzero(held.reshape(-1, STEPS).any(axis=1))
    text = f"the room switch kept them still for {hours:.0f} h while the gap was warm"
    opens_c = room_opens_c(project, what)
    if opens_c is not None and opens_c < limit - DRIFT_K:
        text += f", from {_degrees(opens_c)} in the shop on; it should open at {_degrees(limit)}"
    return [Mishap("held by the room switch", int(days[0]), int(days[-1]), text)]


def held_still(project: Project, what: Seen) -> np.ndarray | None:
    """Return the steps on which the room's switch held the fans off a warm gap, shape (n,); None: not to be told."""
    limit, waiting = _room_limit_c(project), _waiting(project, what)
    if limit is None or waiting is None or what.shop_c is None:
        return None
    opens_c = room_opens_c(project, what)
    least = limit - 1.5 if opens_c is None else min(opens_c, limit - 1.5)
    return np.asarray(waiting & (np.nan_to_num(what.shop_c, nan=-99.0) > least))


def room_opens_c(project: Project, what: Seen) -> float | None:
    """Return the warmth of the shop that parts fans that ran from fans held still; None when none does clearly."""
    waiting = _waiting(project, what)
    if _room_limit_c(project) is None or waiting is None or what.shop_c is None or what.fan_share is None:
        return None
    ran_then = np.nan_to_num(what.fan_share) > 0.5
    told = np.isfinite(what.shop_c) & (waiting | ran_then)
    shop, still = what.shop_c[told], waiting[told]
    best, parting = 0.0, None
    for limit_c in np.arange(5.0, 30.0, 0.5):
        above, below = still[shop > limit_c], still[shop <= limit_c]
        if min(len(above), len(below)) < HELD_H * 3600.0 / STEP_S:
            continue
        if above.mean() > CLEARLY and below.mean() < 1.0 - CLEARLY and above.mean() - below.mean() > best:
            best, parting = float(above.mean() - below.mean()), float(limit_c)
    return parting


def _room_limit_c(project: Project) -> float | None:
    """Return the warmth of the shop at which the first switch that feels it opens."""
    found = [
        s.open
        for s in project.switches
        if s.kind == "open on rise" and s.spot == "room" and s.open is not None
    ]
    return min(found) if found else None


def _waiting(project: Project, what: Seen) -> np.ndarray | None:
    """Return the steps on which the gap called for fans that stood still, shape (n,); None: not to be told."""
    close_c = _close_c(project)
    if close_c is None or what.fan_share is None or what.gap_top_c is None:
        return None
    still = np.nan_to_num(what.fan_share, nan=1.0) < 0.05
    return np.asarray(still & (np.nan_to_num(what.gap_top_c, nan=-99.0) > close_c + HOT_OVER_K))


def _degrees(celsius: float) -> str:
    return f"{celsius:.0f} °C ({1.8 * celsius + 32.0:.0f} °F)"


def _spread(values: Floats) -> float:
    """Return half the width of the middle two thirds."""
    low, high = np.percentile(values, [16.7, 83.3])
    return float(high - low) / 2.0


def flap_open(at: Scene, case: Case, what: Seen, period: Period) -> tuple[list[Mishap], Floats | None]:
    """Return when a flap stood open at night, and how far it did night by night, shape (days,).

    case   with fans and cover as they were: the nights are held against a flap that shuts and one that is stuck
    """
    if (
        at.project.wall.flap is None
        or what.gap_top_c is None
        or what.gap_bottom_c is None
        or what.shop_c is None
    ):
        return [], None
    shut, stuck = ran(at, with_flap(case, 0)), ran(at, with_flap(case, 1))
    hour = np.arange(at.steps) * STEP_S % DAY_S / 3600.0
    night = (hour < 6.0) | (hour >= 21.0)

    def lean(top: Floats, low: Floats, shop: Floats) -> Floats:
        return _night(np.where(night, (shop - top) / np.maximum(shop - low, 1.0), np.nan))

    real = lean(what.gap_top_c, what.gap_bottom_c, what.shop_c)
    closed = lean(shut.gap_top_c, shut.gap_bottom_c, shut.room_c)
    opened = lean(stuck.gap_top_c, stuck.gap_bottom_c, stuck.room_c)
    apart = opened - closed
    way = np.where(np.abs(apart) > 0.08, (real - closed) / np.where(apart == 0.0, 1.0, apart), np.nan)
    open_night = np.array([_middle(way, day) > FLAP_RISE for day in range(period.days)])
    told = np.isfinite(way)
    never_shut = bool(told.any()) and float(open_night[told].mean()) > ALWAYS
    found = []
    for first, last in _spells(open_night, ~open_night):
        if last - first + 1 >= NIGHT_DAYS:
            text = f"for {last - first + 1} nights the gap cooled as with a flap that stands open"
            text += ", and on no other as with one that shuts" if never_shut else ""
            found.append(Mishap("flap stuck open", first, last, text, never_shut))
    return found, way


def _night(values: Floats) -> Floats:
    folded = _by_day(values)
    out = np.full(len(folded), np.nan)
    enough = np.isfinite(folded).sum(axis=1) >= 8
    out[enough] = np.nanmedian(folded[enough], axis=1)
    return out


def _middle(values: Floats, day: int) -> float:
    near = values[max(0, day - 3) : day + 4]
    near = near[np.isfinite(near)]
    return float(np.median(near)) if len(near) >= 3 else 0.0


def _by_day(values: Floats) -> Floats:
    return values.reshape(-1, STEPS)
