"""A recap as the builder reads it: the answer first, months, the chain, what to look at."""

from __future__ import annotations

from typing import TYPE_CHECKING

from noonwall.logs.recap import beside
from noonwall.report.blocks import Column, Facts, Row, Table, Title, filled, page_of, words
from noonwall.report.claim_words import claim_rows, claim_sentences, claim_verdict
from noonwall.report.phrases import clocked
from noonwall.report.reader import grouped, name_of, percent
from noonwall.report.recap_document import recap_document
from noonwall.report.recap_words import answer
from noonwall.report.row_names import row_name
from noonwall.report.tables import few, money_text, plural, worth_as_shown

if TYPE_CHECKING:
    from collections.abc import Sequence

    from noonwall.logs.chain import Chain
    from noonwall.logs.claim import Beside, Claim
    from noonwall.logs.links import Link
    from noonwall.logs.recap import Recap
    from noonwall.logs.recap import Row as Laps
    from noonwall.logs.worth import Change, Worth
    from noonwall.model.project import Project
    from noonwall.report.blocks import Page, Words
    from noonwall.report.reader import Reader

WIDTH = 100
SMALL_KWH = 0.5


def recap_page(found: Recap, project: Project, reader: Reader) -> Page:
    """Return the whole page.

    found  the recap;  project  what was assumed;  reader  units
    """
    title = [f"{name_of(project)}: {reader.period_text(found.period.first, found.period.last)}"]
    if found.invented:
        title.append("INVENTED: nobody measured these readings")
    claimed = None
    if found.claim is not None:
        claimed = _claim(found.claim, beside(found, found.claim), reader)
    return page_of(
        Title(tuple(title)),
        _answer(found, reader),
        _table(found, reader),
        _chain(found.chain, reader),
        _look(found.chain, reader),
        _sure(found, reader),
        _worth(found, reader, project.money.currency),
        _years(found.change, reader, project.money.currency),
        claimed,
    )


def _answer(found: Recap, reader: Reader) -> Words:
    return words(answer(recap_document(found), reader), WIDTH)


def _table(found: Recap, reader: Reader) -> Table:
    unit, degree = reader.heat_unit, reader.degree
    columns = (
        Column("typical", unit, 9),
        Column("expected", unit, 10),
        Column("measured", unit, 10),
        Column("+-", unit, 7),
        Column("known", "", 7),
        Column("fans h", "", 8),
        Column("exp. h", "", 8),
        Column("shop", degree, 8),
        Column("exp.", degree, 7),
    )
    rows = (
        [*found.months, *found.seasons, found.whole] if len(found.months) > 1 else [*found.days, found.whole]
    )
    told = (_row(row, reader, ruled=row is found.whole or row is found.seasons[0]) for row in rows)
    below = ["expected: the engine with the project's assumptions on the weather that was"]
    below += [
        filled(f"{row_name(row.name, row.first, row.last, row.days, reader.system)}: no heat told; {row.untold}.",
               width=WIDTH)
        for row in rows if row.untold and len(found.months) > 1
    ]  # fmt: skip
    return Table("", columns, tuple(told), 20, tuple(below))


def _row(row: Laps, reader: Reader, *, ruled: bool) -> Row:
    def heat(value: float | None) -> str:
        return "-" if value is None else grouped(reader.heat(value))

    def plain(value: float | None, decimals: int = 0) -> str:
        return "-" if value is None else f"{value:,.{decimals}f}"

    blank = row.measured_kwh is None  # nothing to compare is no nought
    typical, expected = (None, None) if blank else (row.typical_kwh, row.expected_kwh)
    cells = (
        *(heat(value) for value in (typical, expected, row.measured_kwh, row.error_kwh)),
        percent(row.known_share),
        plain(row.fan_hours),
        plain(row.expected_fan_hours),
        plain(None if row.shop_c is None else reader.degrees(row.shop_c), 1),
        plain(reader.degrees(row.expected_shop_c), 1),
    )
    return Row(row_name(row.name, row.first, row.last, row.days, reader.system), cells, ruled)


def _chain(chain: Chain, reader: Reader) -> Table:
    """Return the chain as a column of figures that adds up."""
    rows = [Row("expected on the typical year", (grouped(reader.heat(chain.expected_kwh)),))]
    rows += [Row(f"  {item.name}", (_plus(reader, item.kwh),)) for item in chain.links]
    rows.append(Row("measured", (grouped(reader.heat(chain.measured_kwh)),)))
    if abs(chain.sensors.kwh) >= SMALL_KWH:
        raw = chain.measured_kwh + chain.sensors.kwh
        rows.append(Row(f"  {chain.sensors.name}", (_plus(reader, chain.sensors.kwh),)))
        rows.append(Row("what the raw readings would say", (grouped(reader.heat(raw)),)))
    columns = (Column(reader.heat_unit, "", 10),)
    return Table("Where the difference went", columns, tuple(rows), 48)


def _look(chain: Chain, reader: Reader) -> Facts:
    """Return for each link what tells it, where to look and what to do, the largest first."""
    links: Sequence[Link] = sorted((*chain.links, chain.sensors), key=lambda item: -abs(item.kwh))
    facts = []
    for item in links:
        dates = f"Look at {', '.join(item.dates)}. " if item.dates else ""
        text = f"{item.evidence}. {dates}"
        if item.advice != "nothing to do":
            text += f"What to do: {item.advice}."
        facts.append(
            (
                f"{item.name} ({_plus(reader, item.kwh)} {reader.heat_unit}):",
                clocked(reader.dated(text.strip()), reader),
            )
        )
    return Facts("What tells it, where to look, what to do", tuple(facts), 2, width=WIDTH)


