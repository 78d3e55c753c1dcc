"""The slow twin of the kernel: the plain equations of ``equations``, given to scipy's stiff integrator. For tests."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from noonwall.engine.airstream import now_at, places_of
from noonwall.engine.equations import slopes, stream_of
from noonwall.engine.state import S_FAN, S_FLOW, S_FOOT, S_ROOM_PA

if TYPE_CHECKING:
    from collections.abc import Callable

    from scipy.integrate import BDF

    from noonwall.engine.airstream import Now, Places
    from noonwall.engine.numbers import Floats, Ints
    from noonwall.engine.simulate import Case
    from noonwall.engine.state import State

KELVIN, KG_S, PA, KWH = 1e-3, 1e-5, 1e-4, 1e-5  # absolute tolerances
PAST_S = 1e-3  # a crossing is passed by this much, so that it is not met again
FIRST_S = 0.05  # step tried first after each new beginning; the tolerances judge it as any other
BY_ROW = 3


@dataclass(frozen=True)
class Reference:
    """What the integrator found, at the end of each of n steps of the drive."""

    left: Floats  # (n, nl, strips) [C]
    right: Floats  # (n, nr, strips)
    mesh: Floats  # (n, strips), empty without a mesh
    air: Floats  # (n, strips)
    room: Floats  # (n, 6)
    parts: Floats  # (n, parts, 2)
    flow_kg_s: Floats  # (n,)
    delivered_kwh: Floats  # (n,) since the beginning
    carried_out_kwh: Floats
    heater_kwh: Floats
    back_kwh: Floats
    acts: Ints  # (n,) how often a switch acted within the step
    starts: int
    evaluations: int


def pack(case: Case, at: Places, state: State) -> Floats:
    """Return the integrator's vector for a kernel state."""
    y = np.zeros(at.length)
    y[at.left], y[at.right] = state.left.ravel(), state.right.ravel()
    if case.wall.mesh:
        y[at.mesh] = state.mesh
    y[at.room], y[at.parts], y[at.sensors] = state.room, state.parts.ravel(), state.sensor
    y[at.flow], y[at.foot], y[at.room_pa] = (
        state.scalar[S_FLOW],
        state.scalar[S_FOOT],
        state.scalar[S_ROOM_PA],
    )
    y[at.film_air] = state.air.mean()
    return y


def right_hand_side(case: Case, now: Now, at: Places) -> Callable[[float, Floats], Floats]:
    """Return the equations in the integrator's form, for what acts now."""

    def system(_: float, many: Floats) -> Floats:
        return slopes(case, now, at, many)

    return system


def called(case: Case, t: int, closed: Ints) -> float:
    """Return 1 while every group of switches in series has one that is closed."""
    switches = case.switches
    if switches.mode != 1:
        return float(switches.mode == 2)
    shut = np.where(switches.kind == BY_ROW, case.drive.rows[switches.row, t] > 0.5, closed == 1)
    groups = [bool(shut[switches.group == group].any()) for group in range(switches.groups)]
    return float(bool(groups) and all(groups))


def excess(case: Case, k: int, closed: Ints, felt_c: float) -> float:
    """Return how far a switch's sensor is past the temperature at which it acts next; it acts above 0 [K]."""
    switches = case.switches
    upward = (switches.kind[k] == 1) == (closed[k] == 1)
    level = switches.open_c[k] if closed[k] == 1 else switches.close_c[k]
    return float(felt_c - level if upward else level - felt_c)


def acting(case: Case, at: Places, y: Floats, closed: Ints) -> list[int]:
    """Return the switches whose sensors are past their point."""
    sensors, kinds = y[at.sensors], case.switches.kind
    return [k for k in range(kinds.size) if kinds[k] != BY_ROW and excess(case, k, closed, sensors[k]) > 0.0]


def first_crossing(case: Case, at: Places, solver: BDF, closed: Ints) -> float | None:
    """Return the time within the solver's latest step just after the first switch acts [s], or None."""
    from scipy.optimize import brentq

    watched = acting(case, at, solver.y, closed)
    if not watched:
        return None
    inside = solver.dense_output()
    before = solver.t_old + 1e-6

    def past(clock_s: float, k: int) -> float:
        return excess(case, k, closed, float(inside(clock_s)[at.sensors.start + k]))

    first = min(
        before if past(before, k) > 0.0 else float(brentq(past, before, solver.t, args=(k,), xtol=1e-4))
        for k in watched
    )
    return min(first + PAST_S, float(solver.t))


def tolerances(at: Places) -> Floats:
    """Return the absolute tolerance of each state."""
    scale = np.full(at.length, KELVIN)
    scale[at.fans] = scale[at.flow] = KG_S
    scale[at.foot] = scale[at.top] = scale[at.room_pa] = PA
    scale[at.sums] = KWH
    return scale


def integrate(case: Case, state: State, first: int, last: int, rtol: float = 1e-4) -> Reference:
    """Integrate from a kernel state over the drive's steps ``first`` to ``last`` (excluded).

    Raises  RuntimeError when the integrator gives up
    Source  scipy.integrate.BDF, begun anew at every step of the drive and every act of a switch
    """
    from scipy.integrate import BDF

    at = places_of(case)
    scale: Any = tolerances(at)  # scipy's published types know one tolerance for all states only
    y, closed, fan_on = pack(case, at, state), state.closed.copy(), float(state.scalar[S_FAN])
    acts = np.zeros(last - first, dtype=np.int64)
    rows, airs = [], []
    starts = evaluations = 0
    for t in range(first, last):
        clock, end = 0.0, case.drive.step_s
        while clock < end:
            for k in acting(case, at, y, closed):
                closed[k] = 1 - closed[k]
                acts[t - first] += 1
            wanted = called(case, t, closed)
            starts += int(wanted > fan_on)
            if wanted != fan_on:
                y[at.fans], fan_on = 0.0, wanted
            now = now_at(case, t, fan_on)
            system, step_s = right_hand_side(case, now, at), min(FIRST_S, end - clock)
            solver = BDF(system, clock, y, end, first_step=step_s, rtol=rtol, atol=scale, vectorized=True)
            crossing = None
            while solver.status == "running" and crossing is None:
                message = solver.step()
                crossing = first_crossing(case, at, solver, closed)
            if solver.status == "failed":
                raise RuntimeError(f"step {t}: {message}")
            evaluations += solver.nfev
            clock, y = (
                (solver.t, solver.y) if crossing is None else (crossing, solver.dense_output()(crossing))
            )
        rows.append(y)
        airs.append(stream_of(case, now, at, y[:, None]).air[:, 0])
    return gathered(case, at, np.array(rows), np.array(airs), acts, starts, evaluations)


def gathered(
    case: Case, at: Places, rows: Floats, air: Floats, acts: Ints, starts: int, evaluations: int
) -> Reference:
    """Take the integrator's rows (n, length) apart."""
    n, strips = len(rows), case.wall.strips
    delivered, carried_out, heater, back = rows[:, at.sums].T
    return Reference(
        left=rows[:, at.left].reshape(n, -1, strips),
        right=rows[:, at.right].reshape(n, -1, strips),
        mesh=rows[:, at.mesh],
        air=air,
        room=rows[:, at.room],
        parts=rows[:, at.parts].reshape(n, -1, 2),
        flow_kg_s=rows[:, at.flow],
        delivered_kwh=delivered,
        carried_out_kwh=carried_out,
        heater_kwh=heater,
        back_kwh=back,
        acts=acts,
        starts=starts,
        evaluations=evaluations,
    )
