"""Codes that admit one device each, the admissions they grant, and the patience asked of whoever guesses."""

from __future__ import annotations

import hashlib
import hmac
import secrets
import time
from collections import deque
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable

LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ23456789"  # without I, O, 0, 1, which are mistaken for each other
GROUPS, GROUP = 5, 4  # 20 letters of 32: 100 bits
LONGEST_WAIT_S = 60.0
FORGET_S = 900.0
WATCH_S, MOST_WRONG = 60.0, 20  # in all, from everywhere
MOST_DEVICES = 12
MOST_ADDRESSES = 1000


@dataclass(frozen=True)
class Admitted:
    """A device was admitted; the token is its proof."""

    token: str


@dataclass(frozen=True)
class TurnedAway:
    """A device was not admitted: why, in one line, and how long to wait before the next try [s]."""

    line: str
    wait_s: float = 0.0


@dataclass
class _Tries:
    wrong: int
    last_s: float


def shown(code: str) -> str:
    """Return a code as it is printed: in groups."""
    return "-".join(code[i : i + GROUP] for i in range(0, len(code), GROUP))


def plain(typed: str) -> str:
    """Return what was typed without blanks and dashes, in capitals."""
    return "".join(c for c in typed[:100].upper() if c in LETTERS)


class Codes:
    """The codes that are open, the devices that are in. Nothing is written anywhere: it ends with the process."""

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        self._clock = clock
        self._open: list[str] = []
        self._tokens: set[str] = set()
        self._tries: dict[str, _Tries] = {}
        self._wrong: deque[float] = deque(maxlen=MOST_WRONG)

    def issue(self) -> str:
        """Make a new code, good for one device."""
        code = "".join(secrets.choice(LETTERS) for _ in range(GROUPS * GROUP))
        self._open.append(code)
        return code

    def knows(self, token: str) -> bool:
        """Whether a token is the proof of an admitted device."""
        return bool(token) and _digest(token) in self._tokens

    def enter(self, typed: str, address: str) -> Admitted | TurnedAway:
        """Take a code from an address; a right one is used up by it."""
        now = self._clock()
        wait_s = self._wait_s(address, now)
        if wait_s > 0.0:
            return TurnedAway(f"too many wrong codes; wait {wait_s:.0f} s", wait_s)
        given = plain(typed)
        found = [code for code in self._open if hmac.compare_digest(code, given)]
        if not found:
            self._note_wrong(address, now)
            return TurnedAway("that is not the code the terminal shows now", self._wait_s(address, now))
        if len(self._tokens) >= MOST_DEVICES:
            return TurnedAway(f"{MOST_DEVICES} devices are in already; start noonwall anew")
        self._open.remove(found[0])
        self._tries.pop(address, None)
        token = secrets.token_urlsafe(32)
        self._tokens.add(_digest(token))
        return Admitted(token)

    def _wait_s(self, address: str, now: float) -> float:
        waits = [0.0]
        tries = self._tries.get(address)
        if tries is not None and now - tries.last_s < FORGET_S:
            waits.append(tries.last_s + min(LONGEST_WAIT_S, 2.0 ** (tries.wrong - 1)) - now)
        if len(self._wrong) == MOST_WRONG:
            waits.append(self._wrong[0] + WATCH_S - now)
        return max(waits)

    def _note_wrong(self, address: str, now: float) -> None:
        self._wrong.append(now)
        before = self._tries.get(address)
        count = before.wrong if before is not None and now - before.last_s < FORGET_S else 0
        if len(self._tries) >= MOST_ADDRESSES and address not in self._tries:
            self._tries.pop(min(self._tries, key=lambda a: self._tries[a].last_s))
        self._tries[address] = _Tries(min(count + 1, 20), now)


def _digest(token: str) -> str:
    return hashlib.sha256(token.encode("utf-8", "replace")).hexdigest()
