"""The year as text: two tables a tired person can read, three sentences, and the lines a builder asks for."""

from __future__ import annotations

from typing import TYPE_CHECKING

from noonwall.report.blocks import Column, Facts, Row, Table, Title, filled, month_table, page_of, words
from noonwall.report.reader import cell, grouped, name_of, percent
from noonwall.report.words import fan_words, saving_words, sentences, warm_words
from noonwall.units import MONTHS, in_both

if TYPE_CHECKING:
    from collections.abc import Iterable

    from noonwall.assess.fuel import FuelSaved
    from noonwall.assess.sums import Answers, ShopAlone
    from noonwall.engine.year import Month, Year
    from noonwall.model.project import Project
    from noonwall.report.blocks import Page, Words
    from noonwall.report.reader import Reader

WINTER_WIDTH, WITH_WIDTH = 52, 10
MOST_WIDE_HOURS = 4
ALL_OF_IT = 0.995
KM_PER_MILE = 1.609344
CAUTION = (
    "These figures are a model's estimates, not measurements. Electrical work, fire separation, roof and "
    "wall loads: the local code and licensed trades decide."
)
WEATHER_WORDS = {
    "epw": "EPW file",
    "tmy3": "TMY3 file",
    "pvgis": "PVGIS file",
    "psm": "NSRDB file",
    "csv": "CSV file",
    "monthly figures": "made from its monthly figures",
    "typed months": "made from the twelve months typed in",
}


def year_page(found: Answers, year: Year, project: Project, reader: Reader) -> Page:
    """Return the page of ``noonwall year``.

    found  answers of the year;  year  the simulated year;  project  what was described;  reader  units
    """
    return page_of(
        heading(project, year, reader),
        wall_table(found, reader),
        shop_table(found, reader),
        words([*sentences(found, year.comfort_limit_c, reader), fan_words(found, reader)]),
        winter_table(found, reader),
        words([warm_words(found, reader)]),
        three_lines(found, project, reader),
        peak_lines(year, reader),
        closing_words(year),
        words([CAUTION]),
    )


def alone_page(found: Answers, year: Year, project: Project, reader: Reader) -> Page:
    """Return the page of the same shop without the wall."""
    first = f"{name_of(project)}: the shop without the wall"
    return page_of(
        Title((first, *_year_place(year, project, reader))),
        alone_table(found, reader),
        words([warm_words(found, reader, alone=True)]),
        words([CAUTION]),
    )


def heading(project: Project, year: Year, reader: Reader) -> Title:
    """Return what was calculated: the project, its wall, its place, its weather."""
    wall, shop = project.wall, project.shop

    def size(*sides: float) -> str:
        return " x ".join(reader.feet_text(side) for side in sides)

    sides = f"{size(wall.width_m, wall.height_m)}, facing {facing(wall.azimuth_deg)}, gap {size(wall.gap_m)}"
    lines = [
        name_of(project),
        f"  wall {sides}",
        f"  shop {size(shop.length_m, shop.width_m)}, eaves {size(shop.eaves_m)}",
    ]
    return Title((*_wrapped(lines), *_year_place(year, project, reader)))


def facing(azimuth_deg: float) -> str:
    """Return a bearing in words.

    >>> facing(172.0), facing(180.0), facing(195.5)
    ('8° east of south', 'south', '15.5° west of south')
    """
    winds = {0.0: "north", 90.0: "east", 180.0: "south", 270.0: "west"}
    if azimuth_deg % 360.0 in winds:
        return f"{'due ' if azimuth_deg % 180 else ''}{winds[azimuth_deg % 360.0]}".removeprefix("due ")
    if 90.0 < azimuth_deg < 270.0:
        off = azimuth_deg - 180.0
        return f"{abs(off):g}° {'west' if off > 0 else 'east'} of south"
    off = azimuth_deg if azimuth_deg <= 90.0 else azimuth_deg - 360.0
    return f"{abs(off):g}° {'east' if off > 0 else 'west'} of north"


def wall_table(found: Answers, reader: Reader) -> Table:
    """Return the months of the wall: sun, heat given, heat of use, heat carried back out, fans.

    The share of direct sun let through is left out when nothing stands in the sun's way.
    """
    heat, months = reader.heat_unit, (*found.months, found.whole)
    shaded = any(m.beam_share is not None and m.beam_share < ALL_OF_IT for m in months)
    columns: list[tuple[str, str, int]] = [
        ("sun on|the glazing", heat, 12),
        *([("direct sun|let through", "", 12)] if shaded else []),
        ("into|the shop", heat, 10),
        ("of use", heat, 9),
        ("carried|back out", heat, 10),
        ("fans|run", "h", 7),
        ("", "kWh", 6),
        ("fan|starts", "", 7),
    ]

    def row(month: Month) -> list[str]:
        through = ["-" if month.beam_share is None else percent(month.beam_share)] if shaded else []
        return [
            cell(reader.heat(month.sun_on_wall_kwh)),
            *through,
            cell(reader.heat(month.delivered_kwh)),
            cell(reader.heat(month.useful_kwh)),
            cell(reader.heat(month.night_loss_kwh)),
            cell(month.fan_hours),
            cell(month.fan_kwh),
            cell(month.fan_starts),
        ]

    return month_table("THE WALL", columns, [(m.month, row(m)) for m in months])


