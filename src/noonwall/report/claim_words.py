"""A claim judged in words: set beside what was measured and calculated, and what would make it true or impossible."""

from __future__ import annotations

from typing import TYPE_CHECKING

from noonwall.errors import UnitError
from noonwall.report.reader import percent
from noonwall.report.tables import few, plural

if TYPE_CHECKING:
    from noonwall.logs.claim import Beside, Claim
    from noonwall.report.reader import Reader

YEAR_DAYS = (360, 370)  # what passes for a year
NO_HEATER = (
    "What the heater did not have to give is not known: the project describes no heater. Only heat that came in can be "
    "held against the readings."
)
NOT_SAVED = (
    "Heat that came in is not fuel saved: what goes out again at night, or comes while the heater rests, "
    "saves none."
)
SAME_SHARE = 0.05  # readings and calculation nearer to each other are not told apart
ALL_SHARE = 0.98  # of the hours measured: the rest is not worth a sentence


def refuse_other_than_a_year(days: int) -> None:
    """Refuse a figure said of a year for a stretch that is none: heat is not spread evenly over a year.

    Raises  UnitError
    """
    if not YEAR_DAYS[0] <= days <= YEAR_DAYS[1]:
        raise UnitError(
            f"a figure for a year needs the readings of a year, these are of {days} days; choose a year, or say the "
            "figure of just these days without 'a year'"
        )


def claim_verdict(claim: Claim, beside: Beside) -> str:
    """Return a claim's verdict: by the sun, and where that lets it pass, by what was measured and calculated."""
    fits = beside.fits(claim)
    if claim.verdict != "possible" or fits:
        return claim.verdict
    if not claim.saved:
        return "possible by the sun, but not by the readings"
    if beside.spared is None:
        return "possible by the sun; what the wall saves is not known"
    if claim.heat_kwh > beside.spared_span_kwh()[0]:
        return "possible by the sun, but more than the wall saves"
    return "possible by the sun, but less than the wall saves"


def claim_rows(claim: Claim, beside: Beside, reader: Reader) -> list[tuple[str, str, str]]:
    """Return what is to be seen side by side: what it is, heat, share of the sun on the wall."""

    def row(what: str, kwh: float, error: float = 0.0) -> tuple[str, str, str]:
        spread = f" ± {reader.heat_text(error)}" if error else ""
        return what, f"{reader.heat_text(kwh)}{spread}", percent(kwh / claim.sun_kwh)

    measured, calculated = "measured", "calculated for the weather that was"
    if round(reader.heat(beside.unmeasured_kwh)):  # the same figure may stand elsewhere of the hours measured
        measured = f"measured, in {percent(beside.known_share)} of the hours"
        calculated = "calculated for that weather, all hours"
    saved = []
    if beside.spared is not None:
        saved = [row("saved, calculated for that weather", beside.spared.heat_kwh)]
        measured = measured.replace("measured", "came in, measured", 1)
        calculated = calculated.replace("calculated", "came in, calculated", 1)
    return [
        row("claimed", claim.heat_kwh),
        *saved,
        row(measured, beside.measured_kwh, beside.error_kwh),
        row(calculated, beside.calculated_kwh),
        row("most that walls of this kind give", beside.usual_kwh),
        row("all that glazing and absorber take up", beside.most_kwh),
        row("sun on the wall", claim.sun_kwh),
    ]


def claim_sentences(claim: Claim, beside: Beside, reader: Reader) -> list[str]:
    """Return what the readings say to a claim, with their span, and what it would take for it to be true."""
    low, high = reader.heat_text(max(beside.low_kwh, 0.0)), reader.heat_text(beside.high_kwh)
    lead = f"By the readings it was between {low} and {high}"
    if beside.known_share < ALL_SHARE:
        lead += (
            f", the hours without readings taken as calculated ({reader.heat_text(beside.unmeasured_kwh)})"
        )
    if claim.saved and not claim.refused:
        return [*_saving(claim, beside, reader), f"{lead.replace('it was', 'the heat that came in was', 1)}."]
    return [f"{lead}.", _takes(claim, beside, reader)]


def _saving(claim: Claim, beside: Beside, reader: Reader) -> list[str]:
    """Return what is said to a claim of fuel saved: the saving is calculated, no reading tells it."""
    spared = beside.spared
    if spared is None:
        return [NO_HEATER]
    if spared.heat_kwh <= 0.0:
        return ["Calculated for the weather that was, the wall saved the heater nothing in this time."]
    low, high = beside.spared_span_kwh()

    def told(kwh: float) -> str:
        if spared.fuel == "electricity":
            return reader.heat_text(kwh)
        amount = spared.amount * kwh / spared.heat_kwh
        return f"{few(amount)} {plural(spared.unit, amount)}"

    of = "of the heater's heat" if spared.fuel == "electricity" else f"of {spared.fuel}"
    lead = f"Calculated for the weather that was, the wall saved {told(spared.heat_kwh)} {of}"
    share = beside.by_readings_share
    if abs(share - 1.0) > SAME_SHARE:
        lead += f"; but by the readings {percent(share)} of the calculated heat came in, which would make it "
        lead += told(share * spared.heat_kwh)
    span = f"between {told(low)} and {told(high)}"
    if beside.fits(claim):
        return [f"{lead}.", f"The claim lies {span}, so it may well be true."]
    if claim.heat_kwh < low:
        return [f"{lead}.", f"With their errors that is {span}; the claim is less."]
    return [
        f"{lead}.",
        f"With their errors that is {span}; the claim is more. {NOT_SAVED}",
    ]


def _takes(claim: Claim, beside: Beside, reader: Reader) -> str:
    """Return what would make a claim of that size true, or impossible."""
    middle = beside.measured_kwh + beside.unmeasured_kwh
    most = reader.heat_text(beside.most_kwh)
    if claim.refused:
        times = claim.heat_kwh / beside.most_kwh
        return (
            f"It cannot be true of this wall in this time: no more than {most} went into the absorber. It would take "
            f"{times:.1f} times the glazing, or as much more sun. Such figures come from an air flow or a warming of "
            "the air that reads too high, or from heat that the heater gave."
        )
    if beside.low_kwh <= claim.heat_kwh <= beside.high_kwh:
        return f"The claim lies inside that span, so it may well be true. Above {most} any claim would be impossible."
    if claim.heat_kwh < beside.low_kwh:
        return (
            "The claim is less than the readings say: true only if the air flow or its warming is smaller than they "
            f"say, by {percent(1.0 - claim.heat_kwh / middle)}. The sun does not speak against it."
        )
    more = f"{claim.heat_kwh / middle:.1f} times" if middle > 0.0 else "far more than"
    said = (
        f"For it to be true, the air flow or its warming would have to be {more} what the readings say; measure the "
        "flow at the outlet to know."
    )
    if claim.verdict == "doubtful":
        return f"{said} Nearly nothing of what was taken up may then have been lost; above {most} it is impossible."
    return f"{said} Above {most} any claim would be impossible."
