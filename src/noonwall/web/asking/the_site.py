"""Sun, cuts and awning of a site."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from noonwall.web.asking.question import Question

if TYPE_CHECKING:
    from collections.abc import Callable

    from noonwall.report.reader import Reader
    from noonwall.web.asking.question import Drawing, Matter


def _as_png(drawing: Callable[[], bytes]) -> Drawing:
    return lambda _form: drawing()


def _years_on(matter: Matter) -> float:
    return float(matter.order.option("years_on", 0.0) or 0.0)


def sun() -> Question:
    """Return the question of the sun on the wall."""
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


def cuts() -> Question:
    """Return the question of the saw."""
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


def awning() -> Question:
    """Return the question of the awning."""
    from noonwall.report.awning_figure import awning_picture
    from noonwall.report.awning_page import awning_document, awning_offers, awning_page
    from noonwall.studies.awning import awning_curve

    return Question(
        lambda m, tell: awning_curve(
            m.project, m.weather, 0.9, None, 0.0, 10, tell, feet=m.order.system == "us"
        ),
        lambda curve, m: awning_document(curve, m.weather),
        lambda curve, m, r: awning_page(curve, m.project, m.weather, r),
        lambda curve, m, r: {"awning": lambda form: awning_picture(curve, m.project, r, form)},
        more=lambda curve, _m, r: {"offers": awning_offers(curve, r)},
    )
