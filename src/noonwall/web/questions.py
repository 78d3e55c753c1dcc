"""The questions of the commands, each answered by the same functions; runs in the calculating process."""

from __future__ import annotations

from collections import defaultdict
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from noonwall.logs.errors import ReadingsError
from noonwall.model.beside import marks_of
from noonwall.report.reader import Reader
from noonwall.web.asked import Answer, Order
from noonwall.web.asking import lived, the_site, the_wall, the_ways, the_year
from noonwall.web.asking.question import STEP_S, Matter
from noonwall.web.desk import described

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from noonwall.climate.weather import Weather
    from noonwall.model.beside import Marks
    from noonwall.model.project import Project
    from noonwall.studies.runner import Tell
    from noonwall.web.asking.question import Question

    HeatBeside = list[tuple[str, str, str, str]]  # what, now, with what was learned, how much more


MOST_STATES = (
    2  # of the project that one question's studies are kept of: a study may hold a year at every step
)


@lru_cache(maxsize=2)
def _read(text: str, folder: str, _files: Marks) -> tuple[Project, Weather]:
    from noonwall.climate.load import load_weather

    project = described(text, Path(folder))
    return project, load_weather(project, ".")


def _weather(text: str, folder: str) -> tuple[Project, Weather]:
    """Return a project and its weather, read anew when a file they come from was replaced."""
    return _read(text, folder, marks_of(text, Path(folder)))


class _Drawers:
    """What was studied: of each question the latest states asked about, so that none pushes another's out."""

    def __init__(self) -> None:
        self._of: defaultdict[str, dict[tuple[object, ...], list[Any]]] = defaultdict(dict)

    def of(self, order: Order) -> list[Any]:
        """Return the drawer in which the study of an order is kept: empty, or with the one study in it."""
        drawers = self._of[order.question]
        drawer = drawers[order.about] = drawers.pop(order.about, [])  # the latest asked stands last
        while len(drawers) > MOST_STATES:
            del drawers[next(iter(drawers))]
        return drawer


FOUND = _Drawers()


@lru_cache(maxsize=2)
def _lesson(_about: tuple[object, ...]) -> list[Any]:
    """Return the drawer of what readings taught: it took minutes, and no other study pushes it out."""
    return []


def _drawer(order: Order) -> list[Any]:
    return _lesson(order.about) if order.question == "learn" else FOUND.of(order)


def answer(order: Order, tell: Tell) -> Answer:
    """Answer an order, out of the drawer when the same was asked before.

    raises  NoonwallError for what the builder can mend
    """
    matter, found = _studied(order, tell)
    asked, reader = QUESTIONS[order.question], Reader(order.system)
    return Answer(
        order.question,
        asked.document(found, matter),
        asked.page(found, matter, reader).blocks,
        tuple(asked.pictures(found, matter, reader)),
        asked.fit(found),
        asked.more(found, matter, reader),
    )


def picture(order: Order, name: str, form: str, night: bool, tell: Tell) -> bytes:
    """Draw one picture of an answer as png, svg or pdf; ``night``: in inks for a dark page."""
    from noonwall.report.ink import at_night

    matter, found = _studied(order, tell)
    with at_night(night):
        return QUESTIONS[order.question].pictures(found, matter, Reader(order.system))[name](form)


def _studied(order: Order, tell: Tell) -> tuple[Matter, Any]:
    project, weather = _weather(order.text, order.folder)
    if order.learned:
        project = _taught(project, Path(order.folder))
    matter = Matter(project, weather, Path(order.folder), order)
    drawer, asked = _drawer(order), QUESTIONS[order.question]
    if not drawer:
        drawer.append(asked.study(matter, tell))
    return matter, asked.judged(drawer[0], matter)


def _taught(project: Project, folder: Path) -> Project:
    """Return the project with what was learned of it, as ``--learned`` gives it to the commands."""
    from noonwall.logs.learn.keep import read, with_learned

    return with_learned(project, read(folder))


