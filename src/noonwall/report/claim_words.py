"""A claim judged in words: set beside what was measured and calculated, and what would make it true or impossible."""

from __future__ import annotations

from typing import TYPE_CHECKING

from noonwall.errors import UnitError
from noonwall.report.reader import percent

if TYPE_CHECKING:
    from noonwall.logs.claim import Beside, Claim
    from noonwall.report.reader import Reader

YEAR_DAYS = (360, 370)  # what passes for a year
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


def claim_rows(claim: Claim, beside: Beside, reader: Reader) -> list[tuple[str, str, str]]:
    """Return what is to be seen side by side: what it is, heat, share of the sun on the wall."""

    def row(what: str, kwh: float, error: float = 0.0) -> tuple[str, str, str]:
        spread = f" ± {reader.heat_text(error)}" if error else ""
        return what, f"{reader.heat_text(kwh)}{spread}", percent(kwh / claim.sun_kwh)

    measured, calculated = "measured", "calculated for the weather that was"
    if round(reader.heat(beside.unmeasured_kwh)):  # the same figure may stand elsewhere of the hours measured
        measured = f"measured, in {percent(beside.known_share)} of the hours"
        calculated = "calculated for that weather, all hours"
    return [
        row("claimed", claim.heat_kwh),
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
    return [f"{lead}.", _takes(claim, beside, reader)]


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
