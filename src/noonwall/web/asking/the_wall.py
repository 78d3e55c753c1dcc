"""Nights, warmth, worst hours and the circuit of one wall."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from noonwall.web.asking.question import FINE_S, STEP_S, Question

if TYPE_CHECKING:
    from noonwall.studies.runner import Tell
    from noonwall.units import System
    from noonwall.web.asking.question import Matter


def night() -> Question:
    """Return the question of the nights."""
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


def comfort() -> Question:
    """Return the question of too warm a shop."""
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


def hot() -> Question:
    """Return the question of the worst hours."""
    from noonwall.report.hot_document import hot_document
    from noonwall.report.hot_figures import hot_picture
    from noonwall.report.hot_page import hot_page
    from noonwall.report.hot_steps import hot_steps
    from noonwall.studies.hot import hot_study, with_accepted

    return Question(
        lambda m, tell: hot_study(m.project, m.weather, tell),
        lambda study, m: hot_document(study, m.weather),
        lambda study, m, r: hot_page(study, m.project, m.weather, r),
        lambda study, m, r: {"hot": lambda form: hot_picture(study, m.project, m.weather, r, form)},
        fit=lambda study: not study.breaches,
        judged=lambda study, m: with_accepted(study, m.project.hot),
        more=lambda study, m, r: hot_steps(study, m.project, r),
    )


def limit() -> Question:
    """Return the question of what a room limit makes of the wall's worst hour."""
    from noonwall.report.blocks import page_of
    from noonwall.report.room_limit import limit_document
    from noonwall.studies.limit import limit_heat

    return Question(
        lambda m, tell: limit_heat(m.project, m.weather, tell),
        lambda found, _m: limit_document(found),
        lambda _found, _m, _r: page_of(),
        lambda _found, _m, _r: {},
    )


def circuit() -> Question:
    """Return the question of the fans' circuit."""
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
