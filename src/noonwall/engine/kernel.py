"""The compiled loop: steps split where switches act, sums and ledger kept as it goes.

Each part is advanced in two implicit stages (Alexander 1977, SDIRK of order 2): as quick to settle as backward
Euler, without its lag of half a step. Both stages' fluxes are booked by their weights, so energy closes.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from noonwall.compiled import inlined, lean_kernel
from noonwall.engine import numbers as n
from noonwall.engine.account import record_part
from noonwall.engine.room import AIR
from noonwall.engine.state import (
    P_BUOYANCY,
    P_FLOW,
    P_FOOT,
    P_ROOM_PA,
    P_SLOPE,
    S_BUOYANCY,
    S_FAN,
    S_FLOW,
    S_FOOT,
    S_ROOM_PA,
    S_SLOPE,
    Scratch,
    State,
)
from noonwall.engine.step import copy_strips, solve_step

if TYPE_CHECKING:
    from noonwall.engine.numbers import AirNumbers, Drive, Floats, ShopNumbers, SwitchNumbers, WallNumbers

AFTER_EVENT_S = 8.0  # first part after a switch has acted; later parts double
LEAST_PART_S = 4.0  # switches are not followed closer than this
STAGE = 1.0 - math.sqrt(0.5)  # length of a stage as a share of its part, and the second stage's weight
LEAP = (1.0 - STAGE) / STAGE  # the second stage begins where the first one's slope leads


@inlined
def load_sun(t: int, work: Scratch, wall: WallNumbers, drive: Drive) -> float:
    """Spread the step's sun over strips and nodes; returns the sun that reaches the whole wall [W]."""
    for p in range(len(work.part_sun)):
        work.part_sun[p] = drive.part_sun_w[p, t]
    total = 0.0
    day = drive.day[t]
    beam_row = t if len(drive.beam_share) > 1 else 0
    ground_row = t if len(drive.ground_share) > 1 else 0
    passed = drive.pass_share[t]
    light = drive.beam[t] + drive.isotropic[t] + drive.horizon[t] + drive.ground_beam[t] + drive.ground_sky[t]
    dark = light <= 0.0
    for i in range(wall.strips):
        beam = sky = band = ground = 0.0
        if not dark:
            beam = drive.beam[t] * drive.beam_share[beam_row, i]
            sky = drive.isotropic[t] * drive.sky_view[day, i]
            band = max(drive.horizon[t] * drive.horizon_view[day, i], -sky)
            ground = drive.ground_beam[t] * drive.ground_share[ground_row, i]
            ground += drive.ground_sky[t] * drive.ground_view[day, i]
            total += beam + sky + band + ground
            beam, sky, band, ground = beam * passed, sky * passed, band * passed, ground * passed
        for k in range(len(wall.left_sun)):
            row = wall.left_sun[k]
            work.sun_left[k, i] = 0.0
            if row >= 0:
                work.sun_left[k, i] = taken(row, t, beam, sky, band, ground, drive)
        work.sun_right[i] = (
            taken(wall.right_sun, t, beam, sky, band, ground, drive) if wall.right_sun >= 0 else 0.0
        )
        work.sun_mesh[i] = (
            taken(wall.mesh_sun, t, beam, sky, band, ground, drive) if wall.mesh_sun >= 0 else 0.0
        )
    return total * wall.strip_m2


@inlined
def taken(row: int, t: int, beam: float, sky: float, band: float, ground: float, drive: Drive) -> float:
    """Sun a node takes [W/m2] of the beam, sky, horizon and ground light that reach its strip."""
    diffuse = drive.take_sky[row] * sky + drive.take_horizon[row] * band + drive.take_ground[row] * ground
    got: float = drive.take_beam[row, t] * beam + diffuse
    return got


@inlined
def felt(start: float, spot0: float, spot1: float, span_s: float, lag_s: float, at_s: float) -> float:
    """Return what a lagging sensor shows ``at_s`` into a span in which its place goes evenly from spot0 to spot1."""
    slope = (spot1 - spot0) / span_s
    if lag_s < 1e-6:
        return spot0 + slope * at_s
    return spot0 + slope * (at_s - lag_s) + (start - spot0 + slope * lag_s) * math.exp(-at_s / lag_s)


@inlined
def trip_level(kind: int, closed: int, close_c: float, open_c: float) -> tuple[float, float]:
    """Return (level, sign): the switch acts when sign x (felt - level) > 0."""
    if kind == 1:
        return (open_c, 1.0) if closed == 1 else (close_c, -1.0)
    return (open_c, -1.0) if closed == 1 else (close_c, 1.0)


