"""A strip that shows through one date how much of the glazing the direct sun reaches."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable

    from noonwall.report.reader import Reader
    from noonwall.report.site_light import DayLight

HIGH, FOOT = 92, 70
FIRST_H, LAST_H = 3, 22
WIDTHS = (("wide", 720.0), ("narrow", 340.0))


def day_strip(light: DayLight, minute: int, reader: Reader) -> str:
    """Return the strip as SVG: pale what an open site would give, full what reaches the glazing, a line for now."""
    return both(lambda wide: _strip(light, minute, reader, wide))


def both(draw: Callable[[float], str]) -> str:
    """Return a drawing twice, of which the page shows the one for its width: letters stay readable on a phone."""
    return "".join(f'<div class="nw-{name}-only">{draw(wide)}</div>' for name, wide in WIDTHS)


def _strip(light: DayLight, minute: int, reader: Reader, whole_px: float) -> str:
    step = light.minutes[1] - light.minutes[0]
    wide = step * whole_px / (60 * (LAST_H - FIRST_H))

    def x(at: float) -> float:
        return (at / 60.0 - FIRST_H) * whole_px / (LAST_H - FIRST_H)

    bars = []
    for at, share, whole in zip(light.minutes, light.share, light.open_share, strict=True):
        left = x(at - step / 2)
        if whole > 0.0 and 0.0 <= left <= whole_px:
            bars.append(_bar(left, wide, whole, "nw-lightday-open"))
            bars.append(_bar(left, wide, share, "nw-lightday-lit"))
    hours = "".join(
        f'<text x="{x(60 * h):.0f}" y="{HIGH - 6}" text-anchor="middle">{reader.hour_text(float(h))}</text>'
        for h in range(FIRST_H + 3, LAST_H, 3)
    )
    now = f'<line x1="{x(minute):.1f}" x2="{x(minute):.1f}" y1="0" y2="{FOOT + 4}" class="nw-lightday-now"/>'
    told = f"Direct sun on the glazing through the date: {light.hours:.1f} of {light.hours_open:.1f} hours"
    return (
        f'<svg class="nw-lightday" viewBox="0 0 {whole_px:.0f} {HIGH}" role="img" aria-label="{told}">{"".join(bars)}'
        f'<line x1="0" x2="{whole_px:.0f}" y1="{FOOT}" y2="{FOOT}" class="nw-lightday-foot"/>{now}{hours}</svg>'
    )


def _bar(left: float, wide: float, share: float, kind: str) -> str:
    high = share * (FOOT - 4)
    return (
        f'<rect x="{left:.1f}" y="{FOOT - high:.1f}" width="{wide:.1f}" height="{high:.1f}" class="{kind}"/>'
    )
