"""The engine asked for a recap: one case, run again and again with one thing changed at a time."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from noonwall.engine import numbers as n
from noonwall.engine.numbers import SwitchNumbers
from noonwall.engine.simulate import (
    Case,
    Surroundings,
    begin,
    build_case,
    hang_by_hot_days,
    run,
    surroundings,
    without_wall,
)
from noonwall.logs.period import DAY_S, STEP_S

if TYPE_CHECKING:
    from noonwall.climate.weather import Weather
    from noonwall.logs.period import Period
    from noonwall.logs.records import Floats
    from noonwall.model.project import Project

J_PER_KWH = 3.6e6
BY_ROW = 3  # kind of a switch that follows a row of `Drive.rows`


@dataclass(frozen=True)
class Scene:
    """A project under some weather, as the engine's numbers, with the place of the period in the run."""

    project: Project
    around: Surroundings
    case: Case
    first: int  # step at which the period begins
    steps: int


@dataclass(frozen=True)
class Run:
    """What the engine gives over a period, means of each step as a logger has them; arrays of shape (n,)."""

    delivered_w: Floats  # into the shop by air
    reversed_w: Floats  # out of the shop by air
    fan_share: Floats
    fan_starts: Floats
    flow_kg_s: Floats
    room_c: Floats
    gap_bottom_c: Floats
    gap_top_c: Floats
    sun_w: Floats  # that reaches the glazed area
    backup_w: Floats
    useful_w: Floats

    @property
    def net_w(self) -> Floats:
        """Heat the wall's air brought, less what it carried out [W]."""
        return np.asarray(self.delivered_w - self.reversed_w)


def scene(project: Project, weather: Weather, period: Period) -> Scene:
    """Return a project under a period's weather (which begins with the period's days of lead)."""
    around = surroundings(project, weather, STEP_S)
    case = hang_by_hot_days(project, around, build_case(project, around))
    first = period.lead_days * DAY_S // STEP_S
    return Scene(project, around, case, first, period.days * DAY_S // STEP_S)


def ran(at: Scene, case: Case | None = None) -> Run:
    """Run a scene, or another case of it, and return the period's part."""
    case = at.case if case is None else case
    out = run(case, begin(case), 0, len(case.drive.out_c)).out
    for column in (n.ROOM, n.GAP_BOTTOM, n.GAP_TOP):  # the engine has them at the step's end
        out[1:, column] = 0.5 * (out[1:, column] + out[:-1, column])
    out = out[at.first : at.first + at.steps]
    columns = (
        n.DELIVERED, n.REVERSED, n.FAN_SHARE, n.FAN_STARTS, n.FLOW, n.ROOM, n.GAP_BOTTOM, n.GAP_TOP, n.SUN,
        n.BACKUP, n.USEFUL,
    )  # fmt: skip
    return Run(*(np.ascontiguousarray(out[:, column]) for column in columns))


def spared_kwh(at: Scene, own: Run) -> float:
    """Return how much less heat the heater gave over the period than in the same shop without the wall [kWh].

    own  the scene's own run
    """
    alone = ran(at, without_wall(at.project, at.around, at.case))
    return kwh(alone.backup_w - own.backup_w)


def whole(at: Scene, values: Floats, before: float) -> Floats:
    """Return values over the period as values over the whole run; ``before`` stands in the days of lead."""
    return np.concatenate([np.full(at.first, before), values])


def kwh(power_w: Floats) -> float:
    """Return the energy of a power over the steps of a period [kWh]; steps that are NaN count for nothing."""
    return float(np.nansum(power_w) * STEP_S / J_PER_KWH)


def with_fans(at: Scene, case: Case, share: Floats) -> Case:
    """Return a case in which the fans do what was seen: run the share of each step that they ran.

    share   shape (steps of the period,), NaN where it was not seen: there the switches decide
    """
    wanted = whole(at, share, np.nan)
    seen = np.isfinite(wanted)
    if not seen.all():
        free = run(case, begin(case), 0, len(case.drive.out_c)).out[:, n.FAN_SHARE]
        wanted = np.where(seen, wanted, free)
    rows = _whole_steps(wanted).reshape(1, -1)
    return case._replace(switches=row_switch(case), drive=case.drive._replace(rows=rows))


def row_switch(case: Case) -> SwitchNumbers:
    """Return a circuit in which the one switch of a case's fans follows the first of `Drive.rows`."""
    first, zero = np.zeros(1, np.int64), np.zeros(1)
    return SwitchNumbers(
        mode=1 if len(case.air.fan_row) else 0,
        kind=first + BY_ROW,
        spot=first,
        close_c=zero,
        open_c=zero,
        lag_s=zero,
        row=first,
        group=first,
        groups=1,
    )


def with_stop(at: Scene, case: Case, stopped: Floats) -> Case:
    """Return a case whose fans cannot run where ``stopped`` is 1, shape (steps of the period,)."""
    old = case.switches
    if old.mode != 1:
        return case
    rows = np.vstack([case.drive.rows, 1.0 - whole(at, stopped, 0.0)])
    more = SwitchNumbers(
        mode=1,
        kind=np.append(old.kind, BY_ROW),
        spot=np.append(old.spot, 0),
        close_c=np.append(old.close_c, 0.0),
        open_c=np.append(old.open_c, 0.0),
        lag_s=np.append(old.lag_s, 0.0),
        row=np.append(old.row, len(rows) - 1),
        group=np.append(old.group, old.groups),
        groups=old.groups + 1,
    )
    return case._replace(switches=more, drive=case.drive._replace(rows=np.ascontiguousarray(rows)))


def _whole_steps(share: Floats) -> Floats:
    """Return 0 or 1 for each step so that the hours add up to those of the shares, shape (n,)."""
    out, owed = np.zeros(len(share)), 0.0
    for i, part in enumerate(share.tolist()):
        owed = owed + part if part > 0.0 else 0.0
        if owed >= 0.5:
            out[i] = 1.0
            owed -= 1.0
    return out


def with_cover(at: Scene, case: Case, hung: Floats) -> Case:
    """Return a case with the cover hung where ``hung`` is 1, shape (steps of the period,); NaN: as described."""
    passes = at.project.wall.cover.passes_share
    before = case.drive.pass_share
    known = whole(at, hung, np.nan)
    new = np.where(np.isfinite(known), np.where(known >= 0.5, passes, 1.0), before)
    return case._replace(drive=case.drive._replace(pass_share=np.ascontiguousarray(new)))


def with_beam(at: Scene, case: Case, factor: Floats) -> Case:
    """Return a case whose beam is dimmed by a factor, shape (steps of the period,); 1 changes nothing."""
    full = whole(at, factor, 1.0)[:, None]
    share = np.ascontiguousarray(case.drive.beam_share * full)
    return case._replace(drive=case.drive._replace(beam_share=share))


def with_loss(case: Case, factor: float) -> Case:
    """Return a case whose shop loses ``factor`` times as much through its envelope and its leaks."""
    shop = case.shop
    return case._replace(
        shop=shop._replace(
            light_w_k=shop.light_w_k * factor,
            part_out_w_k=shop.part_out_w_k * factor,
            part_mid_w_k=shop.part_mid_w_k * factor,
            part_in_w_k=shop.part_in_w_k * factor,
            leak_m2=shop.leak_m2 * factor,
        ),
        air=case.air._replace(room_leak_m2=case.air.room_leak_m2 * factor),
    )


def with_flap(case: Case, stuck: int) -> Case:
    """Return a case whose flap moves (0), stands open (1) or shut (2); without a flap nothing changes."""
    return case._replace(air=case.air._replace(flap_stuck=stuck))
