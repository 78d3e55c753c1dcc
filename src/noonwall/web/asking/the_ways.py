"""Ways side by side."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any

from noonwall.web.asking.question import STEP_S, Question
from noonwall.web.desk import enclosed

if TYPE_CHECKING:
    from noonwall.studies.runner import Tell
    from noonwall.web.asking.question import Matter


def compare() -> Question:
    """Return the question of other ways."""
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
