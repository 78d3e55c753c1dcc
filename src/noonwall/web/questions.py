"""The questions of the commands, each answered by the same functions; runs in the calculating process."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache, partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from noonwall.logs.errors import ReadingsError
from noonwall.model.beside import marks_of
from noonwall.report.reader import Reader
from noonwall.web.asked import Answer, Order
from noonwall.web.desk import described, enclosed

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from noonwall.climate.weather import Weather
    from noonwall.model.beside import Marks
    from noonwall.model.project import Project
    from noonwall.report.blocks import Page
    from noonwall.studies.runner import Tell
    from noonwall.units import System

    Drawing = Callable[[str], bytes]
    HeatBeside = list[tuple[str, str, str, str]]  # what, now, with what was learned, how much more

STEP_S = 300
FINE_S = 60
LEARN_STEP_S = 600  # as the command takes it


@dataclass(frozen=True)
class Matter:
    """What a question is about: the project, its weather, where it lies, what was asked."""

    project: Project
    weather: Weather
    folder: Path
    order: Order


@dataclass(frozen=True)
class Question:
    """How one question is studied, and how its study is told; ``found`` is whatever ``study`` returned."""

    study: Callable[[Matter, Tell], Any]
    document: Callable[[Any, Matter], dict[str, Any]]
    page: Callable[[Any, Matter, Reader], Page]
    pictures: Callable[[Any, Matter, Reader], Mapping[str, Drawing]]
    fit: Callable[[Any], bool] = lambda _found: True
    more: Callable[[Any, Matter, Reader], dict[str, Any]] = lambda _found, _matter, _reader: {}


@lru_cache(maxsize=2)
def _read(text: str, folder: str, _files: Marks) -> tuple[Project, Weather]:
    from noonwall.climate.load import load_weather

    project = described(text, Path(folder))
    return project, load_weather(project, ".")


def _weather(text: str, folder: str) -> tuple[Project, Weather]:
    """Return a project and its weather, read anew when a file they come from was replaced."""
    return _read(text, folder, marks_of(text, Path(folder)))


@lru_cache(maxsize=6)
def _found(_about: tuple[object, ...]) -> list[Any]:
    """Return the drawer in which the study of an order is kept: empty, or with the one study in it."""
    return []


@lru_cache(maxsize=2)
def _lesson(_about: tuple[object, ...]) -> list[Any]:
    """Return the drawer of what readings taught: it took minutes, and no other study pushes it out."""
    return []


def _drawer(order: Order) -> list[Any]:
    return _lesson(order.about) if order.question == "learn" else _found(order.about)


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
    drawer = _drawer(order)
    if not drawer:
        drawer.append(QUESTIONS[order.question].study(matter, tell))
    return matter, drawer[0]


def _taught(project: Project, folder: Path) -> Project:
    """Return the project with what was learned of it, as ``--learned`` gives it to the commands."""
    from noonwall.logs.learn.keep import read, with_learned

    return with_learned(project, read(folder))


def claim_of(order: Order, heat_kwh: float, tell: Tell) -> dict[str, Any]:
    """Hold a figure against the sun of the time that a recap's order is about; "rows" set it beside what is known."""
    from dataclasses import asdict

    from noonwall.logs.recap import beside, held_against
    from noonwall.report.claim_words import claim_rows, claim_sentences

    found, reader = _studied(order, tell)[1], Reader(order.system)
    claim = held_against(found, heat_kwh)
    known = beside(found, claim)
    return {
        **asdict(claim),
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


def _year_study(matter: Matter, tell: Tell) -> Any:
    import noonwall

    tell(0, 1)
    step = matter.order.option("step_s", STEP_S)
    return noonwall.simulate(matter.project, matter.weather, int(step or STEP_S))


def _year() -> Question:
    from noonwall.assess.sums import answers
    from noonwall.report.brought import brought
    from noonwall.report.course import daily
    from noonwall.report.document import year_document
    from noonwall.report.figures import year_picture
    from noonwall.report.tables import year_page
    from noonwall.report.words import saving_words

    return Question(
        _year_study,
        lambda year, _m: year_document(year),
        lambda year, m, r: year_page(answers(year, m.project), year, m.project, r),
        lambda year, m, r: {
            "year": lambda form: year_picture(answers(year, m.project), year, m.project, r, form)
        },
        more=lambda year, m, r: {
            "daily": daily(year, r),
            "brought": brought(answers(year, m.project), m.project, r),
            "spared": saving_words(answers(year, m.project), r),
        },
    )


def _night() -> Question:
    from noonwall.report.night_document import night_document
    from noonwall.report.night_figures import night_picture
    from noonwall.report.night_page import night_page
    from noonwall.report.night_steps import night_steps
    from noonwall.studies.night import night_study

    return Question(
        lambda m, tell: night_study(m.project, m.weather, STEP_S, tell),
        lambda study, m: night_document(study, m.weather),
        lambda study, m, r: night_page(study, m.project, m.weather, r),
        lambda study, m, r: {"night": lambda form: night_picture(study, m.project, m.weather, r, form)},
        more=lambda study, m, r: {"steps": night_steps(study, m.project, r)},
    )


def _comfort() -> Question:
    from noonwall.report.comfort_cover import cover_offer
    from noonwall.report.comfort_document import comfort_document
    from noonwall.report.comfort_figures import comfort_picture
    from noonwall.report.comfort_page import comfort_page
    from noonwall.studies.comfort import comfort_study

    return Question(
        lambda m, tell: comfort_study(m.project, m.weather, 10, tell),
        lambda study, m: comfort_document(study, m.weather),
        lambda study, m, r: comfort_page(study, m.project, m.weather, r),
        lambda study, m, r: {"comfort": lambda form: comfort_picture(study, m.project, m.weather, r, form)},
        more=lambda study, m, r: {"cover": cover_offer(study, m.project, r)},
    )


def _hot() -> Question:
    from noonwall.report.hot_document import hot_document
    from noonwall.report.hot_figures import hot_picture
    from noonwall.report.hot_page import hot_page
    from noonwall.report.hot_steps import hot_steps
    from noonwall.studies.hot import hot_study

    return Question(
        lambda m, tell: hot_study(m.project, m.weather, tell),
        lambda study, m: hot_document(study, m.weather),
        lambda study, m, r: hot_page(study, m.project, m.weather, r),
        lambda study, m, r: {"hot": lambda form: hot_picture(study, m.project, m.weather, r, form)},
        fit=lambda study: not study.breaches,
        more=lambda study, m, r: hot_steps(study, m.project, r),
    )


def _circuit() -> Question:
    import noonwall
    from noonwall.assess.circuit import circuit_check
    from noonwall.report.circuit_figures import circuit_picture
    from noonwall.report.circuit_page import circuit_document, circuit_page

    systems: tuple[System, ...] = ("metric", "us")

    def study(m: Matter, tell: Tell) -> Any:
        tell(0, 1)
        year = noonwall.simulate(m.project, m.weather, FINE_S)
        return {system: circuit_check(m.project, year, system) for system in systems}  # findings tell figures

    return Question(
        study,
        lambda checks, m: circuit_document(checks[m.order.system], m.project),
        lambda checks, m, r: circuit_page(checks[r.system], m.project, r),
        lambda checks, m, r: {"circuit": lambda form: circuit_picture(checks[r.system], m.project, r, form)},
        fit=lambda checks: not checks["metric"].beyond,
    )


def _as_png(drawing: Callable[[], bytes]) -> Drawing:
    return lambda _form: drawing()


def _years_on(matter: Matter) -> float:
    return float(matter.order.option("years_on", 0.0) or 0.0)


def clock_of(order: Order, tell: Tell) -> float:
    """Return a project's standard time minus UTC [h], by its weather where it says nothing itself."""
    from noonwall.sky.fine import site_clock

    tell(0, 1)
    return site_clock(*_site_and_weather(order))


def _site_and_weather(order: Order) -> tuple[Any, Weather]:
    project, weather = _weather(order.text, order.folder)
    return project.site, weather


def _sun() -> Question:
    from noonwall.report.sun_document import sun_document
    from noonwall.report.sun_figures import sun_pictures
    from noonwall.report.sun_series import sun_series
    from noonwall.report.sun_tables import sun_page
    from noonwall.studies.sunlight import sunlight

    def drawn(found: Any, m: Matter, r: Reader) -> dict[str, Drawing]:
        every = sun_pictures(found, m.project, r)
        return {name.removesuffix(".png"): _as_png(drawing) for name, drawing in every.items()}

    return Question(
        lambda m, tell: sunlight(m.project, m.weather, None, _years_on(m), tell=tell),
        lambda found, m: sun_document(found, m.weather),
        lambda found, m, r: sun_page(found, m.project, m.weather, r),
        drawn,
        more=lambda found, _m, r: sun_series(found, r),
    )


def _cuts() -> Question:
    from noonwall.report.cuts_page import cuts_page
    from noonwall.report.sun_document import cuts_document
    from noonwall.report.sun_series import cuts_series
    from noonwall.studies.trees import Remedies, rank_cuts

    return Question(
        lambda m, tell: rank_cuts(
            m.project, m.weather, Remedies("out", None, 0.5, 12), _years_on(m), tell=tell
        ),
        lambda found, m: cuts_document(found, m.weather, _years_on(m)),
        lambda found, m, r: cuts_page(found, m.project, m.weather, r, _years_on(m)),
        lambda _found, _m, _r: {},
        more=lambda found, m, r: cuts_series(found, m.project, r),
    )


def _awning() -> Question:
    from noonwall.report.awning_figure import awning_picture
    from noonwall.report.awning_page import awning_document, awning_page
    from noonwall.studies.awning import awning_curve

    return Question(
        lambda m, tell: awning_curve(m.project, m.weather, 0.9, None, 0.0, 10, tell),
        lambda curve, m: awning_document(curve, m.weather),
        lambda curve, m, r: awning_page(curve, m.project, m.weather, r),
        lambda curve, m, r: {"awning": lambda form: awning_picture(curve, m.project, r, form)},
    )


def _compare() -> Question:
    from noonwall.report.compare_figures import compare_picture
    from noonwall.report.compare_page import compare_document, compare_page
    from noonwall.report.compare_rows import compare_rows
    from noonwall.studies.compare import compare_study
    from noonwall.studies.variants import as_the_project, ways_of

    def study(m: Matter, tell: Tell) -> Any:
        placed = as_the_project(m.project, partial(enclosed, folder=m.folder))
        ways = ways_of(m.order.text, m.project, None, placed)
        return compare_study(m.project, ways, m.weather, STEP_S, tell)

    return Question(
        study,
        lambda found, m: compare_document(found, m.weather),
        lambda found, m, r: compare_page(found, m.project, m.weather, r),
        lambda found, m, r: {"compare": lambda form: compare_picture(found, m.project, m.weather, r, form)},
        more=lambda found, m, r: compare_rows(found, m.project, r),
    )


def _climate() -> Question:
    from noonwall.assess.climate import climate_months
    from noonwall.report.climates import climate_document, climate_page

    return Question(
        lambda m, _tell: climate_months(m.project, m.weather),
        lambda found, m: climate_document(found[0], found[1], m.weather),
        lambda found, m, r: climate_page(found[0], found[1], m.weather, m.project, r),
        lambda _found, _m, _r: {},
    )


def _recap() -> Question:
    from noonwall.logs.recap import recap
    from noonwall.logs.store import FILE, Store
    from noonwall.report.recap_document import recap_document
    from noonwall.report.recap_figures import recap_picture
    from noonwall.report.recap_page import recap_page
    from noonwall.report.recap_steps import recap_steps

    def study(m: Matter, tell: Tell) -> Any:
        if not (m.folder / FILE).exists():
            raise ReadingsError("no readings are kept yet; hand some in on the page of readings")
        tell(0, 1)
        with Store(m.folder) as store:
            return recap(m.project, store, _date(m, "first"), _date(m, "last"), None, tell)

    return Question(
        study,
        lambda found, _m: recap_document(found),
        lambda found, m, r: recap_page(found, m.project, r),
        lambda found, m, r: {"recap": lambda form: recap_picture(found, m.project, r, form)},
        more=lambda found, _m, r: recap_steps(recap_document(found), r),
    )


def _date(m: Matter, name: str) -> str | None:
    value = m.order.option(name)
    return str(value) if value else None


def _learn() -> Question:
    from noonwall.logs.learn.gather import gather
    from noonwall.logs.learn.story import learn
    from noonwall.logs.store import FILE, Store
    from noonwall.report.learn_document import learn_document
    from noonwall.report.learn_figures import learn_picture
    from noonwall.report.learn_page import learn_page
    from noonwall.report.learn_rows import learn_rows
    from noonwall.sky.fine import site_clock

    def study(m: Matter, tell: Tell) -> Any:
        if not (m.folder / FILE).exists():
            raise ReadingsError("no readings are kept yet; hand some in on the page of readings")
        clock_h = site_clock(m.project.site, m.weather)
        with Store(m.folder) as store:
            measured, outside = gather(
                store, m.project, clock_h, LEARN_STEP_S, _date(m, "first"), _date(m, "last")
            )
        return learn(m.project, m.weather, measured, outside, tell)

    return Question(
        study,
        lambda found, _m: learn_document(found),
        lambda found, m, r: learn_page(found, m.project, r),
        lambda found, m, r: {"learn": lambda form: learn_picture(found, m.project, r, form)},
        more=lambda found, _m, r: learn_rows(found, r),
    )


class _Questions:
    """Makes a question on its first use: their rooms are heavy to import."""

    MAKERS: Mapping[str, Callable[[], Question]] = {
        "year": _year,
        "night": _night,
        "comfort": _comfort,
        "hot": _hot,
        "circuit": _circuit,
        "sun": _sun,
        "cuts": _cuts,
        "awning": _awning,
        "compare": _compare,
        "recap": _recap,
        "learn": _learn,
        "climate": _climate,
    }

    def __init__(self) -> None:
        self._made: dict[str, Question] = {}

    def __getitem__(self, name: str) -> Question:
        if name not in self._made:
            self._made[name] = self.MAKERS[name]()
        return self._made[name]


QUESTIONS = _Questions()
