from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra import numpy as hnp

from noonwall.logs import codec
from noonwall.logs.errors import ReadingsError

TIMES = hnp.arrays(np.int64, st.integers(0, 60), elements=st.integers(-(2**40), 2**40))


@settings(max_examples=150, deadline=None, derandomize=True)
@given(TIMES, st.data())
def test_every_reading_comes_back_as_it_went_in(times: np.ndarray, data: st.DataObject) -> None:
    values = data.draw(
        hnp.arrays(np.float64, len(times), elements=st.floats(allow_nan=False, allow_infinity=False))
    )
    out_times, out_values = codec.unpack(codec.pack(times, values))
    assert np.array_equal(out_times, times)
    assert np.array_equal(out_values, values)


@settings(max_examples=100, deadline=None, derandomize=True)
@given(st.lists(st.decimals(-10_000, 10_000, places=3), min_size=1, max_size=50))
def test_decimals_as_loggers_print_them_come_back_to_the_digit(printed: list[object]) -> None:
    values = np.array([float(str(number)) for number in printed])
    assert codec.decimals_of(values) in range(4)
    times = np.arange(len(values), dtype=np.int64) * 60
    assert np.array_equal(codec.unpack(codec.pack(times, values))[1], values)


def test_a_month_of_a_thermometer_takes_less_than_a_byte_a_reading() -> None:
    random = np.random.default_rng(3)
    values = np.round(20.0 + np.cumsum(random.normal(0.0, 0.05, 43_200)), 2)
    data = codec.pack(1_700_000_000 + 60 * np.arange(43_200, dtype=np.int64), values)
    assert len(data) < 43_200


@pytest.mark.parametrize(
    "harm", [lambda d: d[:-9], lambda d: b"xx" + d[2:], lambda d: d[:10], lambda d: d[:0]]
)
def test_a_damaged_piece_is_told_and_never_half_read(harm) -> None:  # type: ignore[no-untyped-def]
    data = codec.pack(np.arange(500, dtype=np.int64), np.random.default_rng(1).normal(size=500))
    with pytest.raises(ReadingsError, match="damaged piece"):
        codec.unpack(harm(data))


def test_the_fingerprint_tells_readings_apart() -> None:
    times, values = np.arange(5, dtype=np.int64), np.arange(5.0)
    assert codec.fingerprint(times, values) == codec.fingerprint(times.copy(), values.copy())
    assert codec.fingerprint(times + 1, values) != codec.fingerprint(times, values)
    assert codec.fingerprint(times, values + 1.0) != codec.fingerprint(times, values)
