"""The story of a wall's sun: months, calendar, a chosen moment, and what each obstacle takes."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from functools import partial
from typing import TYPE_CHECKING

import numpy as np

from noonwall.assess.modules import field_year
from noonwall.assess.sun import monthly_kwh, shaded, sun_months, wall_light
from noonwall.engine.simulate import WHOLE_YEAR_DAYS, build_case, surroundings
from noonwall.shade.calendar import SKYLINE, beam_of, sun_calendar
from noonwall.shade.frame import Frame
from noonwall.shade.modules import module_shade_in
from noonwall.shade.reach import Reach
from noonwall.shade.site import scene_of
from noonwall.shade.wall import shade_in, sun_ways
from noonwall.sky.fine import site_clock
from noonwall.sky.sun import sun_course
from noonwall.studies.acts import Plant
from noonwall.studies.mended import Change, Known
from noonwall.studies.runner import silent, together
from noonwall.studies.trees import kinds
from noonwall.studies.trial import STRIPS, Trial

if TYPE_CHECKING:
    from noonwall.assess.sun import SunMonth
    from noonwall.climate.weather import Weather
    from noonwall.model.project import Project
    from noonwall.shade.calendar import SunCalendar
    from noonwall.shade.reach import Tracer
    from noonwall.shade.record import Flags, Floats
    from noonwall.shade.scene import Scene
    from noonwall.sky.sun import SunCourse
    from noonwall.studies.runner import Tell

STEP_S = 300
TAKES_STEP_S = 900
MINUTE_S = 60
DAY_S = 86400
DARKEST_NORTH, DARKEST_SOUTH = (12, 1), (6, 7)
ALL_PLANTS = "all that grows"
NUMBERED = re.compile(r"(.*\S)\s+(\d{1,6})")
Monthly = tuple[float, ...]


@dataclass(frozen=True)
class Take:
    """What one obstacle, or several together, keep from wall and modules while all others stand."""

    name: str
    members: tuple[str, ...]  # one name, or those of a group
    kind: str  # tree, building, ...; group
    sun_kwh: Monthly  # sun on the glazing gained without it, January first
    pv_kwh: Monthly  # electricity gained without it; nought for modules themselves
    moment_share: (
        float | None
    )  # of the direct sun at the chosen moment, gained without it; None without such sun
    moment_alone_share: float | None  # of the same, kept off by it on an otherwise open site
    afternoon_share: float | None  # of an open site's direct sun in midwinter afternoons, gained without it
    afternoon_pv_share: float | None  # the same of the modules' electricity


@dataclass(frozen=True)
class Hour:
    """One moment of the chosen date."""

    time: np.datetime64
    elevation_deg: float
    azimuth_deg: float
    beam_share: float | None  # direct sun that reaches the glazing; None while the sun is not before it


@dataclass(frozen=True)
class Afternoons:
    """Direct light with the sun past noon, in the two darkest months."""

    months: tuple[int, int]
    beam_share_kept: float | None
    pv_share_kept: float | None


@dataclass(frozen=True)
class Sunlight:
    """All about the sun on one wall."""

    months: tuple[SunMonth, ...]
    whole: SunMonth
    takes: tuple[Take, ...]  # obstacle by obstacle, those that take most first
    groups: tuple[Take, ...]  # obstacles of one name and several numbers, and everything that grows
    moment: Hour
    hours: tuple[Hour, ...]  # of the moment's date, on the hour
    afternoons: Afternoons
    calendar: SunCalendar  # of a whole year
    season: tuple[int, ...]  # months of the heating season, first to last
    years_on: float
    utc_offset_h: float  # of the standard time that all hours are told in


@dataclass(frozen=True)
class When:
    """A date, and perhaps a time of day; without one the sun's highest moment is meant."""

    month: int
    day: int
    minute: int | None = None  # since midnight, local standard time


def usual_when(latitude_deg: float) -> When:
    """Return the fifth day of the last full winter month, at noon."""
    return When(2, 5) if latitude_deg >= 0.0 else When(8, 5)