def _sure(found: Recap, reader: Reader) -> Words:
    measured = found.chain.measured
    errors = ", ".join(f"{name} {reader.heat_text(value)}" for name, value in measured.errors_kwh.items())
    first = (
        f"How sure: by {measured.level}; errors at about 95 %: {errors}. The largest is {measured.largest_error}. "
        f"Density where the flow is reckoned: {reader.show(measured.density_kg_m3, 'density')}."
    )
    said = [first, *(f"{note[:1].upper()}{note[1:]}." for note in measured.notes)]
    if found.own_claim is not None:
        said.append(
            f"Held against the sun: what came in is {found.own_claim.why} ({found.own_claim.verdict})."
        )
    return words(said, WIDTH)


def _worth(found: Recap, reader: Reader, currency: str) -> Words:
    lines = []
    if found.worth is not None:
        worth = found.worth
        lines.append(
            f"As much heat from {worth.fuel} at {percent(worth.efficiency)}: {_counted(worth)}"
            f"{_priced(worth, currency)}. Heat that came when none was wanted is in it."
        )
    if found.heater_kwh is not None:
        lines.append(f"The backup heater gave {reader.heat_text(found.heater_kwh)}.")
    if found.electricity_money is not None:
        lines.append(f"The fans' electricity cost {found.electricity_money:,.2f} {currency}.")
    base = "15 °C" if not reader.us else "59 °F"
    scale = 1.8 if reader.us else 1.0
    lines.append(
        f"Heating degree days below {base}: {scale * found.degree_days:,.0f}, in the typical year "
        f"{scale * found.typical_degree_days:,.0f} over the same days."
    )
    return words(lines, WIDTH)


def _years(change: Change | None, reader: Reader, currency: str) -> Table | None:
    """Return two years side by side: what came, what allowed it, what the backup burned per degree day."""
    if change is None:
        return None
    before, after = change.before, change.after
    scale = 1.8 if reader.us else 1.0
    per = f"{reader.heat_unit} a degree day"
    rows: list[Row] = []

    def line(
        what: str, then: float | None, now: float | None, share: float | None, decimals: int = 0
    ) -> None:
        told = ["-" if value is None else f"{value:,.{decimals}f}" for value in (then, now)]
        last = "" if share is None else f"{100 * share:+.0f} %"
        rows.append(Row(f"  {what}", (*told, last)))

    def heat(what: str, then: float, now: float, share: float | None) -> None:
        line(f"{what}, {reader.heat_unit}", reader.heat(then), reader.heat(now), share)

    heat("heat into the shop", before.measured_kwh, after.measured_kwh, change.plain_share)
    heat("sun on the glazing", before.sun_kwh, after.sun_kwh, None)
    of_sun = [None if lap.of_sun is None else 100.0 * lap.of_sun for lap in (before, after)]
    line("heat over sun, %", of_sun[0], of_sun[1], change.by_sun_share, 1)
    heat("what its own weather allowed", before.expected_kwh, after.expected_kwh, None)
    if change.by_weather_share is not None:
        then, now = (100.0 * lap.measured_kwh / lap.expected_kwh for lap in (before, after))
        line("heat over what weather allowed, %", then, now, change.by_weather_share)
    line("heating degree days", scale * before.degree_days, scale * after.degree_days, None)
    if before.heater_kwh is not None and after.heater_kwh is not None:
        heat("backup heat", before.heater_kwh, after.heater_kwh, None)
        each = [
            None if lap.heater_per_degree_day is None else reader.heat(lap.heater_per_degree_day) / scale
            for lap in (before, after)
        ]
        line(f"backup heat, {per}", each[0], each[1], change.heater_share, 2)
    below = [f"  told apart beyond {percent(change.band_share)}, by weather first, else by sun"]
    if change.saved is not None:
        below.append(filled(f"  {_saved(change.saved, currency)}", 2, WIDTH))
    columns = (Column("then", "", 10), Column("now", "", 10), Column("change", "", 9))
    title = f"{after.name} against {before.name}: {change.verdict}"
    return Table(title, columns, tuple(rows), 40, tuple(below))


def _saved(saved: Worth, currency: str) -> str:
    more = "less" if saved.amount >= 0.0 else "more"
    return (
        f"by degree days the backup took {_counted(saved)} of {saved.fuel} {more} than the year before would have"
        f"{_priced(saved, currency)}"
    )


def _counted(worth: Worth) -> str:
    return f"{few(abs(worth.amount))} {plural(worth.unit, abs(worth.amount))}"


def _priced(worth: Worth, currency: str) -> str:
    if worth.money is None:
        return ""
    return f", {money_text(worth_as_shown(worth.amount, worth.money), currency)} at the project's price"


def _claim(claim: Claim, known: Beside, reader: Reader) -> Table:
    head = f"Claim of {reader.heat_text(claim.heat_kwh)}: {claim_verdict(claim, known)}: {claim.why}."
    told = tuple(filled(text, width=WIDTH) for text in (head, *claim_sentences(claim, known, reader)))
    rows = (
        Row(f"  {what}", (heat, f"{share} of the sun"))
        for what, heat, share in claim_rows(claim, known, reader)
    )
    columns = (Column("", "", 26), Column("", "", 20))
    return Table("THE CLAIM BESIDE WHAT IS KNOWN", columns, tuple(rows), 46, told)


def _plus(reader: Reader, kwh: float) -> str:
    text = grouped(reader.heat(kwh))
    return text if text in ("0", "-0") or kwh < 0.0 else f"+{text}"
