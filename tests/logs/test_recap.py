"""The recap of the invented year: it adds up, it finds what was put in, it says what it does not know."""

from __future__ import annotations

import itertools
import json
import re
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import noonwall
from logs.lived import CHANNELS, chain_of, day_of, keep, shed
from noonwall.logs import invent as made
from noonwall.logs.errors import ReadingsError
from noonwall.logs.furnish import furnish
from noonwall.logs.links import link, telling_dates
from noonwall.logs.measured import measure
from noonwall.logs.period import Period, period_of
from noonwall.logs.recap import recap
from noonwall.logs.records import Conversion
from noonwall.logs.runs import kwh, ran, scene
from noonwall.logs.store import Store
from noonwall.model.templates import create
from noonwall.report.reader import Reader, percent
from noonwall.report.recap_document import recap_document
from noonwall.report.recap_page import recap_page
from noonwall.report.recap_steps import recap_steps

if TYPE_CHECKING:
    from pathlib import Path

    from noonwall.logs.recap import Recap

OFFSET_H = -5.0


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    place = tmp_path_factory.mktemp("shed") / "demo"
    furnish(create(place, demo=True))
    return place


@pytest.fixture(scope="module")
def year(folder: Path) -> Recap:
    with Store(folder) as store:
        return recap(noonwall.load(folder), store)


@pytest.fixture(scope="module")
def table() -> made.Invented:
    """Return the invented year without the sensors' exchange and gaps."""
    return made.invent(shed(), faults=made.Faults(swapped=None, gaps=()))


def test_the_chain_adds_up_exactly_over_all_and_day_by_day(year: Recap) -> None:
    chain = year.chain
    whole = chain.expected_kwh + sum(item.kwh for item in chain.links)
    assert whole == pytest.approx(chain.measured_kwh, rel=1e-12, abs=1e-9)
    for item in (*chain.links, chain.sensors):
        assert item.by_day.sum() == pytest.approx(item.kwh, rel=1e-9, abs=1e-9)
    raw = kwh(np.where(np.isfinite(chain.raw_net_w), chain.raw_net_w, 0.0))
    assert chain.measured_kwh + chain.sensors.kwh == pytest.approx(raw, rel=1e-9)


def test_months_seasons_and_days_are_the_same_sum(year: Recap) -> None:
    for rows in (year.days, year.months, year.seasons):
        for name in ("expected_kwh", "typical_kwh", "sun_kwh"):
            total = sum(getattr(row, name) for row in rows)
            assert total == pytest.approx(getattr(year.whole, name), rel=1e-9, abs=1e-6)
        assert sum(row.measured_kwh or 0.0 for row in rows) == pytest.approx(
            year.whole.measured_kwh, rel=1e-9
        )
    assert [row.name for row in year.months][:2] == ["2025-01", "2025-02"]
    assert year.whole.known_share == pytest.approx(1.0 - 48.25 / 8760.0, abs=2e-3)  # the two seeded gaps


