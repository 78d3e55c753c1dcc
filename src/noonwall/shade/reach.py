"""What share of light from given directions reaches a receiver past a scene."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

import numpy as np

from noonwall.shade.horizon import below_skyline
from noonwall.shade.kernel import light_shares
from noonwall.shade.receiver import bench_for, shapes_before, thick_of

if TYPE_CHECKING:
    from noonwall.shade.dome import Patches
    from noonwall.shade.frame import Frame
    from noonwall.shade.receiver import Receiver, Shapes
    from noonwall.shade.record import Floats, Ints
    from noonwall.shade.scene import Scene

GRAZING = 1e-9


class Reach:
    """A scene before one receiver, ready to be asked again and again."""

    def __init__(self, scene: Scene, frame: Frame, receiver: Receiver) -> None:
        self.scene, self.frame, self.receiver = scene, frame, receiver
        self.shapes: Shapes = shapes_before(scene, receiver)

    def shares(self, ways: Floats, states: Floats, state: Ints) -> Floats:
        """Return the share of light from each direction that reaches each bin.

        ways    (n, 3) unit vectors to the light in the wall's axes
        states  (s, ...) rows of ``Scene.calendar``;  state  (n,) which of them holds
        Returns (n, bins); 1 where the light does not come from before the receiver
        """
        shares = np.ones((len(ways), self.receiver.count))
        if not self.scene.empty:
            self.write_shares(ways, np.arange(len(ways)), states, state, shares)
        return shares

    def write_shares(self, ways: Floats, places: Ints, states: Floats, state: Ints, shares: Floats) -> None:
        """Write what ``shares`` returns into rows ``places`` (n,) of an array (n or more, bins).

        Rows whose light does not come from before the receiver are left alone.
        """
        seen = ways @ self.receiver.axes.T
        asked = np.flatnonzero(seen[:, 2] > GRAZING)
        if self.scene.skyline:
            east, north = self.frame.world(ways[asked, 0], ways[asked, 1])
            hidden = below_skyline(self.scene.skyline, east, north, ways[asked, 2])
            shares[places[asked[hidden]]] = 0.0
            asked = asked[~hidden]
        light_shares(
            seen[asked],
            places[asked],
            state[asked],
            self.shapes,
            thick_of(self.scene, states),
            self.receiver.columns,
            self.receiver.rows,
            self.receiver.bins,
            bench_for(self.shapes, self.receiver),
            shares,
        )

    def view(self, patches: Patches, states: Floats) -> Floats:
        """Return the share of the patches' light that reaches each bin in each state, (states, bins).

        Exactly 1 where nothing is in the way.
        """
        ways = np.column_stack([patches.along, patches.out, patches.up])
        views = np.empty((len(states), self.receiver.count))
        for i in range(len(states)):
            shares = self.shares(ways, states[i : i + 1], np.zeros(len(ways), np.int64))
            views[i] = 1.0 - patches.weight @ (1.0 - shares)
        return views


class Tracer(Protocol):
    """What sets a scene before a receiver: ``Reach`` itself, or one that remembers what it has traced."""

    def __call__(self, scene: Scene, frame: Frame, receiver: Receiver, /) -> Reach:
        """Return the scene before the receiver, ready to be asked."""
        ...
