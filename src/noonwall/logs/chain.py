"""The story of a recap: expected on the typical year, then one thing after the other as it really was."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from typing import TYPE_CHECKING

import numpy as np

from noonwall.logs import cover_seen, mishaps
from noonwall.logs.links import STEPS, Link, dates_text, known_kwh, link
from noonwall.logs.measured import measure
from noonwall.logs.runs import (
    kwh,
    ran,
    scene,
    with_cover,
    with_fans,
    with_flap,
    with_loss,
    with_stop,
)
from noonwall.logs.seen import seen
from noonwall.logs.sun_calendar import shaded_case, sun_calendar

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from noonwall.engine.simulate import Case
    from noonwall.logs.measured import Measured
    from noonwall.logs.mishaps import Mishap
    from noonwall.logs.period import Period
    from noonwall.logs.records import Finding, Floats
    from noonwall.logs.runs import Run, Scene
    from noonwall.logs.seen import Seen
    from noonwall.logs.store import Store
    from noonwall.logs.sun_calendar import SunCalendar
    from noonwall.logs.weather_of import Lived
    from noonwall.model.project import Project

    Progress = Callable[[int, int], None]

STAGES = 7
LOSS_LOW, LOSS_HIGH, LOSS_TRIALS = 0.6, 1.7, 9
GOLDEN = 0.6180339887498949
ROOM_ERROR_K = 0.5  # a day's mean of the shop that counts as one fault in fitting its loss
HEATER_ERROR_SHARE = 0.1  # of the heater's heat that counts as one
HABITS = ("switch drift", "short cycling", "held by the room switch")
COVER_DAYS = 3  # a cover hung or down for so many days otherwise than told


@dataclass(frozen=True)
class Chain:
    """Runs and links of a recap; arrays of shape (n,) over the period's steps."""

    typical: Run
    own_weather: Run  # the project's assumptions under the lived weather
    best: Run  # with all that was seen put in
    seen: Seen
    measured: Measured
    raw_net_w: Floats  # what the readings say when nothing is set aside or mended
    known: np.ndarray
    links: tuple[Link, ...]  # from expected to measured; the last is the rest
    sensors: Link  # from measured on to what raw readings would say
    mishaps: tuple[Mishap, ...]
    calendar: SunCalendar | None
    loss_factor: float | None
    scene: Scene
    best_case: Case

    @property
    def expected_kwh(self) -> float:
        """Expected by the typical year over the compared hours."""
        return known_kwh(self.typical.net_w, self.known)

    @property
    def measured_kwh(self) -> float:
        """Measured over the compared hours."""
        return known_kwh(self.measured.net_w, self.known)


