"""The page of ``noonwall cuts``: what each obstacle costs, in which order cuts gain most, hidden pairs."""

from __future__ import annotations

from typing import TYPE_CHECKING

from noonwall.report.blocks import Facts, Title, page_of, table, words
from noonwall.report.phrases import fuel_amount, heading_lines
from noonwall.report.reader import grouped, name_of, percent
from noonwall.report.sun_tables import season_text, years_text
from noonwall.report.sun_words import quoted
from noonwall.report.tables import CAUTION

if TYPE_CHECKING:
    from noonwall.climate.weather import Weather
    from noonwall.model.project import Money, Project
    from noonwall.report.blocks import Page, Table, Words
    from noonwall.report.reader import Reader
    from noonwall.studies.trees import Cost, Cuts, Step
    from noonwall.studies.trial import Yield

MOST_OF_IT = 0.7
FUEL_AT = 32
DOING = {"out": "Taking out", "top": "Topping", "thin": "Thinning"}
DONE = {"out": "take out", "top": "top", "thin": "thin"}
FELLING = "Felling and climbing are for those who know how; whose tree it is, and local rules, decide first."


def cuts_page(found: Cuts, project: Project, weather: Weather, reader: Reader, years_on: float = 0.0) -> Page:
    """Return the page."""
    title = f"{name_of(project)}: which cut gains most"
    head = [title, *heading_lines(project, weather, reader)]
    if years_on > 0.0:
        head.append(f"  in {years_text(years_on)}, with the cuts made now and all trees grown on")
    return page_of(
        Title(tuple(head)),
        words(findings(found, reader)),
        _order(found, reader),
        _fuel(found, project),
        _pairs(found, reader),
        _costs(found, reader),
        words(_notes(found), about="notes"),
        words([FELLING, CAUTION], about="care"),
    )


def findings(found: Cuts, reader: Reader) -> list[str]:
    """Return in plain sentences what is there now, and how far a few cuts go."""
    now, season = found.now, season_text(found.now.season)
    electric = f" and the modules make {grouped(now.pv)} kWh of electricity in the year" if now.pv else ""
    said = [
        f"As it stands the wall brings {reader.heat_text(now.season_heat)} of heat in {season}{electric}."
    ]
    if found.all_cut is None:
        return [*said, "Nothing grows on this site that could be cut."]
    whole = found.all_cut
    if whole.worth < 1.0 or not found.steps:
        return [*said, "Cutting gains nothing worth the saw."]
    said.append(_few_words(found, whole, reader))
    dear = next((cost for cost in found.costs if cost.kind == "modules" and cost.gone), None)
    if dear is not None and dear.gone is not None and dear.gone.season_heat > 1.0:
        heat, lost = reader.heat_text(dear.gone.season_heat), grouped(-dear.gone.pv)
        said.append(
            f'Where they hang, "{dear.name}" cost {heat} of heat in {season} and make {lost} kWh of electricity; '
            "`noonwall awning` looks for a better place."
        )
    return said


def _few_words(found: Cuts, whole: Yield, reader: Reader) -> str:
    """Return how many cuts gain most of what all of them do."""
    few = next(
        (i for i, step in enumerate(found.steps) if step.running_kwh >= MOST_OF_IT * whole.worth),
        len(found.steps) - 1,
    )
    made = [name for step in found.steps[: few + 1] for name in step.names]
    gain = _sum(found.steps[: few + 1], reader)
    if found.can_be_cut == 1:
        return f"{DOING[found.wanted.way]} {quoted(made)} gains {gain}."
    share = percent(found.steps[few].running_kwh / whole.worth)
    count = f"{len(made)} of {found.can_be_cut} cuts gain{'' if len(made) > 1 else 's'}"
    return f"{count} {share} of what all of them together gain: {quoted(made)}, {gain}."


def _sum(steps: tuple[Step, ...], reader: Reader) -> str:
    heat, electric = (sum(getattr(step.gain, name) for step in steps) for name in ("season_heat", "pv"))
    words = f"{reader.heat_text(heat)} of heat in the season"
    return f"{words} and {grouped(electric)} kWh of electricity" if abs(electric) >= 1.0 else words


def cut_words(found: Cuts, names: tuple[str, ...]) -> str:
    """Return what a step of the order does: "take out fir 1", "thin oak 2 and oak 3"."""
    return f"{DONE[found.wanted.way]} {' and '.join(names)}"


def _order(found: Cuts, reader: Reader) -> Table | None:
    if found.all_cut is None or found.all_cut.worth < 1.0 or not found.steps:
        return None
    heat, electric = reader.heat_unit, found.now.pv > 0.0
    columns: list[tuple[str, str, int]] = [
        ("heat|year", heat, 9),
        (f"{_months(found.now)}|heat", heat, 12),
        ("year|modules", "kWh", 9),
        ("heat and|modules", heat, 10),
        ("so far|together", heat, 10),
        ("of|all", "", 7),
    ]
    if not electric:
        columns = [column for i, column in enumerate(columns) if i not in {2, 3}]

    def row(step: Step) -> list[str]:
        gain = step.gain
        cells = [
            _signed(reader.heat(gain.heat)),
            _signed(reader.heat(gain.season_heat)),
            _signed(gain.pv),
            _signed(reader.heat(gain.worth)),
            grouped(reader.heat(step.running_kwh)),
            percent(step.running_kwh / found.all_cut.worth) if found.all_cut else "-",
        ]
        return cells if electric else [cell for i, cell in enumerate(cells) if i not in {2, 3}]

    rows = [(f"{i}. {' and '.join(step.names)}", row(step)) for i, step in enumerate(found.steps, start=1)]
    whole = found.all_cut
    last = [
        _signed(reader.heat(whole.heat)),
        _signed(reader.heat(whole.season_heat)),
        _signed(whole.pv),
        _signed(reader.heat(whole.worth)),
        "",
        "",
    ]
    last = last if electric else [cell for i, cell in enumerate(last) if i not in {2, 3}]
    by = f" BY {percent(found.wanted.thin)}" if found.wanted.way == "thin" else ""
    title = f"{DONE[found.wanted.way].upper()}{by}, IN THIS ORDER"
    whole_row = [(f"all {found.can_be_cut} of them", last)] if found.can_be_cut > 1 else []
    return table(title, columns, rows, whole_row)


