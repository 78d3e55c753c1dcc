"""What readings of some kinds can tell, what not, and what that would need; why hours have no measured heat."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Iterable

    from noonwall.logs.seen import Seen

OUTLET, INLET = ("air out", "gap top"), ("air in", "shop")
FANS = ("flow", "fan", "fan power")
HEATER = ("backup", "backup power", "backup run time", "backup energy")
RISE_NEEDS = "air at the top of the gap or where it comes out, and in the shop or where it goes in"
FAN_NEEDS = "when the fans ran: their power, or a mark of on and off"


def tells(roles: Iterable[str]) -> str:
    """Return in two sentences what a file with columns of these kinds tells, and what not.

    >>> tells(["shop", "outdoor", "gap top"]).split(". ")[0]
    'From this file can be told: how warm the shop was; the weather outside; heat brought in; shade on the wall'
    """
    has = set(roles)
    rise = has & set(OUTLET) and has & set(INLET)
    known = (
        (has & {"shop"}, "how warm the shop was", "a thermometer in the shop"),
        (has & {"outdoor", "sun"}, "the weather outside", "outdoor air or sun: a typical year stands in"),
        (rise, "heat brought in", RISE_NEEDS),
        (has & {"gap top"}, "shade on the wall", "a thermometer at the top of the gap"),
        (has & set(FANS), "when the fans ran", "their power, on and off, or the flow: they run as the switches say"),
        (
            {"gap top", "gap bottom"} <= has,
            "a flap that stands open",
            "thermometers at foot and top of the gap",
        ),
        (has & set(HEATER), "what the heater gave", "its running time, power or energy"),
    )  # fmt: skip
    told = [what for there, what, _ in known if there]
    if not told:
        return ""
    left = [f"{what} (needs {needs})" for there, what, needs in known if not there]
    more = f". Not from this file alone: {'; '.join(left)}" if left else ""
    return f"From this file can be told: {'; '.join(told)}{more}."


def why_untold(at: Seen, chosen: np.ndarray) -> str:
    """Return why no heat could be told in some steps, as an end of a sentence."""

    def none(values: np.ndarray | None) -> bool:
        return values is None or not np.isfinite(values[chosen]).any()

    missing = []
    if none(at.outlet_c):
        missing.append("air at the top of the gap or where it comes out")
    if none(at.inlet_c):
        missing.append("air in the shop or where it goes in")
    if at.flow_m3_s is not None and none(at.flow_m3_s):
        missing.append("the air flow, which was measured at other times")
    elif at.flow_m3_s is None and at.fan_share is not None and none(at.fan_share):
        missing.append("when the fans ran, which was logged at other times")
    if not missing:
        return "nothing that heat is reckoned from was measured at the same hours"
    said = f"not measured: {'; '.join(missing)}"
    if len(missing) == 1 and "fans ran" in missing[0]:
        said += ". Looked back over alone, these days are told with the fans running as their switches say"
    return said