def claim_of(order: Order, heat_kwh: float, saved: bool, tell: Tell) -> dict[str, Any]:
    """Hold a figure against the sun of the time that a recap's order is about; "rows" set it beside what is known.

    saved   it is said of heat that the heater did not have to give, not of heat that came in
    """
    from dataclasses import asdict

    from noonwall.logs.recap import beside, held_against
    from noonwall.report.claim_words import claim_rows, claim_sentences, claim_verdict

    found, reader = _studied(order, tell)[1], Reader(order.system)
    claim = held_against(found, heat_kwh, saved=saved)
    known = beside(found, claim)
    return {
        **asdict(claim),
        "told": claim_verdict(claim, known),
        "in_span": bool(known.fits(claim)),
        "rows": claim_rows(claim, known, reader),
        "sentences": claim_sentences(claim, known, reader),
    }


def keep_learned(order: Order, keys: tuple[str, ...], tell: Tell) -> int:
    """Keep some of what an order taught beside the project, in place of what was kept; returns how many.

    raises  ReadingsError when the lesson went with the process that held it
    """
    from dataclasses import replace

    from noonwall.logs.learn.keep import write

    learned = _lesson_of(order, tell)
    chosen = tuple(value for value in learned.values if value.key in keys)
    write(order.folder, replace(learned, values=chosen))
    return len(chosen)


def _lesson_of(order: Order, tell: Tell) -> Any:
    if not _drawer(order):
        raise ReadingsError("what was learned is no longer at hand; press 'Learn now' again")
    return _studied(order, tell)[1]


def heat_with(order: Order, keys: tuple[str, ...], in_use: bool, tell: Tell) -> HeatBeside:
    """Return what some of what an order taught would do to the heat of the project's weather year.

    in_use   whether what lies beside the project counts for the year before
    raises   ReadingsError when the lesson is gone, LearningError when the project has changed since
    """
    import noonwall
    from noonwall.logs.learn.keep import corrections_by, with_learned
    from noonwall.report.learn_rows import heat_beside

    learned = _lesson_of(order, tell)
    project, weather = _weather(order.text, order.folder)
    kept = corrections_by(learned, keys)
    ways = (
        _taught(project, Path(order.folder)) if in_use else project,
        with_learned(project, kept) if kept else project,
    )
    years = []
    for done, way in enumerate(ways):
        tell(done, len(ways))
        years.append(noonwall.simulate(way, weather, STEP_S).whole())
    return heat_beside(years[0], years[1], Reader(order.system))


def course_of(order: Order, first: str, days: int, tell: Tell) -> dict[str, Any]:
    """Return some days of the year of an order, step by step."""
    from noonwall.report.course import course

    return course(_studied(order, tell)[1], first, days, Reader(order.system))


def clock_of(order: Order, tell: Tell) -> float:
    """Return a project's standard time minus UTC [h], by its weather where it says nothing itself."""
    from noonwall.sky.fine import site_clock

    tell(0, 1)
    return site_clock(*_site_and_weather(order))


def _site_and_weather(order: Order) -> tuple[Any, Weather]:
    project, weather = _weather(order.text, order.folder)
    return project.site, weather


class _Questions:
    """Makes a question on its first use: their rooms are heavy to import."""

    MAKERS: Mapping[str, Callable[[], Question]] = {
        "year": the_year.year,
        "night": the_wall.night,
        "comfort": the_wall.comfort,
        "hot": the_wall.hot,
        "limit": the_wall.limit,
        "circuit": the_wall.circuit,
        "sun": the_site.sun,
        "cuts": the_site.cuts,
        "awning": the_site.awning,
        "compare": the_ways.compare,
        "recap": lived.recap,
        "learn": lived.learn,
        "climate": the_year.climate,
    }

    def __init__(self) -> None:
        self._made: dict[str, Question] = {}

    def __getitem__(self, name: str) -> Question:
        if name not in self._made:
            self._made[name] = self.MAKERS[name]()
        return self._made[name]


QUESTIONS = _Questions()
