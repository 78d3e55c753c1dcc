"""Which cut gains most: figures are differences of calculated years, the order is the best at each step."""

from __future__ import annotations

import time
from functools import cache, partial

import pytest
from pytest import approx

from fakes.projects import demo, plain
from fakes.suns import STEP_S, demo_cuts, demo_weather
from noonwall.model.obstacle import Tree
from noonwall.studies.acts import Act, Years, top_of
from noonwall.studies.guess import Guess
from noonwall.studies.runner import silent, together
from noonwall.studies.trees import HIDDEN, WORTH_WHILE, Remedies, act_on, cuttable, kinds, rank_cuts
from noonwall.studies.trial import Trial


def without(*names):
    """Return the demo as a builder would describe it after felling."""
    project = demo()
    return project.model_copy(
        update={"obstacles": tuple(o for o in project.obstacles if o.name not in names)}
    )


FEW = without("fir 2", "fir 4", "fir 5", "fir 6", "fir 7", "fir 8", "fir 9", "neighbour's shed")


@cache
def few_cuts():
    return rank_cuts(FEW, demo_weather(), step_s=STEP_S)


@cache
def given(*names, step_s=STEP_S):
    project = without(*names)
    from noonwall.shade.site import scene_of

    return Trial(project, demo_weather(), step_s).given(scene_of(project))


def test_a_gain_is_the_difference_of_two_years_each_calculated_from_its_own_description():
    cuts = demo_cuts()
    assert cuts.now.heat == approx(given().heat, rel=1e-9)
    for cost in cuts.costs[:2]:
        if cost.kind == "tree":
            gain = given(cost.name).less(given())
            assert cost.gone.heat_kwh == approx(gain.heat_kwh, abs=1e-6)
            assert cost.gone.pv_kwh == approx(gain.pv_kwh, abs=1e-6)


def test_running_totals_are_the_years_after_all_cuts_so_far():
    made = ()
    for step in demo_cuts().steps[:3]:
        before, made = made, (*made, *step.names)
        assert step.gain.heat == approx(given(*made).heat - given(*before).heat, abs=1e-6)
        assert step.running_kwh == approx(given(*made).worth - given().worth, abs=1e-6)


def test_each_step_gains_most_of_all_single_cuts_that_are_left():
    made = ()
    for step in demo_cuts().steps[:2]:
        left = [
            plant.name for plant in cuttable(demo()) if plant.name not in {*made, "fir 7", "fir 8", "fir 9"}
        ]
        best = max(given(*made, name).worth for name in left) - given(*made).worth
        assert step.gain.worth / len(step.names) >= best - 1e-6
        made += step.names


def test_the_order_ends_with_all_that_can_be_gained():
    cuts = demo_cuts()
    assert cuts.steps[-1].running_kwh == approx(cuts.all_cut.worth, rel=0.05)
    assert all(step.gain.worth >= WORTH_WHILE * cuts.all_cut.worth for step in cuts.steps)
    assert len({name for step in cuts.steps for name in step.names}) == sum(len(s.names) for s in cuts.steps)


def test_topping_and_thinning_gain_less_than_taking_out():
    for cost in demo_cuts().costs:
        for less in (cost.topped, cost.thinned):
            if less is not None:
                assert 0.0 < less.worth < cost.gone.worth
        assert (cost.topped is None or cost.thinned is None) == bool(cost.why)


def test_hidden_pairs_gain_only_together():
    pairs = demo_cuts().pairs
    assert pairs
    for pair in pairs:
        assert pair.alone.worth < HIDDEN * pair.then.worth
        then = given(pair.hidden, pair.other).less(given(pair.other))
        assert pair.then.worth == approx(then.worth, abs=1e-6)


# Two dense trees in one line with the wall: either alone is hidden behind the other.
def test_two_trees_in_line_are_cut_together():
    def fir(name, north):
        return Tree(name=name, species="fir", east=0.0, north=north, height=9.0, crown_base=0.3, crown_width=9.0,
                    passes_in_leaf=0.0, passes_bare=0.0)  # fmt: skip

    near, far = fir("near", -10.0), fir("far", -11.0)
    site = plain(obstacles=(near, far))
    cuts = rank_cuts(site, demo_weather(), step_s=STEP_S)
    assert {frozenset(step.names) for step in cuts.steps} == {frozenset({"near", "far"})}
    assert {frozenset({pair.hidden, pair.other}) for pair in cuts.pairs} == {frozenset({"near", "far"})}


