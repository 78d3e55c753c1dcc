"""The recap: whether a period was as good as its weather allowed, and where the difference went."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from noonwall.errors import ProjectError
from noonwall.logs.as_was import Kept, kept_with, project_of
from noonwall.logs.causes import Cause, causes
from noonwall.logs.chain import Chain, make_chain
from noonwall.logs.claim import USUAL_SHARE, Beside, Claim, hold
from noonwall.logs.errors import ReadingsError
from noonwall.logs.links import known_kwh
from noonwall.logs.period import DAY_S, STEP_S, Period, period_of
from noonwall.logs.runs import spared_kwh
from noonwall.logs.tellable import why_untold
from noonwall.logs.weather_of import Lived, lived_weather
from noonwall.logs.worth import (
    SAME_INSTRUMENTS_SHARE,
    Change,
    Lap,
    Worth,
    compare,
    degree_days,
    laps,
    worth_of,
)
from noonwall.model.disk import PROJECT_FILE
from noonwall.sky.fine import site_clock

if TYPE_CHECKING:
    from noonwall.logs.chain import Progress
    from noonwall.logs.records import Finding, Floats
    from noonwall.logs.store import Store
    from noonwall.model.project import Project

J_PER_KWH = 3.6e6
NOT_CANCELLED = 0.5  # of the error, from one year to the next; common practice, no source
COLD_HALF = (10, 11, 12, 1, 2, 3, 4)
AS_IT_STANDS = (
    "the expectation is of the project as it stands; what was changed since the readings shows up as a difference; "
    "keep a copy of the folder as it was"
)
NOT_KEPT = (
    "the project as it was when these readings were read in was not kept; it is with readings that are read in "
    "from now on"
)
RECKONED = (
    "what was measured is reckoned from the temperatures read with the project's fans and openings; when these are "
    "changed it moves too"
)
NOT_PROVEN = "within the error no difference is proven in all"


@dataclass(frozen=True)
class Row:
    """Sums of one day, month or season; heat is net: brought less carried out. Compared hours only.

    ``name``           "2025-02-08", "2025-02", "October to April"
    ``first``, ``last``  first and last day that is in it, as 2025-02-14;  ``days``  how many of its days are
    ``known_share``    share of the hours in which heat was measured
    ``measured_kwh``   None where nothing was measured
    """

    name: str
    first: str
    last: str
    days: int
    known_share: float
    sun_kwh: float  # on the glazing, by the lived weather and the assumed shade
    typical_kwh: float
    expected_kwh: float  # by the lived weather and the project's assumptions
    measured_kwh: float | None
    error_kwh: float | None
    fan_hours: float | None  # seen
    expected_fan_hours: float | None  # in the steps in which the fans were seen; all where nobody noted them
    shop_c: float | None  # measured mean
    expected_shop_c: float  # in the steps in which the shop was measured, all where none was
    untold: str | None = None  # why no heat was measured in it; None where some was


@dataclass(frozen=True)
class Recap:
    """All that a recap tells."""

    period: Period
    lived: Lived
    chain: Chain
    days: tuple[Row, ...]
    months: tuple[Row, ...]
    seasons: tuple[Row, ...]
    whole: Row
    whole_expected_kwh: float  # by the lived weather, over all hours
    verdict: str
    causes: tuple[Cause, ...]  # found to have gone otherwise than described, with dates, the largest first
    findings: tuple[Finding, ...]
    degree_days: float
    typical_degree_days: float
    worth: Worth | None
    electricity_money: float | None
    heater_kwh: float | None  # measured
    laps: tuple[Lap, ...]
    change: Change | None  # the last year against the one before; None without two
    own_claim: Claim | None  # the measured figure itself held against the sun
    claim: Claim | None  # a figure that was asked about
    invented: bool
    changed: str | None = None  # day on which the project's file was written last, None where there is none
    kept: Kept | None = (
        None  # the project as it was when these readings were read in, None where it was not kept
    )
    as_was: bool = False  # whether these days are held against that one, not against the project as it stands

    @property
    def since(self) -> bool:
        """Whether the project that these days are held against was changed after them."""
        if self.kept is not None:
            return bool(self.kept.changed) and not self.as_was
        return self.changed is not None and self.changed > str(self.period.last)

    @property
    def expectation(self) -> str:
        """What the expectation is of, and whether the project was changed since these days."""
        if self.kept is not None and (self.as_was or not self.kept.changed):
            as_was = f"as it was on {self.kept.day}" if self.as_was else "as it stands, the same as"
            return f"the expectation is of the project {as_was} when these readings were read in"
        if self.changed is None:
            return AS_IT_STANDS
        if self.changed < str(self.period.first):
            return f"the expectation is of the project as it stands, last changed on {self.changed}, before these days"
        last = str(self.period.last)
        when = (
            f"after these days ended ({last})" if self.changed > last else f"within these days (up to {last})"
        )
        return (
            f"the expectation is of the project as it stands, last changed on {self.changed}, {when}: what was changed "
            "since shows up as a difference; keep a copy of the folder as it was"
        )

    @property
    def reckoned(self) -> str | None:
        """Why what was measured moves with the project; None where it does not."""
        return None if self.chain.measured.level == "flow and rise" else RECKONED


def recap(
    project: Project,
    store: Store,
    first: str | None = None,
    last: str | None = None,
    claim_kwh: float | None = None,
    progress: Progress | None = None,
    *,
    as_was: bool = False,
) -> Recap:
    """Look back over a period.

    project      with its assumptions;  store  its readings
    first, last  dates as 2025-01-31, both included; None: all that was read
    claim_kwh    a figure to be held against the sun on the wall in that time
    progress     called with (stages done, of)
    as_was       hold the days against the project as it was when these readings were read in
    Raises       ReadingsError without readings of shop, gap or fans, or where that project was not kept; WeatherError;
                 SolveError
    """
    from noonwall.climate.load import load_weather

    if not any(store.channels(role) for role in ("shop", "gap top", "air out", "fan", "fan power", "flow")):
        raise ReadingsError(
            "no reading of shop, gap, outlet, flow or fans is kept; a recap needs one of them at least"
        )
    period = period_of(store, site_clock(project.site, load_weather(project, ".")), first, last)
    kept = kept_with(store, period)
    if as_was and kept is None:
        raise ReadingsError(NOT_KEPT)
    if as_was and kept is not None:
        project = project_of(kept, project)
    lived = lived_weather(project, store, period)
    chain = make_chain(project, store, period, lived, progress)
    out_c = _hourly_as_steps(lived, period)
    own = chain.own_weather
    found = laps(
        period, chain.known, out_c, own.sun_w, own.net_w, chain.measured.net_w, chain.seen.heater_kwh
    )
    whole = _row("all", np.ones(len(chain.known), bool), chain, period)
    sun = known_kwh(chain.best.sun_w, chain.known)
    limit = taken_up_share(chain)
    price = project.money.electricity_per_kwh
    fan_kwh = _fan_kwh(project, chain)
    heater = chain.seen.heater_kwh
    return Recap(
        period=period,
        lived=lived,
        chain=chain,
        days=_rows(period, chain, "D"),
        months=_rows(period, chain, "M"),
        seasons=_seasons(period, chain, project.site.latitude_deg),
        whole=whole,
        whole_expected_kwh=float(chain.own_weather.net_w.sum() * STEP_S / J_PER_KWH),
        verdict=_verdict(chain),
        causes=causes(chain, store.findings(), period),
        findings=store.findings(),
        degree_days=degree_days(out_c),
        typical_degree_days=degree_days(_hourly_as_steps(lived, period, typical=True)),
        worth=worth_of(max(chain.measured_kwh, 0.0), project.shop.heater),
        electricity_money=None if price is None or fan_kwh is None else price * fan_kwh,
        heater_kwh=None if heater is None else float(np.nansum(heater)),
        laps=found,
        change=compare(found[-2], found[-1], _band(chain), project.shop.heater) if len(found) > 1 else None,
        own_claim=hold(known_kwh(chain.measured.fan_w + chain.measured.rising_w, chain.known), sun, limit)
        if sun > 0.0
        else None,
        claim=None if claim_kwh is None else _held(claim_kwh, chain, limit),
        invented=project.invented,
        changed=_written(store, project.site.clock_h),
        kept=kept,
        as_was=as_was,
    )


def _written(store: Store, clock_h: float) -> str | None:
    """Return the day on which the file of the store's project was written last."""
    file = store.path.parent / PROJECT_FILE
    if not file.is_file():
        return None
    return str(np.datetime64(int(file.stat().st_mtime + 3600.0 * clock_h), "s").astype("datetime64[D]"))


