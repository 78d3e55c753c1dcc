"""What readings taught, as text: assumed beside learned, the error before and after, what stays unknown."""

from __future__ import annotations

from typing import TYPE_CHECKING

from noonwall.report.blocks import Column, Row, Table, Title, page_of, words
from noonwall.report.reader import name_of, percent

if TYPE_CHECKING:
    from collections.abc import Sequence

    from noonwall.logs.as_was import Kept
    from noonwall.logs.learn.judge import Error, Measure
    from noonwall.logs.learn.story import Learned, Value
    from noonwall.model.project import Project
    from noonwall.report.blocks import Page
    from noonwall.report.reader import Reader

TITLE_WIDTH = 40
WIDTH = 84
NAMES = {
    "room_c": "air in the shop",
    "gap_bottom_c": "gap, bottom",
    "gap_top_c": "gap, top",
    "vent_c": "air out of the wall",
    "flow_m3_s": "flow through the wall",
    "backup_w": "backup heater",
}
CFM_PER_M3_S = 2118.88
SQUARE_INCH_PER_CM2 = 0.1550003
BTU_H_F_PER_W_K = 1.895634
BTU_F_PER_KJ_K = 0.526565


def learn_page(learned: Learned, project: Project, reader: Reader) -> Page:
    """Return the page that ``noonwall learn`` prints, lines no longer than 84 characters."""
    return page_of(
        _heading(learned, project, reader),
        _values(learned, reader),
        words(_sentences(learned)),
        _errors(learned, reader),
        _measures(learned),
        words(_verdict(learned)),
        words([CAUTION]),
    )


CAUTION = (
    "Learned values are estimates from sensors with errors of their own; an interval holds what the readings can "
    "tell, not what they cannot. The project file keeps what was assumed."
)


def _heading(learned: Learned, project: Project, reader: Reader) -> Title:
    last = learned.start.astype("datetime64[D]") + (round(learned.days) - 1)
    span = reader.period_text(learned.start, last)
    lines = [
        f"{name_of(project)}: what the readings teach",
        f"  {span}, in steps of {learned.step_s // 60} min",
    ]
    notes = [line for note in learned.notes for line in _folded(note, WIDTH - 4)]
    return Title((*lines, *(f"  {line}" for line in notes)))


def shown(value: Value, reader: Reader) -> tuple[str, str, str, str]:
    """Return (assumed, learned, interval, unit) as text."""
    scale, zero, unit = _unit(value, reader)
    figures = [number * scale + zero for number in (value.assumed, value.learned, value.low, value.high)]
    digits = _digits(figures)
    told = [f"{number:,.{digits}f}" for number in figures]
    return told[0], told[1], f"{told[2]} to {told[3]}", unit


def _unit(value: Value, reader: Reader) -> tuple[float, float, str]:
    us = {
        "W/K": (BTU_H_F_PER_W_K, 0.0, "Btu/h°F"),
        "cm2": (SQUARE_INCH_PER_CM2, 0.0, "in2"),
        "MJ/K": (BTU_F_PER_KJ_K, 0.0, "kBtu/°F"),
        "m3/s": (CFM_PER_M3_S, 0.0, "cfm"),
        "C": (1.8, 32.0, "°F"),
    }
    metric = {"m3/s": (3600.0, 0.0, "m3/h"), "C": (1.0, 0.0, "°C")}
    return (us if reader.us else metric).get(value.unit, (1.0, 0.0, value.unit))


def _digits(figures: Sequence[float]) -> int:
    size = max(abs(number) for number in figures)
    return 0 if size >= 100 else 1 if size >= 10 else 2


def _values(learned: Learned, reader: Reader) -> Table:
    rows = []
    for value in learned.values:
        assumed, found, interval, unit = shown(value, reader)
        title = value.title + (f", {unit}" if unit else "")
        told = (assumed, found, interval) if value.told else (assumed, "-", "the readings cannot tell")
        rows.append(Row(title, told))
    columns = (Column("assumed", "", 9), Column("learned", "", 9), Column("90 % interval", "", 26, left=True))
    return Table("WHAT", columns, tuple(rows), TITLE_WIDTH)


def _folded(text: str, width: int) -> list[str]:
    import textwrap

    return textwrap.wrap(text, width) or [""]


