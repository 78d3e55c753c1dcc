"""Remedies a builder may add or take away: each a function from one project to another.

A changed project goes through the same checks as one that was read: `checked` tells what does not fit.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, TypeVar

from pydantic import ValidationError

from noonwall.errors import ProjectError
from noonwall.model.control import Switch
from noonwall.model.cover import Overhang
from noonwall.model.fields import Record
from noonwall.model.obstacle import Awning
from noonwall.model.openings import Flap
from noonwall.model.sense import faults

if TYPE_CHECKING:
    from pydantic_core import ErrorDetails

    from noonwall.model.project import Project

R = TypeVar("R", bound=Record)
Days = tuple[tuple[str, str], ...]

ALIKE_K = 0.05  # points of a thermostat nearer than that are the same ones
WARM_NORTH: Days = (("05-01", "09-15"),)
WARM_SOUTH: Days = (("11-01", "03-15"),)
NIGHT = (("17:00", "08:00"),)
LIMIT_NAME = "room limit"
AWNING_NAME = "summer awning"
LIMIT_SPREAD_K = 2.0  # a room limit opens this far above the comfort limit; common practice, no source
HARD_FRAME = "steel sheet"


def changed(record: R, **values: Any) -> R:
    """Return a record with some attributes replaced, held against their ranges again.

    Raises  ProjectError for a value outside its range
    """
    return made(type(record), **{**dict(record), **values})


def made(kind: type[R], /, **values: Any) -> R:
    """Return a record of a kind; errors as `changed`."""
    try:
        return kind.model_validate(values, strict=True)
    except ValidationError as error:
        detail = error.errors(include_url=False)[0]
        name = str(detail["loc"][0]) if detail["loc"] else kind.__name__
        raise ProjectError(f"{name}: {_out_of_range(detail)}") from None


def _out_of_range(detail: ErrorDetails) -> str:
    """Return a validator's complaint in plain words."""
    bounds, value = detail.get("ctx", {}), detail.get("input")
    if isinstance(value, int | float) and "le" in bounds:
        return f"{value:g} is outside its range, {bounds['le']:g} at most"
    if isinstance(value, int | float) and "ge" in bounds:
        return f"{value:g} is outside its range, {bounds['ge']:g} at least"
    return " ".join(detail["msg"].split())


def checked(project: Project, what: str) -> Project:
    """Return the project if its parts go together.

    what    what was changed, for the message
    Raises  ProjectError: one line with what was changed, the key and what does not fit
    """
    for fault in faults(project):
        raise ProjectError(f"{what}: {fault.key}: {fault.text}")
    return project


def cover_season(project: Project) -> Days:
    """Return the days that a cover hangs where nobody gives any: the project's own, else the usual warm season."""
    return project.wall.cover.hung or warm_season(project)


def warm_season(project: Project) -> Days:
    """Return the days in which a wall's heat is not wanted, by the half of the earth; common practice, no source."""
    return WARM_NORTH if project.site.latitude_deg >= 0.0 else WARM_SOUTH


def _wall(project: Project, **values: Any) -> Project:
    return changed(project, wall=changed(project.wall, **values))


def with_flap(project: Project, **values: Any) -> Project:
    """Return the project with a flap: its own, or the usual one, some of whose attributes are given."""
    return _wall(project, flap=changed(project.wall.flap or Flap(), **values))


def without_flap(project: Project) -> Project:
    """Return the project without a flap."""
    return _wall(project, flap=None)


def shuttered(project: Project, hours: tuple[tuple[str, str], ...] = NIGHT) -> Project:
    """Return the project with vents that somebody shuts in these hours every day; () for never."""
    return _wall(project, vents=changed(project.wall.vents, shut_hours=hours))


def covered(project: Project, days: Days) -> Project:
    """Return the project with the cover hung on these days and by no rule; () for never."""
    cover = changed(project.wall.cover, hung=days, hang_above_c=None, hot_days=None, take_down_below_c=None)
    return _wall(project, cover=cover)


def vented_out(project: Project, days: Days, only_top: bool = False) -> Project:
    """Return the project whose gap opens to outdoors at foot and top on these days, the room's vents shut.

    only_top  no opening at the foot: what leaves at the top comes in through leaks
    The openings are the project's own, or as large as the vents to the room where it has none.
    """
    wall = project.wall
    own = wall.summer_vent.top_area_m2 + wall.summer_vent.bottom_area_m2 > 0.0
    areas = (
        {} if own else {"top_area_m2": wall.vents.top.area_m2, "bottom_area_m2": wall.vents.bottom.area_m2}
    )
    vent = changed(wall.summer_vent, open=days, **areas)
    vent = changed(vent, bottom_area_m2=0.0) if only_top else vent
    return _wall(project, summer_vent=vent, vents=changed(wall.vents, closed=days))