def make_chain(
    project: Project, store: Store, period: Period, lived: Lived, progress: Progress | None = None
) -> Chain:
    """Run the engine link by link.

    progress  called with (stages done, of)
    Raises    WeatherError, SolveError
    """
    tell = progress or (lambda _done, _of: None)
    heater = project.shop.heater
    power = None if heater is None else heater.power_w
    what = seen(store, period, power)
    expected, at = scene(project, lived.typical, period), scene(project, lived.actual, period)
    typical, own = ran(expected), ran(at)
    tell(1, STAGES)
    cases: list[tuple[str, Case, Run, tuple[str, str], tuple[str, ...] | None]] = []
    case, words, dates = _cover(at, what, period)
    cases.append(("cover", case, ran(at, case), words, dates))
    tell(2, STAGES)
    fans = case if what.fan_share is None else with_fans(at, case, what.fan_share)
    calendar = sun_calendar(at, fans, what, period)
    if calendar is not None and calendar.any_shade:
        case = shaded_case(at, case, calendar.dim, calendar.mask, calendar.span)
    cases.append(("shade", case, ran(at, case), _shade_words(calendar), None))
    tell(3, STAGES)
    loss = _loss(at, case, what)
    case = case if loss is None else with_loss(case, loss)
    auto = ran(at, case)
    cases.append(("shop", case, auto, _loss_words(loss), None))
    tell(4, STAGES)
    found = [
        *mishaps.dead_fans(project, what, auto),
        *mishaps.switch_drift(project, what),
        *mishaps.short_cycling(what),
        *mishaps.held_by_the_room(project, what),
    ]
    dead = [item for item in found if item.kind == "fans dead"]
    case = _without(at, case, dead)
    dead_dates = tuple(dates_text(item.first, item.last, period) for item in dead)
    cases.append(("dead", case, ran(at, case), _dead_words(dead), dead_dates))
    case = case if what.fan_share is None else with_fans(at, case, what.fan_share)
    cases.append(("fans", case, ran(at, case), _fan_words(what, auto, found), None))
    tell(5, STAGES)
    stuck, _ = mishaps.flap_open(at, case, what, period)
    found += stuck
    case, last = _flap(at, case, cases[-1][2], stuck)
    flap_dates = tuple(dates_text(item.first, item.last, period) for item in stuck)
    cases.append(("reversed", case, last, _flap_words(at, what, stuck), flap_dates))
    tell(6, STAGES)
    pressure = float(at.case.drive.pressure_pa.mean())
    opened = _nights(at, stuck) if stuck else None
    measured = measure(what, last, pressure, opened)
    measured = replace(measured, notes=(*measured.notes, *what.notes))
    known = measured.known
    rows = [link("weather", NAMES["weather"], typical.net_w, own.net_w, known, period, _weather_words(lived))]
    before = own.net_w
    for key, _, run, told, when in cases:
        rows.append(link(key, NAMES[key], before, run.net_w, known, period, told, when))
        before = run.net_w
    rows.append(link("rest", NAMES["rest"], before, measured.net_w, known, period, _rest_words(measured)))
    raw = measure(seen(store, period, power, raw=True), last, pressure, opened)
    raw_net = np.where(np.isfinite(raw.net_w), raw.net_w, 0.0)
    sensors = link(
        "sensors", NAMES["sensors"], np.where(known, measured.net_w, 0.0), raw_net, np.ones(len(known), bool),
        period, _sensor_words(store.findings()),
    )  # fmt: skip
    tell(STAGES, STAGES)
    return Chain(
        typical, own, last, what, measured, raw_net, known, tuple(rows), sensors, tuple(found), calendar, loss,
        at, case,
    )  # fmt: skip


NAMES = {
    "weather": "the year's weather against the typical year",
    "cover": "cover dates",
    "shade": "shade nobody described",
    "shop": "the shop's losses",
    "dead": "fans that stood still",
    "fans": "fans at other hours than assumed",
    "reversed": "reversed flow at night",
    "rest": "the rest, not explained",
    "sensors": "sensors, had nobody looked",
}


def _cover(at: Scene, what: Seen, period: Period) -> tuple[Case, tuple[str, str], tuple[str, ...] | None]:
    """Return the case with the cover as it hung, evidence and advice, and the dates that differ."""
    described = (at.case.drive.pass_share[at.first : at.first + at.steps] < 1.0).astype(float)
    hung, source = (what.cover, what.cover_from) if what.cover is not None else (None, "")
    if hung is None:
        hung, source = cover_seen.cover_by_warmth(at, what), "the gap's warmth against the engine's"
    if hung is None:
        return at.case, ("nothing tells when the cover hung", "write down when it goes up and comes down"), ()
    day = np.nan_to_num(hung, nan=-1.0).reshape(-1, STEPS).mean(axis=1)
    told = described.reshape(-1, STEPS).mean(axis=1) > 0.5
    other = np.where(day < 0.0, False, (day > 0.5) != told)
    other = _long_enough(other, COVER_DAYS)
    as_it_was = np.where(np.repeat(other, STEPS), hung, described)
    found = cover_seen.stretches_of(as_it_was)
    really = ", ".join(dates_text(a, b, period) for a, b in found) or "never"
    thought = ", ".join(dates_text(a, b, period) for a, b in cover_seen.stretches_of(described)) or "never"
    spells = cover_seen.stretches_of(np.repeat(other.astype(float), STEPS))
    words = (
        f"by {source} it {'never hung' if really == 'never' else f'hung {really}'}; assumed: {thought}",
        "look at those dates; a cover hung late heats the shop in summer, one taken down late costs autumn heat"
        if spells
        else "nothing to do",
    )
    return with_cover(at, at.case, as_it_was), words, tuple(dates_text(a, b, period) for a, b in spells)