def shop_table(found: Answers, reader: Reader) -> Table:
    """Return the months of the shop: temperatures with and without the wall, too hot hours, the heater."""
    degree, heat = reader.degree, reader.heat_unit
    columns: list[tuple[str, str, int]] = [
        ("with the wall|mean", degree, 8),
        ("|low", degree, 5),
        ("|high", degree, 5),
        ("without it|mean", degree, 9),
        ("|low", degree, 5),
        ("|high", degree, 5),
        ("too hot|with", "h", 9),
        ("|without", "h", 8),
    ]
    heater = found.fuel is not None
    if heater:
        columns += [("heater|with", heat, 9), ("|without", heat, 9)]

    def row(month: Month, alone: ShopAlone) -> list[str]:
        temperatures = (
            month.shop_mean_c,
            month.shop_min_c,
            month.shop_max_c,
            alone.mean_c,
            alone.min_c,
            alone.max_c,
        )
        cells = [reader.degrees_cell(c) for c in temperatures]
        cells += [cell(month.too_hot_hours), cell(alone.too_hot_hours)]
        if heater:
            cells += [cell(reader.heat(kwh)) for kwh in (month.backup_kwh, month.backup_without_wall_kwh)]
        return cells

    pairs = [*zip(found.months, found.alone_months, strict=True), (found.whole, found.alone)]
    return month_table("THE SHOP", columns, [(month.month, row(month, alone)) for month, alone in pairs])


def alone_table(found: Answers, reader: Reader) -> Table:
    """Return the months of the shop without the wall."""
    columns: list[tuple[str, str, int]] = [
        ("mean", reader.degree, 8),
        ("low", reader.degree, 8),
        ("high", reader.degree, 8),
        ("too hot", "h", 10),
        ("heater", reader.heat_unit, 10),
    ]
    rows = [
        (
            alone.month,
            [
                *(reader.degrees_cell(c) for c in (alone.mean_c, alone.min_c, alone.max_c)),
                cell(alone.too_hot_hours),
                cell(reader.heat(alone.backup_kwh)),
            ],
        )
        for alone in (*found.alone_months, found.alone)
    ]
    return month_table("THE SHOP", columns, rows)


def winter_table(found: Answers, reader: Reader) -> Table | None:
    """Return the shop at the builder's hours on a bad, a usual and a good midwinter day, and the heater's heat."""
    if not found.winter_days:
        return None
    hours = found.winter_days[0].hours
    heads = [reader.hour_text(hour) for hour in hours]
    wide = max(8 if len(hours) <= MOST_WIDE_HOURS else 7, *(len(head) + 1 for head in heads))
    rows = []
    for day in found.winter_days:
        sun = f"{grouped(reader.heat(day.sun_on_wall_kwh))} {reader.heat_unit} of sun"
        name = f"  a {day.kind} day, {reader.day_text(day.day)}, {sun}"
        for label, temperatures in (("with", day.with_wall_c), ("without", day.without_wall_c)):
            cells = (f"{reader.degrees(c):.1f}" for c in temperatures)
            rows.append(Row(name, (label, *cells)))
            name = f"    outdoors {reader.degrees_text(day.outdoors_mean_c)} on average"
        if day.heater_without_wall_kwh + day.heater_kwh >= 1.0:
            gives = (reader.heat_text(kwh) for kwh in (day.heater_kwh, day.heater_without_wall_kwh))
            rows.append(Row("    the heater gives {} that day, {} without the wall".format(*gives)))
    title = f"THE SHOP IN {MONTHS[found.winter_month - 1].upper()}, {reader.degree}"
    columns = (Column("", "", WITH_WIDTH, left=True), *(Column(head, "", wide) for head in heads))
    return Table(title, columns, tuple(rows), WINTER_WIDTH - WITH_WIDTH)


def three_lines(found: Answers, project: Project, reader: Reader) -> Facts:
    """Return the three lines that are never mixed: heat given, heat of use, fuel not burned."""
    whole, currency = found.whole, project.money.currency
    lines = (
        ("Heat the wall gave", reader.heat_text(whole.delivered_kwh)),
        ("Heat the shop could use", reader.heat_text(whole.useful_kwh)),
        ("Fuel not burned", _fuel_text(found.fuel, currency, reader)),
        ("Fans' electricity", _fan_text(whole.fan_kwh, found.fan_money, currency)),
    )
    saved = saving_words(found, reader)
    return Facts("", lines, 25, (filled(saved),) if saved else ())


def _fuel_text(fuel: FuelSaved | None, currency: str, reader: Reader) -> str:
    if fuel is None:
        return "none: there is no heater in this project"
    if abs(fuel.heat_kwh) < 0.5:
        return f"none: the heater burns as much {fuel.fuel} with the wall as without it"
    heat = f"{reader.heat_text(abs(fuel.heat_kwh))} of the heater's heat"
    text = f"{heat}, {reader.heat_text(abs(fuel.fuel_kwh))} in {fuel.fuel} at {percent(fuel.efficiency)}"
    if fuel.heat_kwh < 0.0:
        return f"none: {fuel_amount_text(fuel, currency, ' more burned')} ({text})"
    return f"{text} = {fuel_amount_text(fuel, currency)}"


