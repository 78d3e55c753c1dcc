from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from logs.stores import CELSIUS, OUTDOOR, SHOP, put
from noonwall.logs.errors import ReadingsError
from noonwall.logs.records import Channel, Conversion, Finding, Readings
from noonwall.logs.series import series, step_means, stretches, thin
from noonwall.logs.store import Store

if TYPE_CHECKING:
    from pathlib import Path

FAN = Channel("fan", "fan", "state", "state")
HOUR = 3600


def test_an_hour_of_steady_readings_is_their_mean_and_fully_covered(tmp_path: Path) -> None:
    with Store(tmp_path) as store:
        put(store, "a", {SHOP: [(60 * i, float(i // 60)) for i in range(-60, 240)]})
        found = series(store, "shop", 0, 3 * HOUR)
        assert found is not None
        assert found.share.tolist() == [1.0, 1.0, 1.0]
        # a reading on the full hour stands for half a minute on either side of it
        assert found.value == pytest.approx([0.0 + 1 / 120, 1.0 + 1 / 120, 2.0 + 1 / 120], abs=1e-9)
        assert found.time_s.tolist() == [0, HOUR, 2 * HOUR]


def test_a_gap_is_not_filled_and_its_share_is_told(tmp_path: Path) -> None:
    rows = [(60 * i, 5.0) for i in range(300) if not 60 <= i < 150]
    with Store(tmp_path) as store:
        put(store, "a", {SHOP: rows})
        found = series(store, "shop", 0, 4 * HOUR)
        assert found is not None
        assert found.share == pytest.approx([1.0, 0.0, 0.5, 1.0], abs=0.02)
        assert np.isnan(found.value[1])
        assert found.value[2] == 5.0


def test_a_switch_that_reports_changes_only_holds_between_them(tmp_path: Path) -> None:
    changes = [(0, 0.0), (9 * HOUR, 1.0), (9 * HOUR + 1800, 0.0), (11 * HOUR, 1.0), (14 * HOUR, 0.0)]
    changes += [(day * 86_400 + hour * HOUR, float(hour == 10)) for day in (1, 2) for hour in (10, 13)]
    with Store(tmp_path) as store:
        put(store, "a", {FAN: changes}, Conversion("1"))
        found = series(store, "fan", 0, 86_400)
        assert found is not None
        assert found.share.tolist() == [1.0] * 24
        assert float(found.value.sum()) == pytest.approx(3.5)


def test_a_counter_gives_what_it_gained_through_a_reset_and_a_short_gap(tmp_path: Path) -> None:
    meter = Channel("meter", "pv energy", "energy", "counter")
    rows = [(HOUR * i, 100.0 + 0.5 * i) for i in range(6)]
    rows += [(HOUR * 6, 0.25)] + [(HOUR * i, 0.25 + 0.5 * (i - 6)) for i in (9, 10)]
    with Store(tmp_path) as store:
        put(store, "a", {meter: rows}, Conversion("kWh"))
        found = series(store, "pv energy", 0, 10 * HOUR)
        assert found is not None
        assert found.value == pytest.approx([0.5] * 5 + [0.25] + [0.5] * 4)
        assert found.share == pytest.approx([1.0] * 10)


def test_an_amount_belongs_to_the_interval_before_its_stamp(tmp_path: Path) -> None:
    wood = Channel("wood", "fuel", "mass", "amount", stamp="end")
    with Store(tmp_path) as store:
        put(store, "a", {wood: [(HOUR * i, float(i)) for i in range(1, 9)]}, Conversion("kg"))
        found = series(store, "fuel", 0, 8 * HOUR, 2 * HOUR)
        assert found is not None
        assert found.value == pytest.approx([1.0 + 2.0, 3.0 + 4.0, 5.0 + 6.0, 7.0 + 8.0])


def test_two_sensors_of_a_role_give_their_mean_and_one_of_them_can_be_asked(tmp_path: Path) -> None:
    high = Channel("ceiling", "shop", "temperature", height_m=3.0)
    times = [60 * i for i in range(-5, 125)]
    with Store(tmp_path) as store:
        put(store, "a", {SHOP: [(t, 10.0) for t in times], high: [(t, 16.0) for t in times]})
        both = series(store, "shop", 0, 2 * HOUR)
        one = series(store, "shop", 0, 2 * HOUR, channels=(store.channel("ceiling"),))
        assert both is not None
        assert one is not None
        assert both.value.tolist() == [13.0, 13.0]
        assert both.notes == ("mean of bench, ceiling",)
        assert one.value.tolist() == [16.0, 16.0]
        assert series(store, "absorber", 0, HOUR) is None
        with pytest.raises(ReadingsError, match="no such time"):
            series(store, "shop", HOUR, HOUR)


STRETCHES = st.lists(
    st.tuples(st.integers(1, 400), st.integers(1, 4000), st.floats(-50.0, 90.0)), min_size=1, max_size=40
)


@settings(max_examples=80, deadline=None, derandomize=True)
@given(STRETCHES, st.integers(-500, 500))
def test_steps_never_make_nor_lose_anything(pieces: list[tuple[int, int, float]], start: int) -> None:
    gaps, lengths, values = (np.array(column, np.float64) for column in zip(*pieces, strict=True))
    begin = np.cumsum(gaps) + np.append(0.0, np.cumsum(lengths)[:-1])
    end = begin + lengths
    steps = int((end[-1] - start) // 700) + 2
    mean, share = step_means(begin, end, values, start, 700, steps)
    inside = np.clip(end, start, None) - np.clip(begin, start, None)
    filled = np.where(share > 0.0, mean, 0.0) * share * 700
    assert float(share.sum() * 700) == pytest.approx(float(inside.sum()), abs=1e-6)
    assert float(filled.sum()) == pytest.approx(float((inside * values).sum()), abs=1e-5)


@settings(max_examples=60, deadline=None, derandomize=True)
@given(st.lists(st.integers(1, 5000), min_size=1, max_size=300), st.sampled_from(["point", "state", "mean"]))
def test_stretches_never_overlap(gaps: list[int], kind: str) -> None:
    times = np.cumsum(np.array(gaps, np.int64))
    channel = Channel("x", "shop", "temperature", kind, stamp="end" if kind == "mean" else "point")  # type: ignore[arg-type]
    begin, end, _ = stretches(Readings(channel, times, np.ones(len(times))))
    assert np.all(end > begin)
    assert np.all(begin[1:] >= end[:-1] - 1e-6)


def test_thinning_keeps_the_picture() -> None:
    random = np.random.default_rng(2)
    times = np.arange(100_000, dtype=np.int64) * 60
    values = np.cumsum(random.normal(size=100_000))
    values[4321] += 500.0
    few_times, few = thin(times, values, 1000)
    assert len(few) <= 1000
    assert (few.max(), few.min()) == (values.max(), values.min())
    assert np.all(np.diff(few_times) > 0)
    assert np.isin(few_times, times).all()
    assert thin(times[:50], values[:50], 1000)[1] is not None


def test_what_is_set_aside_or_mended_goes_out_so_and_stays_raw_in_the_store(tmp_path: Path) -> None:
    minutes = [60 * i for i in range(600)]
    with Store(tmp_path) as store:
        put(store, "a", {SHOP: [(t, 20.0) for t in minutes], OUTDOOR: [(t, -5.0) for t in minutes]})
        raw = store.read(store.channel("bench"))
        store.keep_findings(
            [
                Finding("stuck", "bench", 0, HOUR - 1, {}, "left out", "set aside"),
                Finding("swapped", "bench", 2 * HOUR, 3 * HOUR, {}, "exchanged", "mended", {"swap": "yard"}),
                Finding("unit", "bench", 5 * HOUR, 6 * HOUR, {}, "", "mended", {"zero": 10.0, "scale": 2.0}),
                Finding("clock", "yard", 8 * HOUR, 10 * HOUR, {}, "", "mended", {"shift_s": [1800, 1800]}),
                Finding("gap", "bench", 4 * HOUR, 5 * HOUR, {}, "told only"),
            ]
        )
        found = series(store, "shop", 0, 10 * HOUR)
        assert found is not None
        assert found.share[0] == pytest.approx(0.0, abs=0.01)
        assert found.value[[1, 2, 4, 5, 7]] == pytest.approx([20.0, -5.0, 20.0, 20.0, 20.0], abs=0.3)
        assert found.value[5] == pytest.approx(20.0)
        late = series(store, "outdoor", 0, 11 * HOUR)
        assert late is not None
        assert late.share[8] == pytest.approx(0.5, abs=0.02)
        assert np.array_equal(store.read(store.channel("bench")).value, raw.value)
        assert CELSIUS.si(raw.value) is raw.value