def _long_enough(marks: np.ndarray, least: int) -> np.ndarray:
    out = np.zeros(len(marks), bool)
    for first, last in cover_seen.stretches_of(np.repeat(marks.astype(float), STEPS)):
        if last - first + 1 >= least:
            out[first : last + 1] = True
    return out


def _loss(at: Scene, case: Case, what: Seen) -> float | None:
    """Return the shop's loss over the described one that explains its warmth and its heater best; None: unknown."""
    shop_c = what.shop_c
    if shop_c is None or np.isfinite(shop_c).mean() < 0.3:
        return None
    fans = case if what.fan_share is None else with_fans(at, case, what.fan_share)

    def cost(factor: float) -> float:
        run = ran(at, with_loss(fans, factor))
        return _misfit(run, shop_c, what, at)

    low, high = LOSS_LOW, LOSS_HIGH
    left, right = high - GOLDEN * (high - low), low + GOLDEN * (high - low)
    at_left, at_right = cost(left), cost(right)
    for _ in range(LOSS_TRIALS):
        if at_left < at_right:
            high, right, at_right = right, left, at_left
            left = high - GOLDEN * (high - low)
            at_left = cost(left)
        else:
            low, left, at_left = left, right, at_right
            right = low + GOLDEN * (high - low)
            at_right = cost(right)
    return 0.5 * (low + high)


def _misfit(run: Run, shop_c: Floats, what: Seen, at: Scene) -> float:
    """Return how far a run's shop and heater are from the measured ones, in faults that count as one."""
    gap = (run.room_c - shop_c).reshape(-1, STEPS)
    days = gap[np.isfinite(gap).all(axis=1)].mean(axis=1)
    warmth = float(np.sqrt(np.mean(days**2))) / ROOM_ERROR_K if len(days) else 0.0
    if what.heater_kwh is None or at.project.shop.heater is None:
        return warmth
    good = np.isfinite(what.heater_kwh)
    given, own = float(what.heater_kwh[good].sum()), kwh(np.where(good, run.backup_w, 0.0))
    return warmth + (abs(own - given) / (HEATER_ERROR_SHARE * given) if given > 1.0 else 0.0)


def _without(at: Scene, case: Case, dead: Sequence[Mishap]) -> Case:
    """Return the case with the fans kept still on some days."""
    if not dead:
        return case
    stopped = np.zeros(at.steps)
    for item in dead:
        stopped[item.first * STEPS : (item.last + 1) * STEPS] = 1.0
    return with_stop(at, case, stopped)


def _flap(at: Scene, case: Case, shut: Run, stuck: Sequence[Mishap]) -> tuple[Case, Run]:
    """Return the run in which the flap stands open on the nights told; other days keep the run before."""
    if not stuck:
        return case, shut
    opened = with_flap(case, 1)
    run = ran(at, opened)
    mask = _nights(at, stuck)
    mixed = {f.name: np.where(mask, getattr(run, f.name), getattr(shut, f.name)) for f in fields(run)}
    return opened, type(run)(**mixed)


def _nights(at: Scene, stuck: Sequence[Mishap]) -> np.ndarray:
    """Return where a flap stood open, whole days, shape (n,)."""
    mask = np.zeros(at.steps, bool)
    for item in stuck:
        mask[item.first * STEPS : (item.last + 1) * STEPS] = True
    return mask