def test_it_finds_what_was_put_into_the_invented_year(year: Recap) -> None:
    links = {item.key: item for item in year.chain.links}
    dead = [item for item in year.chain.mishaps if item.kind == "fans dead"]
    assert [(item.first, item.last + 1) for item in dead] == [made.Faults().fan_dead]
    assert links["dead"].dates == ("2025-02-08 to 2025-02-16",)
    assert len(links["cover"].dates) == 1
    first, last = links["cover"].dates[0].split(" to ")
    assert first == "2025-05-10"
    assert abs(day_of(last[5:]) - (day_of("05-29") - 1)) <= 3
    assert links["cover"].kwh > 50.0
    calendar = year.chain.calendar
    assert calendar is not None
    december, may = day_of("12-12") // 15, day_of("04-20") // 15
    assert calendar.cells[december, 24:32].mean() < 0.6  # after noon
    assert calendar.cells[december, 18:21].min() == 1.0  # before half past ten
    assert calendar.cells[may : day_of("09-20") // 15].min() == 1.0
    assert year.chain.loss_factor == pytest.approx(made.Faults().loss, rel=0.06)
    assert "swap (gap bottom), swap (gap top)" in year.chain.sensors.evidence
    assert year.chain.sensors.kwh < -5.0


@pytest.mark.parametrize(
    ("system", "said"),
    [("metric", ("from 11:00, ", "1.11 kg/m3")), ("us", ("from 11 am, ", "0.0693 lb/ft3"))],
)
def test_the_page_says_everything_in_the_readers_units(
    year: Recap, folder: Path, system: Any, said: tuple[str, ...]
) -> None:
    priced = replace(year, electricity_money=1.5)
    page = " ".join(str(recap_page(priced, noonwall.load(folder), Reader(system))).split())
    for words in (*said, " 75 gallons, about 195 USD at the project's price.", "cost 1.50 USD."):
        assert words in page
    if system == "us":
        assert "kg/m3" not in page and not re.search(r"\b\d\d:\d\d\b(?! [ap]m)", page)
    links = recap_steps(recap_document(year), Reader(system))["links"]
    assert any(said[0] in item["evidence"] for item in links)


def test_a_cause_that_is_nearly_a_whole_link_tells_the_links_figure(year: Recap) -> None:
    links = {item.key: item.kwh for item in year.chain.links}
    told = {item.key: item.kwh for item in year.causes}
    assert told["cover"] == links["cover"]
    assert told["shade"] == links["shade"]


@pytest.mark.parametrize(
    ("written", "said"),
    [
        (None, "; what was changed since the readings shows up"),
        (
            "2026-03-01",
            "last changed on 2026-03-01, after these days ended (2025-12-31): what was changed since",
        ),
        ("2025-06-01", "last changed on 2025-06-01, within these days (up to 2025-12-31): what"),
        ("2024-06-01", "last changed on 2024-06-01, before these days"),
    ],
)
def test_a_project_changed_since_the_readings_is_told(year: Recap, written: str | None, said: str) -> None:
    assert year.changed is not None
    assert year.kept is not None and not year.kept.changed and not year.since
    assert year.expectation.endswith("the same as when these readings were read in")
    found = replace(year, changed=written, kept=None)
    assert found.since is (written == "2026-03-01")
    assert said in found.expectation
    assert found.reckoned is not None
    assert recap_document(found)["project_written"] == written


@pytest.mark.parametrize("share", [0.9948, 0.9946, 0.99499, 0.0949])
def test_the_page_of_the_workbench_rounds_the_hours_as_the_command_does(year: Recap, share: float) -> None:
    partly = replace(year, whole=replace(year.whole, known_share=share))
    document = recap_document(partly)
    said = recap_steps(document, Reader())["answer"]
    assert any(f"measured in {percent(share)} of the hours" in line for line in said)
    assert document["whole"]["known_share"] == share


def test_shade_counts_as_much_as_the_true_trees_take(year: Recap, folder: Path) -> None:
    project = noonwall.load(folder)
    own, links = year.chain.scene, {item.key: item for item in year.chain.links}
    only_trees = made.truth(
        project,
        made.Faults(cover=("05-29", "09-20"), fan_flow=1.0, dirt_share=project.wall.glazing.dirt_share),
    )
    before = project.model_copy(update={"wall": only_trees.wall})
    true = [kwh(ran(scene(one, year.lived.actual, year.period)).net_w) for one in (before, only_trees)]
    assert own.steps == 365 * 96
    assert links["shade"].kwh == pytest.approx(true[1] - true[0], rel=0.15)
    assert links["shade"].kwh < -300.0


def test_the_lived_sun_gives_what_the_true_sun_gives(year: Recap, folder: Path) -> None:
    project = noonwall.load(folder)
    true = made.year_from_figures(project.site, made.SEED)
    heat = [kwh(ran(scene(project, sky, year.period)).net_w) for sky in (year.lived.actual, true)]
    assert heat[0] == pytest.approx(heat[1], rel=0.03)


def test_the_measured_heat_is_that_of_the_invented_truth(table: made.Invented, tmp_path: Path) -> None:
    project = shed()
    keep(tmp_path, table)
    chain = chain_of(tmp_path, project)
    real = made.truth(project, made.Faults())
    weather = made.year_from_figures(project.site, made.SEED)
    true = ran(scene(real, weather, Period(np.datetime64("2025-01-01"), 365, OFFSET_H)))
    brought = kwh(chain.measured.fan_w + chain.measured.rising_w)
    assert brought == pytest.approx(kwh(true.delivered_w), rel=0.06)
    assert abs(chain.measured_kwh - kwh(true.net_w)) < chain.measured.error_kwh


def test_the_walls_own_run_is_measured_as_itself(year: Recap) -> None:
    from dataclasses import replace

    own = year.chain.best
    itself = replace(
        year.chain.seen, shop_c=own.room_c, gap_bottom_c=own.gap_bottom_c, gap_top_c=own.gap_top_c,
        fan_share=own.fan_share,
    )  # fmt: skip
    again = measure(itself, own, 99_500.0)
    assert kwh(again.net_w) == pytest.approx(kwh(own.net_w), rel=1e-6)


def test_the_largest_error_is_named_and_all_are_in_it(year: Recap) -> None:
    measured = year.chain.measured
    assert measured.errors_kwh[measured.largest_error] == max(measured.errors_kwh.values())
    assert measured.error_kwh >= max(measured.errors_kwh.values())
    assert 1.0 < measured.density_kg_m3 < 1.3


def test_little_gives_a_wider_answer_and_says_so(table: made.Invented, tmp_path: Path) -> None:
    keep(tmp_path, table, ("outdoor", "shop", "fan power"), days=(50, 100))
    with Store(tmp_path) as store:
        found = recap(shed(), store)
    measured = found.chain.measured
    assert measured.level == "fans alone"
    assert found.verdict.startswith("not told")
    assert measured.error_kwh > 0.25 * abs(found.chain.measured_kwh)
    assert any("sun: not measured" in note for note in found.lived.notes)
    whole = found.chain.expected_kwh + sum(item.kwh for item in found.chain.links)
    assert whole == pytest.approx(found.chain.measured_kwh, rel=1e-12, abs=1e-9)


@pytest.mark.parametrize(
    "roles",
    [
        ("shop",), ("fan power",), ("gap top",), ("outdoor", "shop"), ("sun", "shop", "fan power"),
        ("gap bottom", "gap top", "shop"), ("outdoor", "shop", "gap top", "fan power"),
    ],
)  # fmt: skip
def test_any_few_sensors_give_a_recap_that_adds_up(
    table: made.Invented, tmp_path: Path, roles: tuple[str, ...]
) -> None:
    keep(tmp_path, table, roles, days=(70, 74))
    project = shed(flap=True)
    with Store(tmp_path) as store:
        found = recap(project, store)
    chain = found.chain
    whole = chain.expected_kwh + sum(item.kwh for item in chain.links)
    assert whole == pytest.approx(chain.measured_kwh, rel=1e-12, abs=1e-9)
    json.dumps(recap_document(found), allow_nan=False)
    for system in ("metric", "us"):
        assert "Where the difference went" in str(recap_page(found, project, Reader(system)))


@settings(max_examples=25, deadline=None, derandomize=True)
@given(seed=st.integers(0, 2**31), runs=st.integers(2, 8), holes=st.floats(0.0, 1.0))
def test_links_between_any_runs_telescope(seed: int, runs: int, holes: float) -> None:
    random = np.random.default_rng(seed)
    period = Period(np.datetime64("2025-01-01"), 5, OFFSET_H)
    powers = [random.normal(0.0, 2000.0, 5 * 96) for _ in range(runs)]
    known = random.uniform(size=5 * 96) >= holes
    powers[-1][~known] = np.nan  # where nothing was measured
    chain = [
        link("x", "x", before, after, known, period, ("", "")) for before, after in itertools.pairwise(powers)
    ]
    ends = [kwh(np.where(known, power, 0.0)) for power in (powers[0], powers[-1])]
    assert ends[0] + sum(item.kwh for item in chain) == pytest.approx(ends[1], rel=1e-9, abs=1e-9)


def test_fahrenheit_and_celsius_give_the_same_recap(table: made.Invented, tmp_path: Path) -> None:
    fahrenheit = Conversion("F", 32.0, 5.0 / 9.0)
    warm = {role: fahrenheit for role, (measure_of, _) in CHANNELS.items() if measure_of == "temperature"}
    said = []
    for name, units in (("C", {}), ("F", warm)):
        (tmp_path / name).mkdir()
        keep(tmp_path / name, table, days=(60, 75), conversions=units)
        with Store(tmp_path / name) as store:
            said.append(recap_document(recap(shed(), store)))
    one, other = said
    assert one["chain"]["measured_kwh"] == pytest.approx(other["chain"]["measured_kwh"], rel=1e-9)
    for a, b in zip(one["chain"]["links"], other["chain"]["links"], strict=True):
        assert a["kwh"] == pytest.approx(b["kwh"], abs=1e-6)
        assert a["dates"] == b["dates"]
    assert one["verdict"] == other["verdict"]


def test_dates_that_cannot_be_meant_are_told(folder: Path) -> None:
    with Store(folder) as store:
        for first, last, wrong in (
            ("2025-13-01", None, "no date"),
            ("2025-02", None, "no date"),
            ("2025-03-01", "2025-02-01", "no such time"),
            ("2020-01-01", "2020-02-01", "nothing was read then"),
        ):
            with pytest.raises(ReadingsError, match=wrong):
                period_of(store, OFFSET_H, first, last)
        part = period_of(store, OFFSET_H, "2024-12-01", "2025-01-10")
    assert (str(part.first), part.days, part.lead_days) == ("2025-01-01", 10, 21)


def test_a_store_without_readings_says_how_to_get_some(tmp_path: Path) -> None:
    with Store(tmp_path) as store, pytest.raises(ReadingsError, match="no reading of shop"):
        recap(shed(), store)


def test_dates_to_look_at_are_where_the_difference_lies() -> None:
    period = Period(np.datetime64("2025-01-01"), 60, OFFSET_H)
    by_day = np.zeros(60)
    by_day[20:29] = -3.0
    by_day[40] = 1.0
    assert telling_dates(by_day, period) == ("2025-01-21 to 2025-01-29",)
    assert telling_dates(np.zeros(60), period) == ()


def test_the_shipped_table_is_marked_and_is_what_the_generator_makes(table: made.Invented) -> None:
    import gzip

    packed = made.shipped_table()
    assert len(packed) < 500_000
    text = gzip.decompress(packed).decode()
    assert text.startswith("Invented readings")
    head = text.split("\n", 3)[1].split(",")
    assert head[1:] == list(made.HEADINGS.values())
    rows = np.array([line.split(",")[1:] for line in text.split("\n")[2:1500]], float)
    fresh = np.column_stack([table.columns[role][: len(rows)] for role in made.HEADINGS])
    assert np.abs(rows[:, 0] - fresh[:, 0]).max() == 0.0  # the weather, to the digit
    assert np.abs(rows[:, :4] - fresh[:, :4]).mean() < 1.0  # what the engine makes of it may move a little
