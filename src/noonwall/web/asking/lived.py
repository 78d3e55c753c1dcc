"""Looking back on readings, and learning from them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from noonwall.logs.errors import ReadingsError
from noonwall.web.asking.question import Question

if TYPE_CHECKING:
    from noonwall.logs.learn.story import Learned
    from noonwall.report.reader import Reader
    from noonwall.studies.runner import Tell
    from noonwall.web.asking.question import Matter

LEARN_STEP_S = 600  # as the command takes it


def recap() -> Question:
    """Return the question of a lived year."""
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
            return recap(
                m.project,
                store,
                _date(m, "first"),
                _date(m, "last"),
                None,
                tell,
                as_was=bool(m.order.option("was")),
            )

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


def learn() -> Question:
    """Return the question of what readings teach."""
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
        more=lambda found, m, r: {**learn_rows(found, r), "changed": _changed(found, m, r)},
    )


def _changed(learned: Learned, m: Matter, reader: Reader) -> str:
    """Return what of the project was changed since the readings that taught were read in; empty where nothing was."""
    from noonwall.logs.as_was import kept_with
    from noonwall.logs.period import Period
    from noonwall.logs.store import FILE, Store
    from noonwall.report.learn_page import changed_words
    from noonwall.sky.fine import site_clock

    if not (m.folder / FILE).exists():
        return ""
    first = learned.start.astype("datetime64[D]")
    period = Period(first, max(1, round(learned.days)), site_clock(m.project.site, m.weather))
    with Store(m.folder) as store:
        return changed_words(kept_with(store, period), reader)
