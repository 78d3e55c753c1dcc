"""The year, and the weather it is made of."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from noonwall.web.asking.question import STEP_S, Question

if TYPE_CHECKING:
    from noonwall.studies.runner import Tell
    from noonwall.web.asking.question import Matter


def _year_study(matter: Matter, tell: Tell) -> Any:
    import noonwall

    tell(0, 1)
    step = matter.order.option("step_s", STEP_S)
    return noonwall.simulate(matter.project, matter.weather, int(step or STEP_S))


def year() -> Question:
    """Return the question of the year."""
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


def climate() -> Question:
    """Return the question of the weather."""
    from noonwall.assess.climate import climate_months
    from noonwall.report.climates import climate_document, climate_page

    return Question(
        lambda m, _tell: climate_months(m.project, m.weather),
        lambda found, m: climate_document(found[0], found[1], m.weather),
        lambda found, m, r: climate_page(found[0], found[1], m.weather, m.project, r),
        lambda _found, _m, _r: {},
    )
