"""What can fail on a wall: each case as a changed project, or the reason why it means nothing to this one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from noonwall.model.cases import CASES, Case
from noonwall.studies.remedies import changed, covered, fans_set, with_flap

if TYPE_CHECKING:
    from collections.abc import Callable

    from noonwall.model.project import Project

ALL_YEAR = (("01-01", "12-31"),)
STARTS = ("close on rise", "difference", "clock", "light")  # kinds of switch that start fans


def failed(
    project: Project,
) -> tuple[list[tuple[Case, Project, bool]], tuple[tuple[Case, str], ...]]:
    """Return the cases of a project as (case, changed project, whether there is power), and those left out with why."""
    chosen: list[tuple[Case, Project, bool]] = []
    left_out: list[tuple[Case, str]] = []
    for case in CASES:
        why = _idle(project, case)
        if why:
            left_out.append((case, why))
        else:
            chosen.append((case, _CHANGES[case](project), case != "power out for a week"))
    return chosen, tuple(left_out)


def _idle(project: Project, case: Case) -> str:
    """Return why a case means nothing to a project, or nothing."""
    wall, fans = project.wall, project.fans
    straight = all(f.supply == "pv" for f in fans) and project.circuit.module_fans == "straight"
    reasons = {
        "fans dead": "there are no fans" if not fans else "they are switched off by hand already"
        if project.circuit.fans == "off" else "",
        "fans stuck on": "there are no fans" if not fans else "they run on their modules whenever the sun shines"
        if straight else "",
        "switch dead": "" if fans and any(s.kind in STARTS for s in project.switches) else "no switch starts fans",
        "flap stuck open": "" if wall.flap else "there is no flap",
        "flap stuck shut": "" if wall.flap else "there is no flap",
        "cover forgotten": "" if wall.cover.hung or wall.cover.by_rule else "there is no cover to forget",
        "power out for a week": ""
        if project.shop.heater or any(f.supply == "mains" for f in fans)
        else "nothing here needs the mains",
    }  # fmt: skip
    return reasons.get(case, "")


def _dead_switches(project: Project) -> Project:
    """Let every switch that starts fans stand open for ever."""
    switches = tuple(
        changed(s, kind="by hand", close=None, open=None, hours=(), days=(), close_sun_w_m2=None, open_sun_w_m2=None)
        if s.kind in STARTS
        else s
        for s in project.switches
    )  # fmt: skip
    return changed(project, switches=switches)


def _blocked(project: Project) -> Project:
    """Let stock stand before all openings between gap and room."""
    return changed(project, wall=changed(project.wall, vents=changed(project.wall.vents, closed=ALL_YEAR)))


_CHANGES: dict[Case, Callable[[Project], Project]] = {
    "as described": lambda project: project,
    "fans dead": lambda project: fans_set(project, "off"),
    "fans stuck on": lambda project: fans_set(project, "on"),
    "switch dead": _dead_switches,
    "flap stuck open": lambda project: with_flap(project, stuck="open"),
    "flap stuck shut": lambda project: with_flap(project, stuck="shut"),
    "vents blocked": _blocked,
    "cover forgotten": lambda project: covered(project, ()),
    "power out for a week": lambda project: project,
}