@inlined
def first_trip(span_s: float, spots: Floats, state: State, switches: SwitchNumbers) -> tuple[float, int]:
    """Return (time into the span, switch) of the first switch to act, or (span, -1)."""
    first, which = span_s, -1
    for k in range(len(switches.kind)):
        kind = switches.kind[k]
        if kind == 3:
            continue
        spot0, spot1 = spot_pair(k, spots, state, switches)
        level, sign = trip_level(kind, state.closed[k], switches.close_c[k], switches.open_c[k])
        lag = switches.lag_s[k]
        if sign * (felt(state.sensor[k], spot0, spot1, span_s, lag, first) - level) <= 0.0:
            continue
        low, high = 0.0, first
        for _ in range(40):
            middle = 0.5 * (low + high)
            if sign * (felt(state.sensor[k], spot0, spot1, span_s, lag, middle) - level) > 0.0:
                high = middle
            else:
                low = middle
            if high - low < 0.05:
                break
        first, which = high, k
    return first, which


@inlined
def spot_pair(k: int, spots: Floats, state: State, switches: SwitchNumbers) -> tuple[float, float]:
    """Temperature a switch senses at the span's beginning and end (above the room, for a difference switch)."""
    spot = switches.spot[k]
    if switches.kind[k] == 2:
        return state.spot[spot] - state.spot[3], spots[spot] - spots[3]
    return state.spot[spot], spots[spot]


@inlined
def read_spots(work: Scratch, wall: WallNumbers, spots: Floats) -> None:
    """Temperatures at the places switches sense, from the latest step; near the top of the wall."""
    spots[3] = work.room[AIR]
    if wall.strips == 0:
        spots[0] = spots[1] = spots[2] = spots[3]
        return
    top = wall.strips - 1
    spots[0] = work.air[top]
    spots[2] = work.left[wall.inner_skin, top]
    if wall.mesh == 1:
        spots[1] = work.mesh[top]
    elif wall.plate >= 0:
        spots[1] = work.left[wall.plate, top]
    else:
        spots[1] = work.right[0, top]


@inlined
def fans_called(t: int, state: State, switches: SwitchNumbers, drive: Drive) -> float:
    """1 if the circuit is closed."""
    if switches.mode != 1:
        return 1.0 if switches.mode == 2 else 0.0
    for group in range(switches.groups):
        closed = False
        for k in range(len(switches.kind)):
            if switches.group[k] != group:
                continue
            if switches.kind[k] == 3:
                closed = closed or drive.rows[switches.row[k], t] > 0.5
            else:
                closed = closed or state.closed[k] == 1
        if not closed:
            return 0.0
    return 1.0 if switches.groups > 0 else 0.0


@inlined
def accept(state: State, work: Scratch, spots: Floats, span_s: float, switches: SwitchNumbers) -> None:
    """Make the latest step the state; move the sensors."""
    for k in range(len(switches.kind)):
        if switches.kind[k] != 3:
            spot0, spot1 = spot_pair(k, spots, state, switches)
            state.sensor[k] = felt(state.sensor[k], spot0, spot1, span_s, switches.lag_s[k], span_s)
    for j in range(4):
        state.spot[j] = spots[j]
    copy_strips(work.left, work.right, work.mesh, work.air, state.left, state.right, state.mesh, state.air)
    for j in range(len(state.room)):
        state.room[j] = work.room[j]
    for p in range(len(state.parts)):
        state.parts[p, 0], state.parts[p, 1] = work.parts[p, 0], work.parts[p, 1]
    hand_on(work, state)


@inlined
def begin_part(state: State, middle: State) -> None:
    """Let the first stage begin where the part does."""
    copy_strips(
        state.left, state.right, state.mesh, state.air, middle.left, middle.right, middle.mesh, middle.air
    )
    for j in range(len(state.room)):
        middle.room[j] = state.room[j]
    for p in range(len(state.parts)):
        middle.parts[p, 0], middle.parts[p, 1] = state.parts[p, 0], state.parts[p, 1]
    for j in range(len(state.scalar)):
        middle.scalar[j] = state.scalar[j]


@inlined
def leap(work: Scratch, middle: State) -> None:
    """Let the second stage begin where the first one's slope leads."""
    for i in range(len(middle.mesh)):
        for k in range(middle.left.shape[0]):
            middle.left[k, i] += LEAP * (work.left[k, i] - middle.left[k, i])
        for k in range(middle.right.shape[0]):
            middle.right[k, i] += LEAP * (work.right[k, i] - middle.right[k, i])
        middle.mesh[i] += LEAP * (work.mesh[i] - middle.mesh[i])
        middle.air[i] = work.air[i]
    for j in range(len(middle.room)):
        middle.room[j] += LEAP * (work.room[j] - middle.room[j])
    for p in range(len(middle.parts)):
        for j in range(2):
            middle.parts[p, j] += LEAP * (work.parts[p, j] - middle.parts[p, j])
    hand_on(work, middle)