def _sentences(learned: Learned) -> list[str]:
    said = []
    untold = [value.title for value in learned.values if not value.told]
    if untold:
        said.append(f"Left as assumed, because the readings do not tell them: {'; '.join(untold)}.")
    titles = {value.key: value.title for value in learned.values}
    said += [
        f"The readings hardly tell apart: {titles[a]}, and {titles[b]}; one may stand for the other, both together "
        "are known better than each."
        for a, b, _ in learned.alike
    ]
    bound = [value.title for value in learned.values if value.at_bound]
    if bound:
        said.append(
            f"At the end of what was searched (three spreads from what was assumed): {'; '.join(bound)}. Something "
            "else is amiss: a wrong measure in the project, a sensor, or a clock."
        )
    if learned.days_left_out:
        said.append(
            f"{learned.days_left_out} days of single channels differ out of all proportion and taught nothing; "
            "what looks doubtful about the readings may tell why."
        )
    return said


def _errors(learned: Learned, reader: Reader) -> Table | None:
    before = {error.channel: error for error in learned.errors_assumed}
    if not learned.errors:
        return None
    rows = []
    for error in learned.errors:
        cells = (
            _k(before.get(error.channel), reader),
            _k(error, reader),
            f"{reader.kelvins(error.bias_k):+.1f}",
        )
        rows.append(Row(NAMES[error.channel], cells))
    columns = (Column("assumed", "", 9), Column("learned", "", 9), Column("bias", "", 9))
    title = f"ERROR ON DAYS THAT DID NOT TEACH, {reader.degree}"
    return Table(title, columns, tuple(rows), TITLE_WIDTH)


def _k(error: Error | None, reader: Reader) -> str:
    return "-" if error is None else f"{reader.kelvins(error.rmse_k):.1f}"


def _measures(learned: Learned) -> Table | None:
    if not learned.measures:
        return None
    before = {(m.what, m.by): m for m in learned.measures_assumed}
    rows = []
    for measure in learned.measures:
        rows.append(Row(f"{measure.what}, by {measure.by}", _measured(measure)))
        was = before.get((measure.what, measure.by))
        if was is not None:
            rows.append(Row("  as assumed", _measured(was)))
    columns = (
        Column("off by", "", 10),
        Column("at most", "", 9),
        Column("in all", "", 8),
        Column("within", "", 8),
    )
    below = ("off by: each hour's or month's, CV(RMSE); in all: measured less calculated, NMBE",)
    return Table("HEAT ON DAYS THAT DID NOT TEACH", columns, tuple(rows), TITLE_WIDTH, below)


def _measured(one: Measure) -> tuple[str, str, str, str]:
    return (
        percent(one.cv_rmse),
        percent(one.most_cv_rmse),
        f"{100.0 * one.nmbe:+.1f} %",
        f"+-{percent(one.most_nmbe)}",
    )


def _verdict(learned: Learned) -> list[str]:
    if not learned.measures:
        none = (
            "No heat was measured (fan state with gap temperatures, or the heater's power), so how far the calculated "
            "heat is off cannot be told; errors of temperatures are all there is."
        )
        return [none]
    how = [
        f"{m.what}: {BY[m.by]} the calculation is typically off by {percent(m.cv_rmse)}, over the whole by "
        f"{percent(abs(m.nmbe))}"
        for m in learned.measures
    ]
    lead = f"On days that did not teach, {'; '.join(how)}."
    missed = [f"{m.what} by {m.by}" for m in learned.measures if not m.met]
    if not missed:
        return [f"{lead} {WITHIN} {LIMITS}"]
    return [f"{lead} Too much for {'; '.join(missed)}: take the learned values with caution. {LIMITS}"]


def changed_words(kept: Kept | None, reader: Reader) -> str:
    """Return that the project was changed since the readings were read in, and what that means; empty where not.

    kept   the project as it was then
    """
    if kept is None or not kept.changed:
        return ""
    parts = f"{', '.join(kept.changed[:-1])} and {kept.changed[-1]}" if kept.changed[1:] else kept.changed[0]
    day = reader.day_text(kept.day, year=True)
    return (
        f"Your project was changed after these readings were read in on {day}: {parts}. "
        "The readings are of the time before; what they seem to teach about it is not about what stands there now."
    )


BY = {"hour": "hour by hour", "month": "month by month"}
WITHIN = "That is within what is asked of a model fitted to readings."
LIMITS = (
    "(Asked: at most 30 % hour by hour and 10 % over the whole; of months 15 % and 5 %: CV(RMSE) and NMBE of ASHRAE "
    "Guideline 14-2014.)"
)