def fuel_amount_text(fuel: FuelSaved, currency: str, what: str = "") -> str:
    """Return an amount of fuel without its sign, what became of it, its money: "59 gallons, about 150 USD"."""
    text = f"{few(abs(fuel.amount))} {plural(fuel.unit, abs(fuel.amount))}{what}"
    if fuel.money is None:
        return text
    return f"{text}, {money_text(worth_as_shown(fuel.amount, fuel.money), currency)}"


def _fan_text(kwh: float, money: float | None, currency: str) -> str:
    return f"{grouped(kwh)} kWh" + (f", {money_text(money, currency)}" if money is not None else "")


def peak_lines(year: Year, reader: Reader) -> Table:
    """Return how hot each part got, and when."""
    peaks = year.peaks
    named = (
        ("absorber", peaks.absorber_c),
        ("air in the gap", peaks.gap_c),
        ("glazing, inner face", peaks.glazing_inner_c),
        ("glazing, outer face", peaks.glazing_outer_c),
    )
    rows = (
        Row(f"  {name}", (reader.degrees_text(peak.value_c), f" {reader.moment_text(peak.time)}"))
        for name, peak in named
    )
    columns = (Column("", "", 8), Column("", "", 24, left=True))
    title = "HOTTEST MOMENTS (as described: fans, vents and cover doing what the project says)"
    return Table(title, columns, tuple(rows), 24)


def closing_words(year: Year) -> Words:
    """Return how far the energy ledger is from closing, and how it was calculated."""
    step = f"{year.step_s // 60}-minute" if year.step_s % 60 == 0 else f"{year.step_s}-second"
    share = 100.0 * year.ledger.closing_error_share
    calculated = (
        f"Calculated in {step} steps in {year.work.seconds:.1f} s; the energy ledger closes within "
        f"{max(share, 1e-4):.2g} % of all that passed through."
    )
    return words([calculated], about="checked")


def weather_words(kind: str) -> str:
    """Return in plain words where a weather year comes from."""
    return WEATHER_WORDS.get(kind, kind)


def _place(latitude_deg: float, longitude_deg: float) -> str:
    north, east = "N" if latitude_deg >= 0 else "S", "E" if longitude_deg >= 0 else "W"
    return f"{abs(latitude_deg):.4g}° {north}, {abs(longitude_deg):.4g}° {east}"


def place_lines(
    project: Project, reader: Reader, kind: str, place: str, distance_km: float | None, hours_repaired: float
) -> list[str]:
    """Return where the site is and where its weather comes from."""
    site = project.site
    height = f"{reader.show(site.elevation_m, 'length')} above sea level"
    far = "" if distance_km is None else f", {distance_words(distance_km, reader)} from the site"
    repaired = [f"    {hours_repaired:g} h of it repaired"] if hours_repaired else []
    where = f"  {_place(site.latitude_deg, site.longitude_deg)}, {height}"
    weather = f"  weather: {place} ({weather_words(kind)}){far}"
    return _wrapped([where, weather, *repaired])


def distance_words(km: float, reader: Reader) -> str:
    """Return a distance between places: 12 km, 7 miles."""
    if not reader.us:
        return f"{km:,.0f} km"
    miles = f"{km / KM_PER_MILE:,.0f}"
    return f"{miles} mile{'' if miles == '1' else 's'}"


def _year_place(year: Year, project: Project, reader: Reader) -> list[str]:
    told = (year.weather_kind, year.weather_place, year.weather_distance_km, year.weather_hours_repaired)
    notes = _wrapped(f"    {in_both(note, reader.system)}" for note in year.weather_notes)
    return [*place_lines(project, reader, *told), *notes]


def _wrapped(lines: Iterable[str]) -> list[str]:
    return [filled(line, indent=len(line) - len(line.lstrip()) + 2) for line in lines]


def money_text(amount: float, currency: str) -> str:
    """Return "about 150 USD"."""
    return f"about {amount:,.0f} {currency}"


def few(amount: float) -> str:
    """Return an amount, a small one with a decimal."""
    return f"{amount:.1f}" if amount < 10.0 else f"{amount:,.0f}"


def worth_as_shown(amount: float, money: float) -> float:
    """Return what an amount is worth as it is shown, so that price times amount gives the money beside it.

    amount  unrounded, of either sign, ``money`` what it is worth

    >>> worth_as_shown(-70.4, -183.04), worth_as_shown(0.0, 0.0)
    (182.0, 0.0)
    """
    shown = float(few(abs(amount)).replace(",", ""))
    return abs(money) * shown / abs(amount) if amount else 0.0


def plural(unit: str, amount: float) -> str:
    """Return a fuel's unit as it is counted: gallon, gallons, kWh."""
    counted = unit in {"gallon", "litre", "therm", "cord", "tonne"}
    return f"{unit}s" if counted and f"{amount:.1f}" != "1.0" else unit