@inlined
def hand_on(work: Scratch, to: State) -> None:
    """Pass on the air path as found, to begin the next search from."""
    scalar, path = to.scalar, work.path
    scalar[S_FLOW], scalar[S_FOOT], scalar[S_BUOYANCY] = path[P_FLOW], path[P_FOOT], path[P_BUOYANCY]
    scalar[S_SLOPE], scalar[S_ROOM_PA] = path[P_SLOPE], path[P_ROOM_PA]


@inlined
def hold_books(t: int, keep: bool, back: bool, out: Floats, ledger: Floats, held: Floats) -> None:
    """Put the books by before a part or, with ``back``, bring them back because the part is tried again."""
    for j in range(len(ledger)):
        if back:
            ledger[j] = held[j]
        else:
            held[j] = ledger[j]
    if not keep:
        return
    for j in range(n.COLUMNS):
        if back:
            out[t, j] = held[n.ENTRIES + j]
        else:
            held[n.ENTRIES + j] = out[t, j]


@inlined
def advance(
    t: int, span_s: float, fan_on: float, sun_w: float, keep: bool, state: State, middle: State, work: Scratch,
    wall: WallNumbers, air: AirNumbers, shop: ShopNumbers, drive: Drive, out: Floats, ledger: Floats, step_s: float,
    effort: Floats,
) -> None:  # fmt: skip
    """Take both stages of a part and book them; the result stays in ``work``, the state as it was."""
    begin_part(state, middle)
    for stage in range(2):
        trials = solve_step(t, STAGE * span_s, fan_on, middle, work, wall, air, shop, drive)
        effort[1] += trials
        effort[2] = max(effort[2], trials)
        weight = STAGE if stage == 1 else 1.0 - STAGE
        record_part(t, weight * span_s, sun_w, keep, work, wall, air, shop, drive, out, ledger, step_s)
        if stage == 0:
            leap(work, middle)


@lean_kernel
def run_steps(
    first: int, last: int, stride: int, state: State, middle: State, work: Scratch, spots: Floats, wall: WallNumbers,
    air: AirNumbers, shop: ShopNumbers, switches: SwitchNumbers, drive: Drive, out: Floats, ledger: Floats,
    effort: Floats,
) -> None:  # fmt: skip
    """Advance through steps ``first`` to ``last`` (excluded), ``stride`` drive steps at a time.

    out     (steps, COLUMNS) written from row ``first`` on when it has rows; ledger (ENTRIES,) [J] added to
    effort  (3,) parts, flow trials, worst flow trials of one stage; added to
    middle  a state to work in
    """
    step_s = drive.step_s * stride
    keep = len(out) > 0
    fan_on = state.scalar[S_FAN]
    part_s = step_s
    jumped = 0
    for t in range(first, last, stride):
        sun_w = load_sun(t, work, wall, drive)
        called = fans_called(t, state, switches, drive)
        starts = 0.0
        if called != fan_on:
            starts += called
            fan_on = called
            part_s, jumped = AFTER_EVENT_S, 1
        left_s = step_s
        while left_s > 1e-6:
            span = min(part_s, left_s)
            if left_s - span < LEAST_PART_S:
                span = left_s
            which = -1
            for attempt in range(4):
                hold_books(t, keep, attempt > 0, out, ledger, work.held)
                advance(
                    t, span, fan_on, sun_w, keep, state, middle, work, wall, air, shop, drive, out, ledger, step_s,
                    effort,
                )  # fmt: skip
                read_spots(work, wall, spots)
                if jumped == 1:
                    # The air in the gap follows a fan at once: the place did not warm evenly, it jumped.
                    for j in range(3):
                        state.spot[j] = spots[j]
                acts, switch = first_trip(span, spots, state, switches)
                which = switch
                if switch < 0 or span - acts < 0.5 or span <= LEAST_PART_S:
                    break
                span = max(acts, LEAST_PART_S)
            accept(state, work, spots, span, switches)
            effort[0] += 1.0
            left_s -= span
            jumped = 0
            part_s = min(2.0 * part_s, step_s) if which < 0 else part_s
            if which >= 0:
                state.closed[which] = 1 - state.closed[which]
                called = fans_called(t, state, switches, drive)
                if called != fan_on:
                    starts += called
                    fan_on = called
                    part_s, jumped = AFTER_EVENT_S, 1
        if keep:
            out[t, n.FAN_STARTS] = starts
    state.scalar[S_FAN] = fan_on