def not_vented_out(project: Project) -> Project:
    """Return the project with its summer vents shut all year, and the vents to the room open for it."""
    wall = project.wall
    vent = changed(wall.summer_vent, open=(), top_area_m2=0.0, bottom_area_m2=0.0)
    return _wall(project, summer_vent=vent, vents=changed(wall.vents, closed=()))


def awned(project: Project, depth_m: float | None) -> Project:
    """Return the project with one awning over the glazing, up in the warm season, in place of any it has.

    depth_m  how far it stands out; None for no awning at all
    """
    others = tuple(item for item in project.obstacles if item.kind != "awning")
    if depth_m is None:
        return changed(project, obstacles=others)
    awning = made(Awning, kind="awning", name=AWNING_NAME, depth_m=depth_m, hung=cover_season(project))
    return changed(project, obstacles=(*others, awning))


def room_limits(project: Project) -> tuple[Switch, ...]:
    """Return the switches that stop the fans when the room is warm."""
    return tuple(s for s in project.switches if s.kind == "open on rise" and s.spot == "room")


def limit_points(project: Project, open_c: float | None = None) -> tuple[float, float]:
    """Return where a room limit closes and where it opens [°C].

    open_c  where it opens; it closes two kelvin below. Default: two kelvin above the comfort limit
    """
    opens = project.shop.comfort.limit_c + LIMIT_SPREAD_K if open_c is None else open_c
    return opens - LIMIT_SPREAD_K, opens


def with_room_limit(project: Project, open_c: float | None = None) -> Project:
    """Return the project with a room limit in series, in place of any it has.

    open_c  as of `limit_points`
    Fans wired straight to their module are led through the switches: a limit could not stop them otherwise.
    """
    closes, opens = limit_points(project, open_c)
    if _limited_so(project, closes, opens):
        return project
    bare = without_room_limit(project)
    limit = made(Switch, name=LIMIT_NAME, kind="open on rise", spot="room", open=opens, close=closes)
    circuit = bare.circuit
    series = (*circuit.series, LIMIT_NAME) if circuit.series else ()
    circuit = changed(circuit, series=series, module_fans="through the switches")
    return changed(bare, switches=(*bare.switches, limit), circuit=circuit)


def _limited_so(project: Project, closes: float, opens: float) -> bool:
    """Return whether one room limit with these points stops all fans already, whatever it is called."""
    limits, circuit = room_limits(project), project.circuit
    if len(limits) != 1 or circuit.fans != "automatic":
        return False
    (limit,) = limits
    if limit.open is None or limit.close is None:
        return False
    alike = max(abs(limit.open - opens), abs(limit.close - closes)) <= ALIKE_K
    reached = not circuit.series or limit.name in circuit.series
    led = circuit.module_fans == "through the switches" or not any(f.supply == "pv" for f in project.fans)
    return alike and reached and led


def without_room_limit(project: Project) -> Project:
    """Return the project without the switches that stop the fans when the room is warm."""
    gone = {switch.name for switch in room_limits(project)}
    if not gone:
        return project
    series: list[str | tuple[str, ...]] = []
    for group in project.circuit.series:
        left = tuple(n for n in ((group,) if isinstance(group, str) else group) if n not in gone)
        if left:
            series.append(left[0] if len(left) == 1 else left)
    switches = tuple(s for s in project.switches if s.name not in gone)
    return changed(project, switches=switches, circuit=changed(project.circuit, series=tuple(series)))


def fans_set(project: Project, mode: str) -> Project:
    """Return the project with its fans 'automatic', 'off' or 'on'."""
    return changed(project, circuit=changed(project.circuit, fans=mode))


def fans_off_on(project: Project, days: Days) -> Project:
    """Return the project with its fans switched off by hand on these days of the year."""
    hand = made(Switch, name="summer switch", kind="by hand", days=_other_days(days))
    series = (*project.circuit.series, hand.name) if project.circuit.series else ()
    circuit = changed(project.circuit, series=series, module_fans="through the switches")
    return changed(project, switches=(*project.switches, hand), circuit=circuit)


def _other_days(days: Days) -> Days:
    """Return the stretches between stretches of the year."""
    import datetime as dt

    def moved(day: str, by: int) -> str:
        return (dt.date.fromisoformat(f"2001-{day}") + dt.timedelta(days=by)).strftime("%m-%d")

    ordered = sorted(days)
    return tuple(
        (moved(end, 1), moved(ordered[(i + 1) % len(ordered)][0], -1)) for i, (_, end) in enumerate(ordered)
    )


def framed(project: Project, material: str = HARD_FRAME) -> Project:
    """Return the project with frame and studs of another material."""
    return _wall(project, frame=changed(project.wall.frame, material=material, studs=None))


def overhung(project: Project, depth_m: float | None) -> Project:
    """Return the project with a plain overhang of this depth (its own otherwise, or the usual one), None for none."""
    if depth_m is None:
        return _wall(project, overhang=None)
    own = project.wall.overhang
    over = made(Overhang, depth_m=depth_m) if own is None else changed(own, depth_m=depth_m)
    return _wall(project, overhang=over)
