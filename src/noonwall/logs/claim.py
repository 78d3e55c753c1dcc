"""The honest meter: a figure, the builder's or a seller's, is held against the sun that fell on the wall."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from noonwall.logs.worth import Worth

TAKES_UP_SHARE = (
    0.70  # of the sun on a twin-wall glazing before a dark wall, at best; common practice, no source
)
USUAL_SHARE = (
    0.60  # heat over sun that well-built walls do not pass over a season; common practice, no source
)
LEAST_ERROR_SHARE = (
    0.1  # of a calculated saving, however well the heat was measured; common practice, no source
)
UNMEASURED_ERROR_SHARE = 0.35  # of a calculated saving where no heat was measured; common practice, no source


@dataclass(frozen=True)
class Claim:
    """A figure held against the sun.

    ``share``    heat over sun that fell on the wall;  ``limit``  share that the absorber takes up
    ``verdict``  "refused" (it breaks the energy balance), "doubtful", "possible"
    ``saved``    said of heat that the heater did not have to give, not of heat that came in
    """

    heat_kwh: float
    sun_kwh: float
    share: float
    limit: float
    verdict: str
    why: str
    saved: bool = False

    @property
    def refused(self) -> bool:
        """Whether it breaks the energy balance."""
        return self.verdict == "refused"


@dataclass(frozen=True)
class Beside:
    """What a claim over a whole period is set beside; net heat.

    ``unmeasured_kwh``   what the engine makes of the hours in which nothing was measured
    ``calculated_kwh``   what it makes of the whole period, by the weather that was
    ``most_kwh``         what glazing and absorber take up of the sun: no more can come out
    ``usual_kwh``        what well-built walls do not pass
    ``spared``           what the heater burned less than without the wall, calculated for the weather that was; None
                         where nobody asked, or there is no heater
    """

    days: int
    known_share: float
    measured_kwh: float
    error_kwh: float
    unmeasured_kwh: float
    calculated_kwh: float
    most_kwh: float
    usual_kwh: float
    spared: Worth | None = None

    @property
    def low_kwh(self) -> float:
        """Least that came in over the whole period, by readings and engine."""
        return self.measured_kwh + self.unmeasured_kwh - self.error_kwh

    @property
    def high_kwh(self) -> float:
        """Most that came in over the whole period, by readings and engine."""
        return self.measured_kwh + self.unmeasured_kwh + self.error_kwh

    @property
    def by_readings_share(self) -> float:
        """Heat that came in by the readings over what the engine makes of the same weather; 1 where nothing tells."""
        came = self.measured_kwh + self.unmeasured_kwh
        return came / self.calculated_kwh if min(came, self.calculated_kwh, self.known_share) > 0.0 else 1.0

    def spared_span_kwh(self) -> tuple[float, float]:
        """Return least and most that the heater was spared.

        No reading tells it: it is calculated, and taken to be as far off as the heat that came in was.
        """
        calculated = max(self.spared.heat_kwh, 0.0) if self.spared is not None else 0.0
        came = self.measured_kwh + self.unmeasured_kwh
        told = came > 0.0 and self.known_share > 0.0
        error = max(LEAST_ERROR_SHARE, self.error_kwh / came) if told else UNMEASURED_ERROR_SHARE
        scaled = calculated * self.by_readings_share
        return min(calculated, max(0.0, scaled * (1.0 - error))), max(
            calculated * (1.0 + LEAST_ERROR_SHARE), scaled * (1.0 + error)
        )

    def fits(self, claim: Claim) -> bool | None:
        """Return whether a claim lies in the span of its kind: of saving or of heat; None where none is known."""
        if claim.saved and self.spared is None:
            return None
        low, high = self.spared_span_kwh() if claim.saved else (self.low_kwh, self.high_kwh)
        return low <= claim.heat_kwh <= high and (not claim.saved or high > 0.0)


def hold(heat_kwh: float, sun_kwh: float, takes_up_share: float = TAKES_UP_SHARE) -> Claim:
    """Hold an amount of heat against the sun that fell on the wall in the same time.

    heat_kwh, sun_kwh   the claim, the sun on the glazed area [kWh]
    takes_up_share      share of that sun which glazing and absorber take up: no more can come out
    Raises              ValueError for sun that is not positive
    *Source*            first law: heat out is at most sun taken up

    >>> hold(4350.0, 5952.0).verdict
    'refused'
    """
    if sun_kwh <= 0.0:
        raise ValueError(f"sun of {sun_kwh} kWh on the wall: a claim needs sun to be held against")
    share = heat_kwh / sun_kwh
    if share > takes_up_share:
        why = (
            f"{100 * share:.0f} % of the sun on the wall; glazing and absorber take up "
            f"{100 * takes_up_share:.0f} %: it breaks the energy balance"
        )
        return Claim(heat_kwh, sun_kwh, share, takes_up_share, "refused", why)
    if share > USUAL_SHARE:
        why = f"{100 * share:.0f} % of the sun on the wall, beyond what walls of this kind give over a season"
        return Claim(heat_kwh, sun_kwh, share, takes_up_share, "doubtful", why)
    why = f"{100 * share:.1f} % of the sun on the wall, less than the {100 * takes_up_share:.0f} % taken up"
    return Claim(heat_kwh, sun_kwh, share, takes_up_share, "possible", why)


def corrected_kwh(
    heat_kwh: float,
    flow_was: float = 1.0,
    flow_is: float = 1.0,
    rise_k: float | None = None,
    reads_high_k: float = 0.0,
) -> float:
    """Return an amount of heat with a wrong flow and a wrong rise put right.

    flow_was, flow_is   flow it was reckoned with, flow that a traverse found (same unit)
    rise_k              mean rise it was reckoned with [K];  reads_high_k  how far the rise is too high [K]

    >>> round(corrected_kwh(4350.0, 280.0, 205.0, 17.0, 1.5))
    2904
    """
    by_flow = heat_kwh * flow_is / flow_was
    return by_flow if rise_k is None else by_flow * (rise_k - reads_high_k) / rise_k
