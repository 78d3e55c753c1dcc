"""Years of readings with known truths, and what check and recap make of them; see benchmarks/mishaps.py."""

from __future__ import annotations

import tempfile
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from noonwall.logs.chain import Chain, make_chain
from noonwall.logs.invent import Faults, Invented, assumed_text, invent
from noonwall.logs.period import period_of
from noonwall.logs.quality.check import check_and_keep
from noonwall.logs.records import Channel, Conversion
from noonwall.logs.store import Store
from noonwall.logs.sun_calendar import FULL, SPAN_DAYS
from noonwall.logs.weather_of import lived_weather
from noonwall.model.control import Switch
from noonwall.model.file import from_text
from noonwall.model.obstacle import Building
from noonwall.model.openings import Flap

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from noonwall.logs.records import Finding
    from noonwall.logs.roles import Measure
    from noonwall.model.project import Project

OFFSET_H = -5.0
NEW_YEAR_S = int(np.datetime64("2025-01-01T05:00", "s").astype(np.int64))  # midnight at the shed
CHANNELS: dict[str, tuple[Measure, str]] = {
    "outdoor": ("temperature", "mean"),
    "shop": ("temperature", "mean"),
    "gap bottom": ("temperature", "mean"),
    "gap top": ("temperature", "mean"),
    "fan power": ("power", "mean"),
    "sun": ("irradiance", "mean"),
    "backup run time": ("time", "amount"),
}
QUIET = Faults(
    fan_dead=None, swapped=None, gaps=(), cover=("05-10", "09-20"), firs_grow=1.0, loss=1.0, fan_flow=1.0
)


def shed(*, flap: bool = False) -> Project:
    """Return the demo shed as its owner describes it, with a flap if wanted."""
    project = from_text(assumed_text(), "demo")
    if not flap:
        return project
    return project.model_copy(update={"wall": project.wall.model_copy(update={"flap": Flap()})})


def keep(
    folder: Path,
    found: Invented,
    only: tuple[str, ...] = tuple(CHANNELS),
    days: tuple[int, int] = (0, 365),
    conversions: Mapping[str, Conversion] | None = None,
) -> None:
    """Put invented readings into a folder's store.

    only   roles to keep;  days  from, to (not included);  conversions  how a role's readings are written down
    """
    start = int(found.time_s[0])
    rows = (found.time_s >= start + days[0] * 86_400) & (found.time_s < start + days[1] * 86_400)
    with Store(folder) as store, store.importing("made.csv", "made", {}, 0) as intake:
        for role in only:
            measure, kind = CHANNELS[role]
            values = found.columns[role][rows]
            unit = (conversions or {}).get(role, Conversion(""))
            written = values / unit.scale + unit.zero
            scale = 60.0 if role == "backup run time" else 1.0  # the table has minutes, the store seconds
            plane = "horizontal" if role == "sun" else None
            channel = Channel(role, role, measure, kind=kind, plane=plane, stamp="begin")  # type: ignore[arg-type]
            number = intake.channel(channel, role, unit)
            intake.add(number, found.time_s[rows], written * scale)


def chain_of(folder: Path, project: Project, *, judged: bool = False) -> Chain:
    """Return the chain over all that a folder's store holds; ``judged``: after a check of the readings."""
    with Store(folder) as store:
        if judged:
            check_and_keep(store, project.site)
        period = period_of(store, OFFSET_H)
        return make_chain(project, store, period, lived_weather(project, store, period))


def day_of(text: str) -> int:
    """Return the day of the invented year, 0 for 1 January."""
    return int((np.datetime64(f"2025-{text}") - np.datetime64("2025-01-01")).astype(int))


def house_of_a_neighbour(random: np.random.Generator) -> Building:
    """Return a building put up from south-east to south-west, its top 22 to 31 degrees over the wall's middle."""
    away, side = random.uniform(9.0, 16.0), np.deg2rad(random.uniform(-50.0, 50.0))
    return Building(
        kind="building", name="new", east_m=float(-away * np.sin(side)), north_m=float(-away * np.cos(side)),
        width_m=8.0, length_m=5.0, eaves_m=float(1.7 + (away - 2.5) * random.uniform(0.4, 0.6)),
    )  # fmt: skip


def draw(kind: str, seed: int) -> Faults:
    """Return one fault drawn by seed."""
    random = np.random.default_rng(seed)
    dark = int(random.choice([20, 45, 65, 270, 280]))  # first day of some weeks in the heating season
    late, days = int(random.integers(8, 26)), int(random.integers(15, 41))
    return FAULTS[kind](random, dark, late, days)


def _after(day: str, days: int) -> str:
    return str(np.datetime64(f"2025-{day}") + days)[5:]


def _flap(random: np.random.Generator, days: int) -> Faults:
    first = int(random.integers(5, 60)) if random.uniform() < 0.5 else int(random.integers(300, 324))
    return replace(QUIET, flap_open=(first, first + days))


def _clock(random: np.random.Generator, days: int) -> Faults:
    first, hours = int(random.integers(10, 290)), float(random.choice([-1.0, 1.0]))
    return replace(QUIET, clock_off=(first, first + 20 + days, hours))


