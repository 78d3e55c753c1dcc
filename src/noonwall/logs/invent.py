"""An invented year of readings for the demo shed: the engine on other parameters than assumed, and real faults.

`python -m noonwall.logs.invent FILE` writes the table that ships with the package, always the same bytes.
"""

from __future__ import annotations

import gzip
import sys
from dataclasses import dataclass
from importlib import resources
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from noonwall.climate.monthly import year_from_figures
from noonwall.engine import numbers as n
from noonwall.engine.nodes import SPOTS
from noonwall.engine.simulate import begin, build_case, run, surroundings
from noonwall.logs.runs import Scene, with_flap, with_loss, with_stop
from noonwall.model.file import from_text

if TYPE_CHECKING:
    from collections.abc import Mapping

    from noonwall.engine.numbers import SwitchNumbers
    from noonwall.engine.simulate import Case
    from noonwall.logs.records import Floats, Whole
    from noonwall.model.obstacle import Building
    from noonwall.model.project import Project

YEAR = "2025"
SEED = 20
STEP_S, KEPT_S = 300, 900
UTC_OFFSET_H = -5.0
SHADED = ("beam_share", "sky_view", "horizon_view", "ground_share", "ground_view")
TABLE = "demo_readings.csv.gz"
HEADINGS = {
    "outdoor": "Outdoor (C)",
    "shop": "Shop 1.5 m (C)",
    "gap bottom": "Gap bottom (C)",
    "gap top": "Gap top (C)",
    "fan power": "Fans (W)",
    "sun": "Sun on the level (W/m2)",
    "backup run time": "Heater (min)",
}
MAP = (
    "zone=UTC",
    "Outdoor (C)=outdoor; kind=mean; stamp=begin; name=outdoor",
    "Shop 1.5 m (C)=shop at 1.5 m; kind=mean; stamp=begin; name=shop",
    "Gap bottom (C)=gap bottom; kind=mean; stamp=begin; name=gap bottom",
    "Gap top (C)=gap top; kind=mean; stamp=begin; name=gap top",
    "Fans (W)=fan power; kind=mean; stamp=begin; name=fans",
    "Sun on the level (W/m2)=sun; plane=horizontal; kind=mean; stamp=begin; name=sun",
    "Heater (min)=backup run time; kind=amount; stamp=begin; name=heater",
)


@dataclass(frozen=True)
class Faults:
    """What goes wrong in an invented year; days are counted from its first, [from, to)."""

    fan_dead: tuple[int, int] | None = (38, 47)  # 8 to 16 February
    swapped: tuple[int, int] | None = (306, 318)  # gap sensors exchanged, 3 to 14 November
    gaps: tuple[tuple[float, float], ...] = ((101.4, 103.1), (289.0, 289.3))
    cover: tuple[str, str] | None = ("05-29", "09-20")  # 19 days later than assumed
    never_hung: bool = False  # the cover
    firs_grow: float = 1.7  # height over the assumed height
    loss: float = 1.12  # shop loss over the assumed loss
    fan_flow: float = 0.9
    dirt_share: float = 0.03
    flap_open: tuple[int, int] | None = None  # nights on which a flap stands open
    switch_drifts: tuple[int, float] | None = None  # from this day on the gap's switch is off by so much [K]
    new_shade: tuple[int, Building] | None = None  # built on this day
    clock_off: tuple[int, int, float] | None = (
        None  # days on which the logger's clock is ahead by so many hours
    )
    cycling: tuple[int, float] | None = (
        None  # from this day on the gap's switch opens so little below closing [K]
    )
    room_limit: tuple[int, float] | None = None  # from this day on the room's switch is off by so much [K]


@dataclass(frozen=True)
class Invented:
    """Readings: begin of each quarter hour [s since 1970 UTC], shape (n,), and a column for each role."""

    time_s: Whole
    columns: Mapping[str, Floats]


def assumed_text() -> str:
    """Return the project file of the demo shed as its owner describes it after a year."""
    return str(_library().joinpath("demo_lived.toml").read_text(encoding="utf-8"))


