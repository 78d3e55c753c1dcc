"""Years of readings with known truths, and what a recap makes of them.

`python tests/logs/lived.py SEED LOGS` prints the table of hits and false alarms of docs/guide/recap.md.
"""

from __future__ import annotations

import sys
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
from noonwall.logs.weather_of import lived_weather
from noonwall.model.file import from_text
from noonwall.model.wall import Flap

if TYPE_CHECKING:
    from collections.abc import Mapping

    from noonwall.logs.roles import Measure
    from noonwall.model.project import Project

OFFSET_H = -5.0
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


def draw(kind: str, seed: int) -> Faults:
    """Return one fault drawn by seed."""
    random = np.random.default_rng(seed)
    if kind == "fans dead for 12 to 25 days":
        first = int(random.choice([20, 45, 65, 270, 280]))
        return replace(QUIET, fan_dead=(first, first + int(random.integers(12, 26))))
    if kind == "cover hung 8 to 25 days late":
        late = np.datetime64("2025-05-10") + int(random.integers(8, 26))
        return replace(QUIET, cover=(str(late)[5:], "09-20"))
    if kind == "cover taken down 8 to 25 days late":
        late = np.datetime64("2025-09-20") + int(random.integers(8, 26))
        return replace(QUIET, cover=("05-10", str(late)[5:]))
    if kind == "firs half as tall again to twice as tall":
        return replace(QUIET, firs_grow=float(random.uniform(1.5, 2.0)))
    if kind == "flap stuck open for 15 to 40 nights":
        first = int(random.integers(5, 60))
        return replace(QUIET, flap_open=(first, first + int(random.integers(15, 41))))
    if kind == "switch drifts by 6 to 10 K":
        return replace(
            QUIET, switch_drifts=(int(random.integers(60, 276)), -float(random.uniform(6.0, 10.0)))
        )
    return QUIET


KINDS = (
    "none", "fans dead for 12 to 25 days", "cover hung 8 to 25 days late", "cover taken down 8 to 25 days late",
    "firs half as tall again to twice as tall", "flap stuck open for 15 to 40 nights", "switch drifts by 6 to 10 K",
)  # fmt: skip


def alarms(chain: Chain) -> dict[str, list[tuple[int, int]]]:
    """Return what a chain says went wrong: kind -> stretches of days."""
    told: dict[str, list[tuple[int, int]]] = {}
    for item in chain.mishaps:
        told.setdefault(item.kind, []).append((item.first, item.last))
    cover = next(item for item in chain.links if item.key == "cover")
    for text in cover.dates:
        ends = [day_of(part[5:]) for part in text.split(" to ")]
        told.setdefault("cover", []).append((ends[0], ends[-1]))
    if chain.calendar is not None and chain.calendar.any_shade:
        told["shade"] = [(0, 364)]
    return told


def expected_alarm(faults: Faults) -> tuple[str, tuple[int, int]] | None:
    """Return the alarm a fault should raise and its days."""
    if faults.fan_dead is not None:
        return "fans dead", (faults.fan_dead[0], faults.fan_dead[1] - 1)
    if faults.cover != QUIET.cover and faults.cover is not None:
        if faults.cover[0] != "05-10":
            return "cover", (day_of("05-10"), day_of(faults.cover[0]) - 1)
        return "cover", (day_of("09-21"), day_of(faults.cover[1]))
    if faults.firs_grow > 1.0:
        return "shade", (0, 364)
    if faults.flap_open is not None:
        return "flap stuck open", (faults.flap_open[0], faults.flap_open[1] - 1)
    if faults.switch_drifts is not None:
        return "switch drift", (faults.switch_drifts[0], 364)
    return None


def score(kind: str, seed: int) -> tuple[bool, list[str]]:
    """Return whether a seeded fault was told over half of its days or half of what was told, and false alarms."""
    faults = draw(kind, seed)
    project = shed(flap=True)
    with tempfile.TemporaryDirectory() as name:
        keep(Path(name), invent(project, seed, faults))
        told = alarms(chain_of(Path(name), project))
    wanted = expected_alarm(faults)
    hit = wanted is None
    wrong = []
    for what, spells in told.items():
        for first, last in spells:
            if wanted is not None and what == wanted[0]:
                low, high = wanted[1]
                both = min(last, high) - max(first, low) + 1
                if both > 0.5 * min(last - first + 1, high - low + 1):
                    hit = True
                    continue
            wrong.append(f"{what} {first}-{last}")
    return hit, wrong


def main(first: int, logs: int) -> None:
    """Write the table, and on stderr what was missed or told wrongly."""
    sys.stdout.write("| fault | seeded | found | false alarms |\n| --- | ---: | ---: | ---: |\n")
    for kind in KINDS:
        scores = [score(kind, seed) for seed in range(first, first + logs)]
        seeded = logs if kind != "none" else 0
        found = sum(hit for hit, _ in scores) if seeded else 0
        wrong = [text for _, texts in scores for text in texts]
        sys.stdout.write(f"| {kind} | {seeded} | {found} | {len(wrong)} |\n")
        sys.stdout.flush()
        if wrong or found < seeded:
            sys.stderr.write(f"    {[hit for hit, _ in scores]} {wrong}\n")


if __name__ == "__main__":
    main(int(sys.argv[1]), int(sys.argv[2]))