def test_the_guess_is_near_enough_to_choose_by():
    years = Years(demo(), Trial(demo(), demo_weather(), STEP_S), 0.0, silent)
    out = {plant.name: Act(plant.name, "out") for plant in cuttable(demo())}
    everything = frozenset(out.values())
    alone = {name: frozenset({act}) for name, act in out.items()}
    years.calculate([everything, *alone.values()])
    guess = Guess(years, out)
    for name, acts in alone.items():
        assert guess.worth([name]) == approx(years.gain(acts).worth, rel=0.3, abs=0.015 * guess.whole)
    assert guess.worth(out) == approx(guess.whole, rel=0.1)
    assert guess.worth([]) == 0.0


@pytest.mark.parametrize(("way", "top_m"), [("top", 6.0), ("thin", None)])
def test_an_order_of_topping_or_thinning(way, top_m):
    cuts = rank_cuts(FEW, demo_weather(), Remedies(way, top_m, 0.4, most=2), step_s=STEP_S)
    assert len(cuts.steps) == 2
    assert cuts.steps[0].names == ("big maple",)
    assert 0.0 < cuts.steps[-1].running_kwh < cuts.all_cut.worth < few_cuts().all_cut.worth
    if top_m is not None:
        assert {cost.topped_m for cost in cuts.costs} <= {None, top_m}


def test_a_top_above_the_tree_or_below_its_branches_is_no_cut():
    plant = cuttable(demo())[0]
    top, base = top_of(demo(), plant)
    for height in (base, 0.5 * base, top, top + 1.0):
        assert act_on(demo(), plant, "top", Remedies(top_m=height)) is None
    assert act_on(demo(), plant, "top", Remedies(top_m=0.5 * (base + top))) is not None


def test_a_site_without_trees_has_nothing_to_cut():
    cuts = rank_cuts(plain(), demo_weather(), step_s=STEP_S)
    assert (cuts.steps, cuts.pairs, cuts.all_cut, cuts.can_be_cut) == ((), (), None, 0)
    assert [cost.name for cost in cuts.costs] == ["overhang"]
    assert cuts.costs[0].gone.season_heat > 0.0


def test_everything_that_shades_by_name_is_told():
    assert set(kinds(demo())) == {cost.name for cost in demo_cuts().costs}
    assert kinds(plain()) == {"overhang": "overhang"}


def test_grown_trees_cost_more():
    later = rank_cuts(FEW, demo_weather(), Remedies(most=1), years_on=10.0, step_s=STEP_S)
    assert later.now.worth < few_cuts().now.worth
    assert later.all_cut.worth > few_cuts().all_cut.worth


# Gains at a quarter hour and four strips against five minutes and eight: the same order, within 2 % or 1 kWh.
def test_quarter_hours_and_few_strips_rank_as_the_full_calculation_does():
    from noonwall.engine.simulate import simulate

    names = ("big maple", "fir 3")
    full = {
        name: simulate(without(*name), demo_weather()).whole().delivered_kwh
        for name in ((), *((n,) for n in names))
    }
    for name in names:
        coarse = given(name, step_s=900).heat - given(step_s=900).heat
        assert coarse == approx(full[name,] - full[()], rel=0.02, abs=1.0)


def test_the_same_ranking_twice_and_progress_told():
    told = []
    wanted = Remedies(most=1)
    again = rank_cuts(
        demo(), demo_weather(), wanted, step_s=STEP_S, tell=lambda done, of: told.append((done, of))
    )
    assert again.steps[0] == demo_cuts().steps[0]
    assert [done for done, _ in told] == sorted(done for done, _ in told)
    assert all(0 < done <= of for done, of in told)


def test_ctrl_c_ends_it_at_once():
    ran = []

    def stopped():
        raise KeyboardInterrupt

    def slow(number):
        time.sleep(0.005)
        ran.append(number)

    with pytest.raises(KeyboardInterrupt):
        together([stopped, *(partial(slow, number) for number in range(2000))])
    assert len(ran) < 1000