def sunlight(
    project: Project,
    weather: Weather,
    when: When | None = None,
    years_on: float = 0.0,
    step_s: int = STEP_S,
    takes_step_s: int = TAKES_STEP_S,
    tell: Tell = silent,
) -> Sunlight:
    """Return all about the sun on a project's wall in one stretch of weather.

    when    the chosen moment;  years_on  years of growth [a]
    step_s  step of the months;  takes_step_s  step of what each obstacle takes [s]
    tell    called with (obstacles done, of how many)
    """
    around = surroundings(project, weather, step_s)
    case = build_case(project, around, years_on=years_on)
    fields = [field_year(project, field, around.course, around.fine, years_on) for field in project.pv]
    calendar = sun_calendar(project, year_course(project, weather), years_on)
    area = case.wall.strip_m2 * case.wall.strips
    months, whole = sun_months(case.drive, around.fine.time, area, fields, calendar)
    day = _Day(project, weather, when or usual_when(project.site.latitude_deg), years_on)
    takes = _Takes(project, weather, years_on, takes_step_s, day)
    singles = {name: (name,) for name in takers(project)}
    subjects = {**singles, **groups(project)}
    found = dict(zip(subjects, takes.of_all(subjects, tell), strict=True))
    return Sunlight(
        months=months,
        whole=whole,
        takes=tuple(sorted((found[name] for name in singles), key=lambda take: -sum(take.sun_kwh))),
        groups=tuple(found[name] for name in subjects if name not in singles),
        moment=day.at(day.chosen),
        hours=day.hours(),
        afternoons=takes.afternoons,
        calendar=calendar,
        season=takes.trial.season,
        years_on=years_on,
        utc_offset_h=site_clock(project.site, weather),
    )


def takers(project: Project) -> dict[str, str]:
    """Return the kind of everything that can keep sun off, the far skyline among it, by its name."""
    skyline = {SKYLINE: "skyline"} if project.site.horizon and SKYLINE not in kinds(project) else {}
    return kinds(project) | skyline


def groups(project: Project) -> dict[str, tuple[str, ...]]:
    """Return obstacles that carry one name and several numbers, and all that grows, where these are several.

    Three trees "fir 1", "fir 2", "fir 3" are "fir 1 to 3".
    """
    numbered: dict[str, list[tuple[int, str]]] = {}
    for name in kinds(project):
        found = NUMBERED.fullmatch(name)
        if found:
            numbered.setdefault(found[1], []).append((int(found[2]), name))
    groups = {}
    for stem, members in numbered.items():
        members.sort()
        if len(members) > 1:
            groups[f"{stem} {members[0][0]} to {members[-1][0]}"] = tuple(name for _, name in members)
    plants = tuple(item.name for item in project.obstacles if isinstance(item, Plant))
    if len(plants) > 1 and set(plants) not in [set(names) for names in groups.values()]:
        groups[ALL_PLANTS] = plants
    return {name: names for name, names in groups.items() if name not in kinds(project)}