def fuel_and_money(step: Step, money: Money) -> str:
    """Return what a cut spares of fuel and brings of electricity, with what they cost; empty for neither."""
    said = []
    if step.fuel is not None:
        amount = fuel_amount(step.fuel, money.currency)
        said.append(f"no {step.fuel.fuel}" if amount == "-" else f"{step.fuel.fuel}: {amount}")
    if abs(step.gain.pv) >= 1.0:
        price = money.electricity_per_kwh
        worth = "" if price is None else f", {grouped(abs(step.gain.pv * price))} {money.currency}"
        said.append(
            f"electricity: {grouped(abs(step.gain.pv))} kWh{'' if step.gain.pv > 0.0 else ' less'}{worth}"
        )
    return "; ".join(said)


def _fuel(found: Cuts, project: Project) -> Facts | None:
    """Return fuel not burned and electricity of each step, with their price."""
    told = [(step, fuel_and_money(step, project.money)) for step in found.steps]
    if not any(text for _, text in told) or all(step.fuel is None for step in found.steps):
        return None
    facts = tuple(
        (f"  {i}. {' and '.join(step.names)}", text) for i, (step, text) in enumerate(told, start=1)
    )
    return Facts("FUEL NOT BURNED IN A YEAR, by each cut after those above it", facts, FUEL_AT + 2)


def hidden_words(found: Cuts, step: Step, reader: Reader) -> str:
    """Return why a step makes two cuts at once; empty for a step of one."""
    if len(step.names) < 2:
        return ""
    alone = {
        cost.name: cost.gone for cost in found.costs if cost.gone is not None and cost.name in step.names
    }
    known = [
        f'"{name}" {reader.heat_text(max(gone.worth, 0.0))}'
        for name in step.names
        if (gone := alone.get(name))
    ]
    figures = f" Cut alone as all stands now, {' and '.join(known)}." if len(known) == len(step.names) else ""
    return f"Two at once: each alone gains little, for the other still stands in the same sun.{figures}"


def _months(given: Yield) -> str:
    first, last = (season_text(given.season).split(" to ")[i][:3] for i in (0, 1))
    return f"{first} to {last}"


def _pairs(found: Cuts, reader: Reader) -> Words | None:
    lines = []
    for pair in found.pairs:
        alone, then = (reader.heat_text(max(gain.worth, 0.0)) for gain in (pair.alone, pair.then))
        lines.append(
            f'"{pair.hidden}" alone gains {alone} of heat and electricity; once "{pair.other}" is cut, it gains {then}.'
        )
    twos = [
        f"{quoted(step.names)} are one step: {told[0].lower()}{told[1:]}"
        for step in found.steps
        if (told := hidden_words(found, step, reader).removeprefix("Two at once: "))
    ]
    return words(["Hidden in another's shadow:", *twos, *lines], about="pairs") if lines or twos else None


def _costs(found: Cuts, reader: Reader) -> Table | None:
    if not found.costs:
        return None
    heat, electric = reader.heat_unit, found.now.pv > 0.0
    thin = f"thinned|{percent(found.wanted.thin)}"
    columns: list[tuple[str, str, int]] = [
        ("gone:|heat year", heat, 11),
        (f"{_months(found.now)}|heat", heat, 11),
        ("year|modules", "kWh", 9),
        ("topped|at", "", 9),
        ("|heat", heat, 7),
        (thin + " heat", heat, 10),
    ]
    if not electric:
        columns.pop(2)

    def row(cost: Cost) -> list[str]:
        gone = cost.gone
        cells = [
            _signed(reader.heat(gone.heat)) if gone else "-",
            _signed(reader.heat(gone.season_heat)) if gone else "-",
            _signed(gone.pv) if gone else "-",
            "-" if cost.topped_m is None else reader.show(cost.topped_m, "length", 2),
            _signed(reader.heat(cost.topped.season_heat)) if cost.topped else "-",
            _signed(reader.heat(cost.thinned.season_heat)) if cost.thinned else "-",
        ]
        return cells if electric else [cell for i, cell in enumerate(cells) if i != 2]

    return table("WHAT IS GAINED WITHOUT IT", columns, [(cost.name, row(cost)) for cost in found.costs])


def _notes(found: Cuts) -> list[str]:
    note = (
        "Each figure is the difference of two calculated years; each line of the order is what a cut gains after all "
        "cuts above it. The order counts heat of the season and electricity of the year alike. Topped and thinned: "
        f"heat of {season_text(found.now.season)}. A dash: {_dash(found)}."
    )
    if any(step.fuel is not None for step in found.steps):
        note += " Heat that comes while the heater would not run spares no fuel: that is why fuel is less than heat."
    return [note, f"{found.runs} years were calculated, in {found.step_s // 60}-minute steps."]


def _dash(found: Cuts) -> str:
    reasons = {cost.why for cost in found.costs if cost.why}
    return "; ".join(sorted(reasons)) or "none"


def _signed(number: float) -> str:
    text = grouped(number)
    return "0" if text in {"-0", "0"} else text
