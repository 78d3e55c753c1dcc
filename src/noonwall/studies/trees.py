"""Which saw cut buys the most: every obstacle gone, topped or thinned, an order of cuts, and hidden pairs.

Each figure is the difference of two calculated years. Which years to calculate is guessed by the light that
cuts let through: at each step of the order the most promising cuts are calculated, and the best is made.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations, product
from typing import TYPE_CHECKING

from noonwall.assess.fuel import fuel_between
from noonwall.model.obstacle import Slope
from noonwall.shade.site import OVERHANG
from noonwall.studies.acts import Act, Plant, Years, top_of
from noonwall.studies.guess import Guess
from noonwall.studies.runner import silent
from noonwall.studies.trial import Trial

if TYPE_CHECKING:
    from noonwall.assess.fuel import FuelSaved
    from noonwall.climate.weather import Weather
    from noonwall.model.project import Project
    from noonwall.studies.acts import Acts, Way
    from noonwall.studies.runner import Tell
    from noonwall.studies.trial import Yield

STEP_S = 900  # gains agree with those of five-minute steps within a hundredth, in a third of the time
TOP_SHARE = 2.0 / 3.0  # tops are cut off at this share of the height unless a height is given
THIN_SHARE = 0.5
MOST = 12
TRIED = 4  # cuts calculated at each step of the order, at most
NEAR = 0.75  # what is guessed to gain less than this of the best guess is not calculated
WORTH_WHILE = (
    0.01  # a cut that gains less than this of all that can be gained ends the order, and is not split up
)
FEW = 20  # of so few plants each is calculated by itself, whatever it takes
HARDLY = 0.005  # of more plants those that are guessed to gain less than this of it alone are not
HIDDEN = 0.25  # alone it gains less than this of what it gains once the other is gone
PAIRS = 3
LESS: tuple[Way, Way] = ("top", "thin")


@dataclass(frozen=True)
class Remedies:
    """What cutting means."""

    way: Way = "out"  # what the order of cuts does: takes out, tops or thins
    top_m: float | None = None  # height to cut tops off at; None: two thirds of each height
    thin: float = THIN_SHARE  # share of branches or stems taken out
    most: int = MOST  # steps of the order, at most


@dataclass(frozen=True)
class Cost:
    """What one obstacle costs: the gain without it, or with less of it; None where ``why`` says so."""

    name: str
    kind: str  # tree, row, stand, building, awning, post, wing wall, overhang, modules
    gone: Yield | None
    topped_m: float | None  # the height it was topped at
    topped: Yield | None
    thinned: Yield | None
    why: str  # why a figure is missing; empty if none is


@dataclass(frozen=True)
class Step:
    """One step of the order."""

    names: tuple[str, ...]  # one obstacle, or two that only gain together
    gain: Yield  # what it gains after all steps before it
    running_kwh: float  # heat of the season and electricity gained so far
    fuel: FuelSaved | None  # what the heater burns less of for it; None without a heater


@dataclass(frozen=True)
class Pair:
    """Two obstacles, one in the other's shadow: cut alone, the first hardly gains."""

    hidden: str
    other: str
    alone: Yield  # the first cut alone
    then: Yield  # the first cut once the other is gone


@dataclass(frozen=True)
class Cuts:
    """Everything about cutting on one site."""

    wanted: Remedies
    now: Yield  # with everything standing
    costs: tuple[Cost, ...]  # every obstacle, dearest first
    steps: tuple[Step, ...]
    pairs: tuple[Pair, ...]
    all_cut: Yield | None  # the gain when everything that can be cut is; None when nothing can
    can_be_cut: int
    runs: int  # years calculated
    step_s: int


def rank_cuts(
    project: Project,
    weather: Weather,
    wanted: Remedies | None = None,
    years_on: float = 0.0,
    step_s: int = STEP_S,
    tell: Tell = silent,
) -> Cuts:
    """Return what each obstacle costs and in which order cuts gain most.

    project   its trees, rows and stands can be cut; all other obstacles are told, not cut
    weather   any stretch of it;  years_on  years of growth, with the cuts made now [a]
    wanted    what cutting means;  step_s  step of the calculation [s]
    tell      called with (years calculated so far, years expected)
    """
    wanted = wanted or Remedies()
    plants = cuttable(project)
    years = Years(project, Trial(project, weather, step_s, years_on), years_on, tell)
    years.expected = 2 + len(kinds(project)) + 2 * len(plants) + 3 * min(wanted.most, len(plants))
    out = {plant.name: Act(plant.name, "out") for plant in plants}
    cuts = {plant.name: act for plant in plants if (act := act_on(project, plant, wanted.way, wanted))}
    years.calculate([frozenset(out.values()), frozenset(cuts.values())])
    costs = _costs(years, plants, wanted, Guess(years, out))
    guess = Guess(years, cuts)
    return Cuts(
        wanted=wanted,
        now=years.now,
        costs=costs,
        steps=_order(years, guess, wanted.most),
        pairs=_pairs(years, guess),
        all_cut=years.gain(frozenset(cuts.values())) if cuts else None,
        can_be_cut=len(cuts),
        runs=len(years.found),
        step_s=step_s,
    )


def cuttable(project: Project) -> tuple[Plant, ...]:
    """Return the obstacles that a saw can take down or thin."""
    return tuple(item for item in project.obstacles if isinstance(item, Plant))