def year_course(project: Project, weather: Weather, step_s: int = STEP_S) -> SunCourse:
    """Return the sun's course over a whole year, the weather's own if it is one, from midnight."""
    site = project.site
    start = weather.start.astype("datetime64[D]")
    if weather.steps * weather.step_s < WHOLE_YEAR_DAYS * DAY_S:
        start = start.astype("datetime64[Y]").astype("datetime64[D]")
    clock_h = site_clock(site, weather)
    place = (site.latitude_deg, site.longitude_deg, site.elevation_m, clock_h)
    return sun_course(*place, start.astype("datetime64[s]"), step_s, 365 * DAY_S // step_s)


class _Day:
    """The chosen date, minute by minute."""

    def __init__(self, project: Project, weather: Weather, when: When, years_on: float) -> None:
        site, self.frame = project.site, Frame.of(project.wall)
        year = weather.start.astype("datetime64[Y]").astype(int) + 1970
        self.midnight = np.datetime64(f"{year}-{when.month:02d}-{when.day:02d}T00:00:00", "s")
        half = np.timedelta64(MINUTE_S // 2, "s")
        place = (site.latitude_deg, site.longitude_deg, site.elevation_m, site_clock(site, weather))
        self.course = sun_course(*place, self.midnight - half, MINUTE_S, DAY_S // MINUTE_S)
        self.ways = sun_ways(self.frame, self.course)
        self.scene = scene_of(project, years_on)
        highest = int(np.argmax(self.course.elevation_deg))
        self.chosen = highest if when.minute is None else when.minute

    def faced(self, minute: int) -> bool:
        """Return whether the sun is up and before the wall."""
        return bool(self.ways[minute, 1] > 0.0 and self.ways[minute, 2] > 0.0)

    def share(self, minute: int, scene: Scene | None = None) -> float | None:
        """Return the share of direct sun that reaches the glazing at one minute, None without such sun."""
        if not self.faced(minute):
            return None
        chosen = np.array([minute])
        return float(beam_of(scene or self.scene, self.frame, self.course, self.ways, chosen)[0, 0])

    def at(self, minute: int) -> Hour:
        """Return one minute of the day."""
        time = self.midnight + np.timedelta64(minute * MINUTE_S, "s")
        return Hour(
            time,
            float(self.course.elevation_deg[minute]),
            float(self.course.azimuth_deg[minute]),
            self.share(minute),
        )

    def hours(self) -> tuple[Hour, ...]:
        """Return the full hours with the sun up."""
        up = [hour * 60 for hour in range(24) if self.course.elevation_deg[hour * 60] > 0.0]
        return tuple(self.at(minute) for minute in up)


class _Takes:
    """What is gained without an obstacle."""

    def __init__(self, project: Project, weather: Weather, years_on: float, step_s: int, day: _Day) -> None:
        self.project, self.day, self.scene = project, day, scene_of(project, years_on)
        self.trial = Trial(project, weather, step_s, years_on)
        self.known = Known(self.scene)
        self.area_m2 = self.trial.case.wall.strip_m2 * self.trial.case.wall.strips
        course = self.trial.around.course
        north = project.site.latitude_deg >= 0.0
        self.darkest = DARKEST_NORTH if north else DARKEST_SOUTH
        self.chosen: Flags = np.isin(self.trial.month + 1, self.darkest) & (course.azimuth_deg > 180.0)
        self.now = self._light(())

    @property
    def afternoons(self) -> Afternoons:
        """What midwinter afternoons leave."""
        _, _, beam, electric = self.now
        return Afternoons(self.darkest, beam, electric)

    def of_all(self, subjects: dict[str, tuple[str, ...]], tell: Tell) -> list[Take]:
        """Return what each of some obstacles or groups takes."""
        return together([partial(self._take, name, names) for name, names in subjects.items()], tell)

    def _take(self, name: str, names: tuple[str, ...]) -> Take:
        there, here = self._light(names), self.now
        own = {field.name for field in self.project.pv}
        here_share = self.day.share(self.day.chosen, self.scene)
        bare_share = self.day.share(self.day.chosen, self._alone(names))
        return Take(
            name=name,
            members=names,
            kind=takers(self.project)[name] if names == (name,) else "group",
            sun_kwh=tuple(float(kwh) for kwh in there[0] - here[0]),
            pv_kwh=(0.0,) * 12 if own & set(names) else tuple(float(kwh) for kwh in there[1] - here[1]),
            moment_share=_more(self.day.share(self.day.chosen, self._without(names)), here_share),
            moment_alone_share=_more(1.0, bare_share),
            afternoon_share=_more(there[2], here[2]),
            afternoon_pv_share=None if own & set(names) else _more(there[3], here[3]),
        )

    def _without(self, gone: tuple[str, ...]) -> Scene:
        skyline = SKYLINE in gone and SKYLINE not in self.scene.names
        return replace(self.scene.without(gone), skyline=() if skyline else self.scene.skyline)

    def _alone(self, names: tuple[str, ...]) -> Scene:
        skyline = SKYLINE in names and SKYLINE not in self.scene.names
        others = [name for name in self.scene.names if name not in names]
        return replace(self.scene.without(others), skyline=self.scene.skyline if skyline else ())

    def _light(self, gone: tuple[str, ...]) -> tuple[Floats, Floats, float | None, float | None]:
        """Return sun on the wall and electricity by month [kWh], and the shares midwinter afternoons keep."""
        trial, scene = self.trial, self._without(gone)
        tracer: Tracer = Change(self.known, gone).tracer if gone else self.known.tracer
        if SKYLINE in gone and SKYLINE not in self.scene.names:
            tracer = Reach  # what the skyline hides changes everywhere low in the sky
        course, fine = trial.around.course, trial.around.fine
        light = wall_light(shaded(trial.case.drive, shade_in(scene, trial.frame, course, STRIPS, tracer)))
        sun = monthly_kwh(light.total * self.area_m2, trial.month, course.step_s)
        electric, parts = np.zeros(12), np.zeros(2)
        for field in self.project.pv:
            if field.name not in gone:
                shade = module_shade_in(scene, self.project, field, course, tracer)
                given = field_year(self.project, field, course, fine, shade=shade)
                electric += np.array(given.month_kwh)
                parts += [given.ac_w[self.chosen].sum(), given.ac_open_w[self.chosen].sum()]
        beam = _share(float(light.beam[self.chosen].sum()), float(light.open_beam[self.chosen].sum()))
        return sun, electric, beam, _share(float(parts[0]), float(parts[1]))


def _share(part: float, whole: float) -> float | None:
    return part / whole if whole > 0.0 else None


def _more(there: float | None, here: float | None) -> float | None:
    return None if there is None or here is None else there - here
