"""Shade of a site from which something was taken: only the light that it touched is traced anew."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from noonwall.shade.reach import Reach

if TYPE_CHECKING:
    from collections.abc import Collection

    from noonwall.shade.frame import Frame
    from noonwall.shade.receiver import Receiver
    from noonwall.shade.record import Flags, Floats, Ints
    from noonwall.shade.scene import Scene

Key = tuple[int, ...]


class Known:
    """All that was traced of one scene: shares by receiver and directions, and what each obstacle touches.

    A changed scene is traced on the very cells of the known one, also where it could do with coarser ones.
    """

    def __init__(self, scene: Scene) -> None:
        self.scene = scene
        self.receivers: dict[Key, Receiver] = {}
        self.shares: dict[Key, Floats] = {}
        self.touched: dict[tuple[Key, str], Flags] = {}

    def tracer(self, scene: Scene, frame: Frame, receiver: Receiver) -> Reach:
        """Return a Reach of this very scene that remembers all it is asked for."""
        return _Remembering(scene, frame, receiver, self)


class Change:
    """A scene that differs from a known one in some obstacles only, which shade no more than they did."""

    def __init__(self, known: Known, names: Collection[str]) -> None:
        """Tell what is known, and the names of the obstacles that differ."""
        self.known, self.names = known, tuple(names)

    def tracer(self, scene: Scene, frame: Frame, receiver: Receiver) -> Reach:
        """Return a Reach of the changed scene that takes from what is known whatever did not change."""
        return _Mending(scene, frame, receiver, self)


class _Remembering(Reach):
    def __init__(self, scene: Scene, frame: Frame, receiver: Receiver, known: Known) -> None:
        super().__init__(scene, frame, receiver)
        self.known = known
        known.receivers[_plane(receiver)] = receiver

    def write_shares(self, ways: Floats, places: Ints, states: Floats, state: Ints, shares: Floats) -> None:
        super().write_shares(ways, places, states, state, shares)
        self.known.shares[_key(self, ways, states, state)] = shares[places].copy()


class _Mending(Reach):
    def __init__(self, scene: Scene, frame: Frame, receiver: Receiver, change: Change) -> None:
        super().__init__(scene, frame, change.known.receivers.get(_plane(receiver), receiver))
        self.change = change

    def write_shares(self, ways: Floats, places: Ints, states: Floats, state: Ints, shares: Floats) -> None:
        key, known = _key(self, ways, states, state), self.change.known
        before = known.shares.get(key)
        if before is None:
            super().write_shares(ways, places, states, state, shares)
        else:
            shares[places] = before
            anew = np.flatnonzero(self._touched(key, ways, states, state))
            shares[places[anew]] = 1.0
            super().write_shares(ways[anew], places[anew], states, state[anew], shares)

    def _touched(self, key: Key, ways: Floats, states: Floats, state: Ints) -> Flags:
        """Return which directions the changed obstacles dimmed on any bin, as they stood in the known scene."""
        known = self.change.known
        touched = np.zeros(len(ways), dtype=bool)
        for name in self.change.names:
            found = known.touched.get((key, name))
            if found is None:
                alone = Reach(_alone(known.scene, name, self.scene), self.frame, self.receiver)
                dimmed: Flags = np.any(alone.shares(ways, states, state) < 1.0, axis=1)
                found = known.touched[key, name] = dimmed
            touched |= found
        return touched


def _alone(scene: Scene, name: str, like: Scene) -> Scene:
    """Return one obstacle of a scene without skyline, and on level ground where ``like`` lies level."""
    one = replace(scene.only(name), skyline=())
    return one.without_slope() if like.slope is None else one


def _plane(receiver: Receiver) -> Key:
    """Return what tells one receiver from another, however fine its cells."""
    return (receiver.count, hash(receiver.origin.tobytes()), hash(receiver.axes.tobytes()))


def _key(reach: Reach, ways: Floats, states: Floats, state: Ints) -> Key:
    """Return what tells one question from another: the receiver, the directions, the season of each."""
    level = reach.scene.slope is None
    asked = (hash(part.tobytes()) for part in (ways, states, state))
    return (*_plane(reach.receiver), len(ways), int(level), *asked)