FAULTS: dict[str, Callable[[np.random.Generator, int, int, int], Faults]] = {
    "none": lambda _random, _dark, _late, _days: QUIET,
    "fans dead for 12 to 25 days": lambda _r, dark, late, _d: replace(
        QUIET, fan_dead=(dark, dark + 4 + late)
    ),
    "flap stuck open for 15 to 40 nights": lambda r, _dark, _late, days: _flap(r, days),
    "cover hung 8 to 25 days late": lambda _r, _dark, late, _d: replace(
        QUIET, cover=(_after("05-10", late), "09-20")
    ),
    "cover taken down 8 to 25 days late": lambda _r, _dark, late, _d: replace(
        QUIET, cover=("05-10", _after("09-20", late))
    ),
    "cover forgotten all summer": lambda _r, _dark, _late, _d: replace(QUIET, never_hung=True),
    "firs half as tall again to twice as tall": lambda r, _dark, _late, _d: replace(
        QUIET, firs_grow=float(r.uniform(1.5, 2.0))
    ),
    "a building put up in the year": lambda r, _dark, _late, _d: replace(
        QUIET, new_shade=(int(r.integers(10, 300)), house_of_a_neighbour(r))
    ),
    "switch drifts by 6 to 10 K": lambda r, _dark, _late, _d: replace(
        QUIET, switch_drifts=(int(r.integers(60, 276)), -float(r.uniform(6.0, 10.0)))
    ),
    "switch opens 1 to 2 K below closing": lambda r, _dark, _late, _d: replace(
        QUIET, cycling=(int(r.integers(20, 270)), float(r.uniform(1.0, 2.0)))
    ),
    "room switch opens 6 to 9 K too early": lambda r, _dark, _late, _d: replace(
        QUIET, room_limit=(int(r.integers(0, 250)), -float(r.uniform(6.0, 9.0)))
    ),
    "gap sensors exchanged for 8 to 25 days": lambda _r, dark, late, _d: replace(
        QUIET, swapped=(dark, dark + late)
    ),
    "clock an hour off for 35 to 60 days": lambda r, _dark, _late, days: _clock(r, days),
}
ROOM_SWITCH = Switch(name="room limit", kind="open on rise", spot="room", close=19.0, open=21.0)


def alarms(chain: Chain, findings: Sequence[Finding], first: int = 0) -> dict[str, list[tuple[int, int]]]:
    """Return what a chain and the check of the readings say went wrong: kind -> stretches of days of the year.

    first   day of the year on which the chain's period begins
    """
    told: dict[str, list[tuple[int, int]]] = {}
    for item in chain.mishaps:
        told.setdefault(item.kind, []).append((first + item.first, first + item.last))
    cover = next(item for item in chain.links if item.key == "cover")
    for text in cover.dates:
        ends = [day_of(part[5:]) for part in text.split(" to ")]
        told.setdefault("cover", []).append((ends[0], ends[-1]))
    if chain.calendar is not None and chain.calendar.any_shade:
        rows = np.flatnonzero((chain.calendar.cells < FULL).any(axis=1))
        begin, end = int(rows[0]) * SPAN_DAYS, int(rows[-1] + 1) * SPAN_DAYS - 1
        told["shade"] = [(first + begin, first + end)]
    for item in findings:
        if item.verdict != "used" or item.kind not in ("gap", "repeat"):
            spell = (int((item.from_s - NEW_YEAR_S) // 86_400), int((item.to_s - NEW_YEAR_S - 1) // 86_400))
            if spell not in told.setdefault(item.kind, []):
                told[item.kind].append(spell)
    return told


def expected_alarm(faults: Faults) -> tuple[str, tuple[int, int]] | None:
    """Return the alarm a fault should raise and its days."""
    spans = {
        "fans dead": faults.fan_dead, "flap stuck open": faults.flap_open, "swap": faults.swapped,
        "clock": faults.clock_off and faults.clock_off[:2],
    }  # fmt: skip
    for kind, span in spans.items():
        if span is not None:
            return kind, (span[0], span[1] - 1)
    begins = {
        "shade": faults.new_shade, "switch drift": faults.switch_drifts, "short cycling": faults.cycling,
        "held by the room switch": faults.room_limit,
    }  # fmt: skip
    for kind, begin in begins.items():
        if begin is not None:
            return kind, (begin[0], 364)
    if faults.never_hung:
        return "cover", (day_of("05-10"), day_of("09-20"))
    if faults.cover is not None and faults.cover != QUIET.cover:
        if faults.cover[0] != "05-10":
            return "cover", (day_of("05-10"), day_of(faults.cover[0]) - 1)
        return "cover", (day_of("09-21"), day_of(faults.cover[1]))
    return ("shade", (0, 364)) if faults.firs_grow > 1.0 else None


def score(kind: str, seed: int, days: tuple[int, int] = (0, 365)) -> tuple[bool, list[str]]:
    """Return whether a seeded fault was told over half of its days or half of what was told, and false alarms.

    days   of the year that are read, from, to (not included)
    """
    faults = draw(kind, seed)
    project = shed(flap=True)
    if faults.room_limit is not None:
        project = project.model_copy(update={"switches": (*project.switches, ROOM_SWITCH)})
    with tempfile.TemporaryDirectory() as name:
        keep(Path(name), invent(project, seed, faults), days=days)
        chain = chain_of(Path(name), project, judged=True)
        with Store(Path(name)) as store:
            told = alarms(chain, store.findings(), days[0])
    wanted = expected_alarm(faults)
    hit, wrong = wanted is None, []
    for what, spells in told.items():
        for first, last in spells:
            if wanted is not None and what == wanted[0]:
                low, high = max(wanted[1][0], days[0]), min(wanted[1][1], days[1] - 1)
                both = min(last, high) - max(first, low) + 1
                if both > 0.5 * min(last - first + 1, high - low + 1):
                    hit = True
                    continue
            wrong.append(f"{what} {first}-{last}")
    return hit, wrong