def _weather_words(lived: Lived) -> tuple[str, str]:
    return "; ".join(lived.notes), "nothing to do"


def _shade_words(calendar: SunCalendar | None) -> tuple[str, str]:
    if calendar is None:
        return (
            "the gap's warmth was not measured: shade cannot be told",
            "a thermometer at the gap's top tells it",
        )
    if not calendar.any_shade:
        return "the gap warmed at the hours at which it should", "nothing to do"
    return calendar.told, "go out at those hours, see what stands in the sun, and put it in the project"


def _loss_words(loss: float | None) -> tuple[str, str]:
    if loss is None:
        return "the shop's air was not measured", "a thermometer in the shop tells it"
    words = (
        f"shop and heater are explained best by {100 * loss:.0f} % of the described loss; a warmer shop takes "
        "less from the wall, a colder one more"
    )
    return words, "learning from the readings tells which loss it is" if abs(
        loss - 1.0
    ) > 0.05 else "nothing to do"


def _dead_words(dead: Sequence[Mishap]) -> tuple[str, str]:
    if not dead:
        return "the fans ran on every day that needed them", "nothing to do"
    return "; ".join(
        item.evidence for item in dead
    ), "look at plug, fuse, switch and motor; a lamp would have told"


def _fan_words(what: Seen, auto: Run, found: Sequence[Mishap]) -> tuple[str, str]:
    if what.fan_share is None:
        return "nobody noted when the fans ran: they ran as the switches say", "log the fans' power"
    share = np.nan_to_num(what.fan_share)
    good = np.isfinite(what.fan_share)
    hours, own = share.sum() / 4.0, np.where(good, auto.fan_share, 0.0).sum() / 4.0
    starts = int(np.count_nonzero((share[1:] > 0.0) & (share[:-1] == 0.0)))
    more = "".join(f"; {item.evidence}" for item in found if item.kind in HABITS)
    words = f"by {what.fan_from} they ran {hours:.0f} h with {starts} starts seen, {own:.0f} h were expected{more}"
    small = abs(hours - own) < 0.1 * max(own, 1.0) and not more
    advice = "nothing to do" if small else "look at where the switch sits and what it is set to"
    return words, advice


def _flap_words(at: Scene, what: Seen, stuck: Sequence[Mishap]) -> tuple[str, str]:
    if at.project.wall.flap is None:
        return "the wall has no flap: what sinks at night is part of what was expected", "a flap stops it"
    if what.gap_bottom_c is None or what.gap_top_c is None:
        return "the gap was not measured at both ends: a flap cannot be watched", "two thermometers tell it"
    if not stuck:
        return "the gap at night is that of a flap that shuts", "nothing to do"
    advice = "look at the flap: dirt, ice, a warped film"
    if any(item.never_else for item in stuck):
        advice = f"if it was put in later, look back over the days since then alone; else {advice}"
    return "; ".join(item.evidence for item in stuck), advice


def _rest_words(measured: Measured) -> tuple[str, str]:
    if measured.level == "fans alone":
        return (
            "without a measured rise there is nothing to hold the engine against: no rest can be told",
            "a thermometer in the air that comes out of the wall tells it",
        )
    words = (
        "what none of the links explains; the measured heat has an error of its own, told below, most of it by "
        f"{measured.largest_error}"
    )
    return words, "within the error there is nothing to explain; beyond it look at glazing, dirt, leaks"


def _sensor_words(findings: Sequence[Finding]) -> tuple[str, str]:
    used = [item for item in findings if item.verdict != "used"]
    if not used:
        return "no reading was set aside or mended", "nothing to do"
    kinds = sorted({f"{item.kind} ({item.channel})" for item in used})
    return "set aside or mended: " + ", ".join(
        kinds
    ), "each is told with its dates where the readings are checked"
