"""The story of learning: readings and a description in, values with their spread out, judged on other days."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from noonwall.engine.simulate import WHOLE_YEAR_DAYS
from noonwall.logs.learn.fit import Fit, fit
from noonwall.logs.learn.judge import Error, Measure, errors, measures
from noonwall.logs.learn.misfit import channels_of, coarse, differences
from noonwall.logs.learn.readings import DAY_S, HOUR_S, check, refined
from noonwall.logs.learn.trial import Trials
from noonwall.logs.learn.uncertainty import ALIKE, NINETY
from noonwall.logs.learn.weather import known_outside, weather_of

if TYPE_CHECKING:
    from collections.abc import Callable

    from numpy.typing import NDArray

    from noonwall.climate.weather import Weather
    from noonwall.engine.numbers import Floats
    from noonwall.logs.learn.parameters import Parameter
    from noonwall.logs.learn.readings import Measured
    from noonwall.logs.learn.weather import Outside
    from noonwall.model.project import Project

    Tell = Callable[[int, int], None]

LEAD_DAYS = 60  # before a shorter stretch, in the project's weather: the ground remembers
ENGINE_STEP_S = 600
PART_DAYS = 10  # stretches that teach and judge by turns
SUN_SENSOR = 0.02  # a sun sensor's own uncertainty, as a factor's spread; common practice, no source


@dataclass(frozen=True)
class Value:
    """One parameter: what was assumed and what was learned, in its unit.

    ``factor``  learned over assumed (learned less assumed where ``plus``);  ``low``, ``high``  90 % interval
    ``told``    whether the readings tell it; if not, the value is the assumed one and the interval the belief's
    """

    key: str
    title: str
    unit: str
    plus: bool
    assumed: float
    learned: float
    low: float
    high: float
    factor: float
    told: bool
    at_bound: bool
    spread: float  # standard deviation on the search's axis
    spread_before: float


@dataclass(frozen=True)
class Curve:
    """One channel by hour (or day): measured, with the learned values, with the assumed ones; shape (m,)."""

    channel: str
    step_s: int
    measured: Floats
    learned: Floats
    assumed: Floats
    judges: NDArray[np.bool_]


@dataclass(frozen=True)
class Learned:
    """All that was learned from a stretch of readings."""

    start: np.datetime64
    days: float
    step_s: int
    values: tuple[Value, ...]
    alike: tuple[tuple[str, str, float], ...]  # two parameters that go together, and how much
    offset_k: dict[str, float]  # of each sensor, as far as it shows
    errors: tuple[Error, ...]
    errors_assumed: tuple[Error, ...]
    measures: tuple[Measure, ...]
    measures_assumed: tuple[Measure, ...]
    curves: tuple[Curve, ...]
    days_left_out: int
    runs: int
    notes: tuple[str, ...]


def silent(done: int, of: int) -> None:
    """Tell nobody."""
    del done, of


def learn(
    project: Project,
    base: Weather,
    measured: Measured,
    outside: Outside,
    tell: Tell = silent,
    engine_step_s: int = ENGINE_STEP_S,
) -> Learned:
    """Learn what the readings tell of a project's parameters.

    base      the project's weather; it stands in where outdoors nothing was measured
    measured, outside   readings at the same steps, from a midnight on, whole days
    tell      called with (runs done, runs planned); an exception raised in it ends the learning at once
    engine_step_s   the engine's step: fans that switch every few minutes look weaker at a longer one
    Returns   values with their spread, judged on days that did not teach
    Raises    LearningError when too little was measured
    """
    check(measured)
    outside = outside.refined(max(1, measured.step_s // engine_step_s))
    measured = refined(measured, engine_step_s)
    lead = 0 if measured.days >= WHOLE_YEAR_DAYS else LEAD_DAYS * DAY_S // measured.step_s
    measured, outside = measured.padded(lead), outside.padded(lead)
    weather, notes = weather_of(project, base, outside, measured.start, measured.step_s, measured.steps)
    read = outside.air_c is not None and bool(np.isfinite(outside.air_c).any())
    trials = Trials(project, weather, measured, outdoors_read=read, usual=base)
    return learn_from(trials, known_outside(outside, measured.step_s, measured.steps), lead, notes, tell)


def learn_from(
    trials: Trials,
    known: NDArray[np.bool_],
    lead: int,
    notes: tuple[str, ...],
    tell: Tell = silent,
    turn: int = 2,
) -> Learned:
    """Learn by trials that are ready to be run.

    known   (steps,) where the weather is known;  lead   steps before the first reading
    turn    which of every three stretches of days judges, 0 to 2
    """
    measured = trials.measured
    per = HOUR_S // measured.step_s
    hours = measured.steps // per
    usable: NDArray[np.bool_] = np.asarray(known[: hours * per].reshape(-1, per).all(axis=1))
    part_h = max(1, min(PART_DAYS, int((measured.steps - lead) * measured.step_s / DAY_S) // 9)) * 24
    teach: NDArray[np.bool_] = (np.arange(hours) - lead // per) // part_h % 3 != turn
    channels = channels_of(measured, teach, usable)
    found = fit(trials, channels, tell)
    assumed, learned = trials.channels(np.zeros(len(found.x))), trials.channels(found.x)
    judging = usable & ~teach & (np.arange(hours) * per >= lead + 3 * 24 * per)
    before = differences(found.channels, assumed, measured.step_s)
    after = differences(found.channels, learned, measured.step_s)
    after = {name: rest - found.offset.get(name, 0.0) for name, rest in after.items()}
    return Learned(
        start=measured.start + np.timedelta64(lead * measured.step_s, "s"),
        days=(measured.steps - lead) * measured.step_s / DAY_S,
        step_s=measured.step_s,
        values=values_of(trials, found),
        alike=_alike(trials.parameters, found),
        offset_k=found.offset,
        errors=errors(found.channels, after),
        errors_assumed=errors(found.channels, before),
        measures=measures(measured, learned, judging, found.offset),
        measures_assumed=measures(measured, assumed, judging, {}),
        curves=tuple(
            Curve(
                item.name,
                DAY_S if item.kind.daily else HOUR_S,
                item.value[_from(lead, measured.step_s, item.kind.daily) :],
                coarse(learned[item.name], measured.step_s, item.kind)[
                    _from(lead, measured.step_s, item.kind.daily) :
                ]
                + found.offset.get(item.name, 0.0),
                coarse(assumed[item.name], measured.step_s, item.kind)[
                    _from(lead, measured.step_s, item.kind.daily) :
                ],
                item.judges[_from(lead, measured.step_s, item.kind.daily) :],
            )
            for item in found.channels
        ),
        days_left_out=sum(len(days) for days in found.days_left_out.values()),
        runs=found.runs,
        notes=notes,
    )


def _from(lead: int, step_s: int, daily: bool) -> int:
    return lead * step_s // (DAY_S if daily else HOUR_S)


def values_of(trials: Trials, found: Fit) -> tuple[Value, ...]:
    """Return the fit's values in their units, what the sun's sensor cannot know added to the spread."""
    out = []
    for i, p in enumerate(p for p in trials.parameters if not p.sensor):
        x, sd = float(found.x[i]), float(found.spread.sd[i])
        if p.key == "glazing_absorber" and found.told[i]:
            sd = float(np.hypot(sd, SUN_SENSOR))
        assumed = p.assumed(trials.case)
        reach = NINETY * sd
        out.append(
            Value(
                key=p.key,
                title=p.title,
                unit=p.unit,
                plus=p.plus,
                assumed=assumed,
                learned=p.value(assumed, x),
                low=p.value(assumed, x - reach),
                high=p.value(assumed, x + reach),
                factor=p.factor(x),
                told=found.told[i],
                at_bound=found.at_bound[i],
                spread=sd,
                spread_before=p.spread,
            )
        )
    return tuple(out)


def _alike(parameters: tuple[Parameter, ...], found: Fit) -> tuple[tuple[str, str, float], ...]:
    """Return pairs of told parameters that the readings can hardly tell apart."""
    told = [i for i, yes in enumerate(found.told) if yes]
    alike = found.spread.alike
    return tuple(
        (parameters[a].key, parameters[b].key, float(alike[a, b]))
        for a in told
        for b in told
        if a < b and abs(alike[a, b]) > ALIKE
    )