def held_against(found: Recap, claim_kwh: float, *, saved: bool = False) -> Claim:
    """Hold a figure against the sun that fell on the wall in a recap's time.

    saved   it is said of heat that the heater did not have to give
    Raises  ProjectError when no sun fell on it
    """
    return replace(_held(claim_kwh, found.chain, taken_up_share(found.chain)), saved=saved)


def beside(found: Recap, claim: Claim) -> Beside:
    """Return what a claim over a recap's whole time is set beside; of a saving, the saving calculated for it too."""
    whole, at = found.whole, found.chain.scene
    heater = at.project.shop.heater
    spared = None
    if claim.saved and heater is not None:
        spared = worth_of(spared_kwh(at, found.chain.own_weather), heater)
    return Beside(
        days=found.period.days,
        known_share=whole.known_share,
        measured_kwh=found.chain.measured_kwh,
        error_kwh=found.chain.measured.error_kwh,
        unmeasured_kwh=found.whole_expected_kwh - whole.expected_kwh,
        calculated_kwh=found.whole_expected_kwh,
        most_kwh=claim.limit * claim.sun_kwh,
        usual_kwh=min(USUAL_SHARE, claim.limit) * claim.sun_kwh,
        spared=spared,
    )


def _held(claim_kwh: float, chain: Chain, limit: float) -> Claim:
    sun = float(chain.best.sun_w.sum() * STEP_S / J_PER_KWH)
    if sun <= 0.0:
        raise ProjectError("no sun fell on the wall in that time; there is nothing to hold a figure against")
    return hold(claim_kwh, sun, limit)