def shipped_table() -> bytes:
    """Return the invented readings that ship with the package, a packed CSV."""
    return bytes(_library().joinpath(TABLE).read_bytes())


def truth(project: Project, faults: Faults) -> Project:
    """Return a project as it really is in the invented world."""
    grown = tuple(
        item.model_copy(update={"height_m": item.height_m * faults.firs_grow})
        if item.kind == "tree" and item.height_m is not None
        else item
        for item in project.obstacles
    )
    wall, fans = project.wall, project.fans
    changes: dict[str, Any] = {"glazing": wall.glazing.model_copy(update={"dirt_share": faults.dirt_share})}
    if faults.never_hung:
        changes["cover"] = wall.cover.model_copy(update={"hung": ()})
    elif faults.cover is not None:
        changes["cover"] = wall.cover.model_copy(update={"hung": (faults.cover,)})
    return project.model_copy(
        update={
            "obstacles": grown,
            "wall": wall.model_copy(update=changes),
            "fans": tuple(f.model_copy(update={"flow_m3_s": f.flow_m3_s * faults.fan_flow}) for f in fans),
        }
    )


def invent(project: Project, seed: int = SEED, faults: Faults | None = None) -> Invented:
    """Return a year of readings of a project that is not quite what its owner assumes.

    project  as assumed;  seed  of its weather and of the noise;  faults  what goes wrong
    """
    faults = Faults() if faults is None else faults
    real = truth(project, faults)
    weather = year_from_figures(project.site, seed)
    around = surroundings(real, weather, STEP_S)
    case = with_loss(build_case(real, around), faults.loss)
    steps = len(case.drive.out_c)
    if faults.fan_dead is not None:
        stopped = np.zeros(steps)
        stopped[slice(*(day * 86_400 // STEP_S for day in faults.fan_dead))] = 1.0
        case = with_stop(Scene(real, around, case, 0, steps), case, stopped)
    built = None
    if faults.new_shade is not None:
        more = real.model_copy(update={"obstacles": (*real.obstacles, faults.new_shade[1])})
        lit = build_case(more, around).drive
        built = case._replace(drive=case.drive._replace(**{name: getattr(lit, name) for name in SHADED}))
    out = _lived(case, built, steps, faults)
    columns = _columns(out, around.fine.air_c, around.fine.ghi_w_m2, project)
    start = np.datetime64(f"{YEAR}-01-01T00:00:00", "s").astype(np.int64) - round(UTC_OFFSET_H * 3600)
    time_s = start + KEPT_S * np.arange(len(columns["shop"]), dtype=np.int64)
    return _read(Invented(time_s, columns), seed, faults)


def _lived(case: Case, built: Case | None, steps: int, faults: Faults) -> Floats:
    """Return the engine's columns over all steps, with whatever changes on its day.

    built   the same case once something new stands in the sun
    """
    begins = (faults.switch_drifts, faults.new_shade, faults.cycling, faults.room_limit)
    days = {*(faults.flap_open or ()), *(item[0] for item in begins if item is not None)}
    edges = sorted({0, steps, *(min(day * 86_400 // STEP_S, steps) for day in days)})
    state = begin(case)
    out = np.zeros((steps, n.COLUMNS))
    for first, last in pairwise(edges):
        now = _on_day(case, built, first * STEP_S // 86_400, faults)
        out[first:last] = run(now, state, first, last).out[first:last]
    return out


def _on_day(case: Case, built: Case | None, day: int, faults: Faults) -> Case:
    """Return the case as it is from a day on."""
    if built is not None and faults.new_shade is not None and day >= faults.new_shade[0]:
        case = built
    if faults.flap_open is not None and faults.flap_open[0] <= day < faults.flap_open[1]:
        case = with_flap(case, 1)
    switches = case.switches
    if faults.switch_drifts is not None and day >= faults.switch_drifts[0]:
        switches = _off_by(switches, SPOTS["gap top"], faults.switch_drifts[1])
    if faults.room_limit is not None and day >= faults.room_limit[0]:
        switches = _off_by(switches, SPOTS["room"], faults.room_limit[1])
    if faults.cycling is not None and day >= faults.cycling[0]:
        gap = switches.spot == SPOTS["gap top"]
        opens = np.where(gap, switches.close_c - faults.cycling[1], switches.open_c)
        switches = switches._replace(open_c=opens)
    return case._replace(switches=switches)


def _off_by(switches: SwitchNumbers, spot: int, kelvin: float) -> SwitchNumbers:
    """Return switches of which those at one spot are off."""
    off = np.where(switches.spot == spot, kelvin, 0.0)
    return switches._replace(close_c=switches.close_c + off, open_c=switches.open_c + off)


def _columns(out: Floats, air_c: Floats, ghi_w_m2: Floats, project: Project) -> dict[str, Floats]:
    heater = project.shop.heater
    power = heater.power_w if heater is not None else 1.0
    columns = {
        "outdoor": air_c,
        "shop": out[:, n.ROOM],
        "gap bottom": out[:, n.GAP_BOTTOM],
        "gap top": out[:, n.GAP_TOP],
        "fan power": out[:, n.FAN_W],
        "sun": ghi_w_m2,
        "backup run time": out[:, n.BACKUP] / power * KEPT_S / 60.0,
    }
    return {name: _means(values) for name, values in columns.items()}


def _means(values: Floats) -> Floats:
    return np.asarray(values.reshape(-1, KEPT_S // STEP_S).mean(axis=1))


def _read(true: Invented, seed: int, faults: Faults) -> Invented:
    """Return what sensors make of it: noise, their own errors, digits, gaps, an exchange."""
    random = np.random.default_rng(1000 + seed)
    columns: dict[str, Any] = {}
    for name, values in true.columns.items():
        if name in ("outdoor", "shop", "gap bottom", "gap top"):
            off = random.uniform(-0.1, 0.1)
            columns[name] = np.round(values + off + random.normal(0.0, 0.12, len(values)), 1)
        elif name == "sun":
            columns[name] = np.round(np.maximum(values * (1.0 + random.normal(0.0, 0.02, len(values))), 0.0))
        else:
            columns[name] = np.round(values, 1)
    if faults.swapped is not None:
        rows = slice(*(day * 86_400 // KEPT_S for day in faults.swapped))
        low, high = columns["gap bottom"][rows].copy(), columns["gap top"][rows].copy()
        columns["gap bottom"][rows], columns["gap top"][rows] = high, low
    keep = np.ones(len(true.time_s), bool)
    for begin_day, end_day in faults.gaps:
        keep[int(begin_day * 86_400 / KEPT_S) : int(end_day * 86_400 / KEPT_S)] = False
    time_s = true.time_s.copy()
    if faults.clock_off is not None:
        begin_day, end_day, hours = faults.clock_off
        rows = slice(begin_day * 86_400 // KEPT_S, end_day * 86_400 // KEPT_S)
        time_s[rows] += round(hours * 3600.0)
        keep[1:] &= np.diff(np.maximum.accumulate(time_s)) > 0  # what would be stamped twice is not kept
    return Invented(time_s[keep], {name: values[keep] for name, values in columns.items()})


def as_csv(found: Invented) -> str:
    """Return readings as a logger would write them, marked as invented in their first lines."""
    lines = [
        "Invented readings of a shed that does not stand anywhere; made with noonwall",
        "Time (UTC)," + ",".join(HEADINGS[name] for name in found.columns),
    ]
    stamps = np.datetime_as_string(found.time_s.astype("datetime64[s]"), unit="m").tolist()
    rows = np.column_stack(list(found.columns.values())).tolist()
    for stamp, row in zip(stamps, rows, strict=True):
        lines.append(stamp.replace("T", " ") + "," + ",".join(f"{value:g}" for value in row))
    return "\n".join(lines) + "\n"


def _library() -> Any:
    return resources.files("noonwall.logs").joinpath("library")


def main(path: str) -> None:
    """Write the table that ships with the package."""
    text = as_csv(invent(from_text(assumed_text(), "demo")))
    Path(path).write_bytes(gzip.compress(text.encode(), 9, mtime=0))


if __name__ == "__main__":
    main(sys.argv[1])
