"""A learned value written into the project's own text, where the project has a plain key for it."""

from __future__ import annotations

from noonwall.engine import corrections as c
from noonwall.logs.learn.errors import LearningError
from noonwall.model.edit import set_values
from noonwall.model.file import from_text, parse_toml

PLAIN = {
    c.AIR_LEAKAGE.key: "shop.air.leakage_area",
    c.FAN.key: "fan.flow",
    c.FLAP.key: "wall.flap.leak",
    c.SET_POINT.key: "shop.heater.setpoint",
}


def settled(text: str, key: str, assumed: float, learned: float) -> str:
    """Return the project's text with one learned value in the place of what was assumed.

    key               of a learned value that has a plain key, one of ``PLAIN``
    assumed, learned  in the unit of the value: cm2, m3/s, a share, degrees Celsius
    Raises            LearningError when the project has no plain key for it

    What has none (loss, mass, ground, glazing, shade) stays a correction beside the project.
    """
    if key not in PLAIN:
        raise LearningError(
            f"{key}: the project file has no plain key for it; use it as a correction instead"
        )
    if key == c.FAN.key:
        return _fans(text, assumed, learned / assumed)
    if key == c.AIR_LEAKAGE.key:
        return set_values(text, {PLAIN[key]: f"{learned:.0f} cm2", "shop.air.air_changes_at_50_pa": None})
    if key == c.FLAP.key:
        return set_values(text, {PLAIN[key]: round(min(learned, 1.0), 4)})
    return set_values(text, {PLAIN[key]: f"{learned:.1f} C"})


def _fans(text: str, assumed: float, factor: float) -> str:
    """Return the text with the flow of every fan times a factor, once: what was learned is of ``assumed`` [m3/s]."""
    fans = from_text(text).fans
    if any(fan.curve for fan in fans):
        raise LearningError(
            "fan.curve: a fan described by points is not rewritten; use it as a correction instead"
        )
    now = sum(fan.count * fan.flow_m3_s for fan in fans)
    if not c.same(now, assumed):
        raise LearningError(
            f"fan.flow: was learned while all fans moved {assumed:.3g} m3/s, now they move {now:.3g}; learn again"
        )
    raw = parse_toml(text).get("fan", [])
    if not isinstance(raw, list) or len(raw) != len(fans):
        raise LearningError("fan: is no list of fans to rewrite; use it as a correction instead")
    return set_values(
        text, {f"fan[{i}].flow": f"{fan.flow_m3_s * factor:.3g} m3/s" for i, fan in enumerate(fans, start=1)}
    )