def taken_up_share(chain: Chain) -> float:
    """Return the largest share of the sun on the glazing that absorber and skins take up at any angle."""
    drive = chain.best_case.drive
    rows = slice(chain.scene.first, chain.scene.first + chain.scene.steps)
    beam = drive.take_beam.sum(axis=0)[rows]
    lit = drive.beam[rows] > 50.0
    best = float(beam[lit].max()) if lit.any() else 0.0
    return max(best, float(drive.take_sky.sum()), float(drive.take_ground.sum()))


def _hourly_as_steps(lived: Lived, period: Period, *, typical: bool = False) -> Floats:
    weather = lived.typical if typical else lived.actual
    hours = weather.air_c[period.lead_days * 24 :][: period.days * 24]
    return np.repeat(hours, 3600 // STEP_S)


def _fan_kwh(project: Project, chain: Chain) -> float | None:
    share = chain.seen.fan_share
    if share is None:
        return None
    power = sum(fan.count * fan.power_w for fan in project.fans)
    return float(np.nansum(share) * STEP_S / 3600.0 * power / 1000.0)


def _rows(period: Period, chain: Chain, unit: str) -> tuple[Row, ...]:
    """Return a row for each day ("D") or month ("M")."""
    stamps = period.time.astype(f"datetime64[{unit}]")
    starts = np.flatnonzero(np.concatenate([[True], stamps[1:] != stamps[:-1]])).tolist()
    out = []
    for begin, end in zip(starts, [*starts[1:], len(stamps)], strict=True):
        chosen = np.zeros(len(stamps), bool)
        chosen[begin:end] = True
        out.append(_row(str(stamps[begin]), chosen, chain, period))
    return tuple(out)


def _seasons(period: Period, chain: Chain, latitude_deg: float) -> tuple[Row, ...]:
    """Return the cold half of the year and the warm one, each once over the whole period."""
    month = period.time.astype("datetime64[M]").astype(np.int64) % 12 + 1
    cold = np.isin(month, COLD_HALF) if latitude_deg >= 0.0 else np.isin(month, (4, 5, 6, 7, 8, 9, 10))
    names = ("October to April", "May to September") if latitude_deg >= 0.0 else (
        "April to October", "November to March",
    )  # fmt: skip
    return tuple(
        _row(name, chosen, chain, period)
        for name, chosen in zip(names, (cold, ~cold), strict=True)
        if chosen.any()
    )


def _row(name: str, chosen: np.ndarray, chain: Chain, period: Period) -> Row:
    """Return the sums over some steps, of those compared."""
    both = chosen & chain.known
    any_known = bool(both.any())
    measured = known_kwh(chain.measured.net_w, both) if any_known else None
    gross = np.nan_to_num(chain.measured.fan_w + chain.measured.rising_w + chain.measured.reversed_w)
    whole = float(gross[chain.known].sum())
    part = float(gross[both].sum()) / whole if whole > 0.0 else 0.0
    expected_c = _mean(_where(chain.own_weather.room_c, chain.seen.shop_c), chosen)
    expected_c = float(chain.own_weather.room_c[chosen].mean()) if expected_c is None else expected_c
    day = np.flatnonzero(chosen) // (DAY_S // STEP_S)
    return Row(
        name=name,
        first=period.date(int(day[0])),
        last=period.date(int(day[-1])),
        days=len(np.unique(day)),
        known_share=float(both.sum() / chosen.sum()),
        sun_kwh=known_kwh(chain.own_weather.sun_w, both),
        typical_kwh=known_kwh(chain.typical.net_w, both),
        expected_kwh=known_kwh(chain.own_weather.net_w, both),
        measured_kwh=measured,
        error_kwh=chain.measured.error_kwh * part if any_known else None,
        fan_hours=_hours(chain.seen.fan_share, chosen),
        expected_fan_hours=_hours(_where(chain.own_weather.fan_share, chain.seen.fan_share), chosen),
        shop_c=_mean(chain.seen.shop_c, chosen),
        expected_shop_c=expected_c,
        untold=None if any_known else why_untold(chain.seen, chosen),
    )


def _hours(share: Floats | None, chosen: np.ndarray) -> float | None:
    if share is None or not np.isfinite(share[chosen]).any():
        return None
    return float(np.nansum(share[chosen]) * STEP_S / 3600.0)


def _where(values: Floats, seen: Floats | None) -> Floats:
    """Return values where something was seen, NaN elsewhere; all of them when nothing ever was."""
    return values if seen is None else np.where(np.isfinite(seen), values, np.nan)


def _mean(values: Floats | None, chosen: np.ndarray) -> float | None:
    if values is None or not np.isfinite(values[chosen]).any():
        return None
    return float(np.nanmean(values[chosen]))


def _band(chain: Chain) -> float:
    """Return how well two years by the same instruments are told apart: half their error is taken to cancel."""
    share = chain.measured.error_kwh / max(abs(chain.measured_kwh), 1.0)
    return max(SAME_INSTRUMENTS_SHARE, NOT_CANCELLED * share)


def _verdict(chain: Chain) -> str:
    """Return one sentence: as good as the weather allowed, better, worse, or not proven."""
    if chain.measured.level == "fans alone":
        return "not told: no temperature rise was measured, so there is nothing to hold the engine against"
    allowed = known_kwh(chain.own_weather.net_w, chain.known)
    short = chain.measured_kwh - allowed
    if abs(short) <= chain.measured.error_kwh:
        return NOT_PROVEN
    if short > 0.0:
        return "better than its weather and the assumptions allowed"
    return "not as good as its weather allowed"