def kinds(project: Project) -> dict[str, str]:
    """Return the kind of everything that shades by a name of its own: overhang, obstacles, modules."""
    hang = project.wall.overhang
    found = {OVERHANG: OVERHANG} if hang is not None and hang.depth_m > 0.0 else {}
    found |= {item.name: item.kind for item in project.obstacles if not isinstance(item, Slope)}
    return found | {field.name: "modules" for field in project.pv}


def act_on(project: Project, plant: Plant, way: Way, wanted: Remedies) -> Act | None:
    """Return a cut of one plant, or None where it would change nothing."""
    if way == "out":
        return Act(plant.name, "out")
    if way == "thin":
        return Act(plant.name, "thin", wanted.thin)
    top, base = top_of(project, plant)
    at = TOP_SHARE * top if wanted.top_m is None else wanted.top_m
    return Act(plant.name, "top", at) if base < at < top else None


def _costs(years: Years, plants: tuple[Plant, ...], wanted: Remedies, guess: Guess) -> tuple[Cost, ...]:
    """Return what each obstacle costs, dearest first.

    guess  about what it gains to take the plants out: those that hardly matter are not calculated
    """
    grown = {plant.name: plant for plant in plants}
    alone = {name: guess.more((), (name,)) for name in grown}
    told = {name for name in grown if len(grown) <= FEW or alone[name] > HARDLY * guess.whole}
    less = {name for name in grown if alone[name] > WORTH_WHILE * guess.whole}
    acts: dict[tuple[str, Way], Acts] = {}
    for name in kinds(years.project):
        if name not in grown or name in told:
            acts[name, "out"] = frozenset({Act(name, "out")})
        for way in LESS if name in less else ():
            act = act_on(years.project, grown[name], way, wanted)
            if act is not None:
                acts[name, way] = frozenset({act})
    years.calculate(acts[key] for key in sorted(acts))

    def gain(name: str, way: Way) -> Yield | None:
        return years.gain(acts[name, way]) if (name, way) in acts else None

    def cost(name: str, kind: str) -> Cost:
        topped = acts.get((name, "top"))
        return Cost(
            name=name,
            kind=kind,
            gone=gain(name, "out"),
            topped_m=next(act.amount for act in topped) if topped else None,
            topped=gain(name, "top"),
            thinned=gain(name, "thin"),
            why=_why(name in grown, name in less, topped is not None),
        )

    costs = [cost(name, kind) for name, kind in kinds(years.project).items()]
    return tuple(sorted(costs, key=lambda cost: -cost.gone.worth if cost.gone else 0.0))


def _why(grows: bool, matters: bool, topped: bool) -> str:
    """Return why figures of an obstacle are missing; empty if none is."""
    if not grows:
        return "it does not grow"
    if not matters:
        return "it hardly takes light while the others stand"
    return "" if topped else "that height is above its top or below its lowest branches"


def _order(years: Years, guess: Guess, most: int) -> tuple[Step, ...]:
    """Return the cuts that gain most, one after the other, or two at once where one alone gains less."""
    steps: list[Step] = []
    made: tuple[str, ...] = ()
    while len(steps) < most and len(made) < len(guess.names):
        before = frozenset(guess.cuts[name] for name in made)
        after = {names: before | {guess.cuts[name] for name in names} for names in _promising(guess, made)}
        years.calculate(after.values())
        guess.learn()
        gains = {names: years.gain(acts, before) for names, acts in after.items()}
        names = max(gains, key=lambda names: gains[names].worth / len(names), default=())
        if not names or gains[names].worth < WORTH_WHILE * guess.whole:
            break
        made += names
        fuel = fuel_between(0.0, gains[names].backup, years.project.shop.heater)  # a gain: after less before
        steps.append(Step(names, gains[names], years.gain(after[names]).worth, fuel))
    return tuple(steps)


def _promising(guess: Guess, made: tuple[str, ...]) -> list[tuple[str, ...]]:
    """Return the next cuts worth calculating: the best single ones, and pairs that beat them cut for cut."""
    left = [name for name in guess.names if name not in made]
    found: dict[tuple[str, ...], float] = {(name,): guess.more(made, (name,)) for name in left}
    best = max(found.values(), default=0.0)
    matter = [name for name in left if guess.last(name) > WORTH_WHILE * guess.whole]
    double = {pair: guess.more(made, pair) / 2.0 for pair in combinations(matter, 2)}
    found = {names: gain for names, gain in found.items() if gain >= NEAR * best}
    found |= {pair: gain for pair, gain in double.items() if gain > best}
    return sorted(found, key=lambda names: -found[names])[:TRIED]


def _pairs(years: Years, guess: Guess) -> tuple[Pair, ...]:
    """Return the cuts that gain hardly anything until another is made, as calculated years confirm it."""
    alone = {name: guess.more((), (name,)) for name in guess.names}
    hidden = {}
    matter = [name for name in guess.names if guess.last(name) > WORTH_WHILE * guess.whole]
    for name, other in product(matter, (name for name in guess.names if guess.share(name) > HARDLY)):
        then = guess.more((other,), (name,)) if other != name else 0.0
        if then > WORTH_WHILE * guess.whole and alone[name] < HIDDEN * then:
            hidden[name, other] = then - alone[name]
    likely = sorted(hidden, key=lambda pair: -hidden[pair])[:PAIRS]
    one = {name: frozenset({guess.cuts[name]}) for pair in likely for name in pair}
    years.calculate([*one.values(), *(one[name] | one[other] for name, other in likely)])
    pairs = (
        Pair(name, other, years.gain(one[name]), years.gain(one[name] | one[other], one[other]))
        for name, other in likely
    )
    return tuple(pair for pair in pairs if pair.alone.worth < HIDDEN * pair.then.worth)
