"""Packs one stretch of one channel into bytes without losing a digit.

Loggers write decimals at a steady step. So times become differences, values become whole numbers of their
last digit, differenced as well, both in the narrowest integer that holds them, bytes of like weight
together, then deflated. Values that are no such decimals are kept as they are in eight bytes.
"""

from __future__ import annotations

import hashlib
import struct
import zlib
from typing import TYPE_CHECKING

import numpy as np

from noonwall.logs.errors import ReadingsError

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Whole = NDArray[np.int64]

_MAGIC = b"nw1"
_HEAD = struct.Struct("<3sBBbIqq")  # magic, widths of times and values, decimals, n, firsts
_MOST_DECIMALS = 6
_LARGEST_WHOLE = 2.0**52
_LEVEL = 1  # deflate harder and it is three times slower for a tenth less
_INTS: tuple[tuple[int, type[np.signedinteger]], ...] = (
    (1, np.int8),
    (2, np.int16),
    (4, np.int32),
    (8, np.int64),
)


def decimals_of(values: Floats) -> int:
    """Return how many decimals hold every value exactly, or -1 if no number up to six does.

    values   shape (n,), finite
    """
    for places in range(_MOST_DECIMALS + 1):
        scale = 10.0**places
        if _exact(values[:64], scale) and _exact(values, scale):
            return places
    return -1


def _exact(values: Floats, scale: float) -> bool:
    if np.any(np.abs(values) > _LARGEST_WHOLE / scale):
        return False
    return bool(np.all(np.rint(values * scale) / scale == values))


def pack(times_s: Whole, values: Floats) -> bytes:
    """Return one stretch as bytes.

    times_s   shape (n,), seconds since 1970 UTC, in the order they were written
    values    shape (n,), finite, as they were written
    """
    n = len(times_s)
    if n == 0:
        return _HEAD.pack(_MAGIC, 1, 1, 0, 0, 0, 0)
    time_bytes, time_width = _narrow(np.diff(times_s))
    places = decimals_of(values)
    if places >= 0:
        whole = np.rint(values * 10.0**places).astype(np.int64)
        value_bytes, value_width = _narrow(np.diff(whole))
        first = int(whole[0])
    else:
        value_bytes, value_width, first = _shuffle(values.astype("<f8")), 8, 0
    head = _HEAD.pack(_MAGIC, time_width, value_width, places, n, int(times_s[0]), first)
    return head + zlib.compress(time_bytes + value_bytes, _LEVEL)


def unpack(data: bytes) -> tuple[Whole, Floats]:
    """Return times [s since 1970 UTC] and values of `pack`, both of shape (n,).

    raises   ReadingsError when the bytes are not whole
    """
    try:
        return _unpacked(data)
    except (struct.error, zlib.error, ValueError, IndexError):
        raise ReadingsError(
            "the store of readings holds a damaged piece; take the readings.db of a backup"
        ) from None


def _unpacked(data: bytes) -> tuple[Whole, Floats]:
    magic, time_width, value_width, places, n, first_time, first = _HEAD.unpack_from(data)
    if magic != _MAGIC:
        raise ValueError
    if n == 0:
        return np.empty(0, np.int64), np.empty(0)
    body = zlib.decompress(memoryview(data)[_HEAD.size :])
    cut = (n - 1) * time_width
    times = _widen(body[:cut], time_width, first_time)
    if places < 0:
        values = _unshuffle(body[cut:], 8).view("<f8").astype(np.float64)
    else:
        values = _widen(body[cut:], value_width, first) / 10.0**places
    if len(times) != n or len(values) != n:
        raise ValueError
    return times, values


def fingerprint(times_s: Whole, values: Floats) -> bytes:
    """Return 16 bytes that are the same for the same readings, however they are packed."""
    digest = hashlib.blake2b(times_s.astype("<i8").tobytes(), digest_size=16)
    digest.update(values.astype("<f8").tobytes())
    return digest.digest()


def _narrow(steps: Whole) -> tuple[bytes, int]:
    """Return differences in the narrowest integers, shuffled, and their width in bytes."""
    low, high = (int(steps.min()), int(steps.max())) if len(steps) else (0, 0)
    for width, kind in _INTS:
        if np.iinfo(kind).min <= low and high <= np.iinfo(kind).max:
            return _shuffle(steps.astype(np.dtype(kind).newbyteorder("<"))), width
    raise AssertionError  # an int64 always fits the last of them


def _widen(data: bytes, width: int, first: int) -> Whole:
    """Return whole numbers from their first and their packed differences."""
    kind = np.dtype(f"<i{width}")
    steps = _unshuffle(data, width).view(kind)
    out = np.empty(len(steps) + 1, np.int64)
    out[0] = first
    np.cumsum(steps, out=out[1:])
    out[1:] += first
    return out


def _shuffle(array: NDArray[np.generic]) -> bytes:
    width = array.dtype.itemsize
    if width == 1:
        return array.tobytes()
    return np.ascontiguousarray(array.view(np.uint8).reshape(-1, width).T).tobytes()


def _unshuffle(data: bytes, width: int) -> NDArray[np.uint8]:
    raw = np.frombuffer(data, np.uint8)
    if width == 1:
        return raw
    return np.ascontiguousarray(raw.reshape(width, -1).T).reshape(-1)
