"""The sky before the wall as a drawing, from what ``report.site_sky`` gives."""

from __future__ import annotations

import html
from typing import TYPE_CHECKING, Any

from noonwall.web.parts.strip import both

if TYPE_CHECKING:
    from collections.abc import Iterable

HIGH, FOOT = 330.0, 26.0
GROWS = {"tree", "row", "stand"}
HUNG = {"modules", "awning", "overhang"}
ROOMY_PX = 500.0
NAME_PX = 7.6  # a letter of a name is about so wide


def sky_drawing(sky: dict[str, Any]) -> str:
    """Return the sky as SVG; what grows, what is built and modules differ in hatch, not by colour alone."""
    return both(lambda wide: _drawing(sky, wide))


def _drawing(sky: dict[str, Any], wide: float) -> str:
    ceiling = float(sky["ceiling"])

    def at(point: Iterable[float]) -> tuple[float, float]:
        turn, high = point
        return (turn + 90.0) / 180.0 * wide, (HIGH - FOOT) * (1.0 - min(high, ceiling) / ceiling)

    def line(points: list[list[float]]) -> str:
        return " ".join("{:.1f},{:.1f}".format(*at(p)) for p in points)

    parts = [_hatches(wide)]
    if sky["ground"]:
        parts.append(f'<polygon points="{line(sky["ground"])}" class="nw-sky-ground"/>')
    for shape in sky["shapes"]:
        kind = "grows" if shape["kind"] in GROWS else "hung" if shape["kind"] in HUNG else "works"
        parts.append(f'<polygon points="{line(shape["outline"])}" class="nw-sky-{kind}" '
                     f'fill="url(#nw-{kind}-{wide:.0f})"><title>'
                     f"{html.escape(shape['name'])}</title></polygon>")  # fmt: skip
    for path in sky["paths"]:
        kind = "nw-sky-now" if path["now"] else "nw-sky-path"
        parts.append(f'<polyline points="{line(path["points"])}" class="{kind}"/>')
    parts += [f'<text x="{x:.0f}" y="{y:.0f}" text-anchor="end" class="nw-sky-label">{html.escape(text)}</text>'
              for x, y, text in _path_labels(sky, at, wide)]  # fmt: skip
    for hour in sky["hours"][:: 1 if wide > ROOMY_PX else 2]:
        x, y = at(hour["at"])
        parts.append(f'<circle cx="{x:.1f}" cy="{y:.1f}" r="3.4" class="nw-sky-hour"/>'
                     f'<text x="{x:.0f}" y="{y - 9:.0f}" text-anchor="middle" class="nw-sky-clock">'
                     f"{hour['text']}</text>")  # fmt: skip
    if sky["sun"]:
        x, y = at(sky["sun"])
        parts.append(f'<circle cx="{x:.1f}" cy="{y:.1f}" r="12" class="nw-sky-sun"/>')
    parts += [f'<text x="{x:.0f}" y="{y:.0f}" text-anchor="middle" class="nw-sky-name">{html.escape(text)}</text>'
              for x, y, text in _names(sky, at, wide)]  # fmt: skip
    parts += _axes(sky, at, ceiling, wide)
    return (
        f'<svg class="nw-sky" viewBox="0 0 {wide:.0f} {HIGH:.0f}" role="img" aria-label="{html.escape(sky["told"])}">'
        f"{''.join(parts)}</svg>"
    )


def _hatches(wide: float) -> str:
    """Return the fills; their names carry the drawing's width, for a page may hold two of them."""
    return (
        f'<defs><pattern id="nw-grows-{wide:.0f}" width="7" height="7" patternUnits="userSpaceOnUse"><rect width="7" '
        'height="7" fill="#9db395"/><circle cx="3" cy="3" r="1.1" fill="#4c6547"/></pattern>'
        f'<pattern id="nw-hung-{wide:.0f}" width="7" height="7" patternUnits="userSpaceOnUse" '
        'patternTransform="rotate(45)"><rect width="7" height="7" fill="#54698c"/><rect width="1.6" height="7" '
        f'fill="#c4d2e6"/></pattern><pattern id="nw-works-{wide:.0f}" width="8" height="8" '
        'patternUnits="userSpaceOnUse"><rect width="8" height="8" fill="#c9bcae"/><path d="M0 0 8 8M8 0 0 8" '
        'stroke="#6f5f50" stroke-width=".8"/></pattern></defs>'
    )


def _path_labels(sky: dict[str, Any], at: Any, wide: float) -> list[tuple[float, float, str]]:
    """Return where the paths' names go: at their right-hand ends, those left out that would lie on another."""
    found: list[tuple[float, float, str]] = []
    for path in sky["paths"]:
        if path["points"] and not path["now"]:
            x, y = at(max(path["points"], key=lambda p: p[0]))
            x, y = min(x, wide - 4.0), min(y - 5.0, HIGH - FOOT - 6.0)
            if all(abs(y - v) > 13.0 or abs(x - u) > 80.0 for u, v, _ in found):
                found.append((x, y, path["label"]))
    return found


def _names(sky: dict[str, Any], at: Any, wide: float) -> list[tuple[float, float, str]]:
    """Return where names go, highest things first; a name that would lie on another is left out."""
    tops: dict[str, tuple[float, float]] = {}
    for shape in sky["shapes"]:
        x, y = at(max(shape["outline"], key=lambda p: p[1]))
        if shape["name"] not in tops or y < tops[shape["name"]][1]:
            tops[shape["name"]] = (x, y)
    found: list[tuple[float, float, str]] = []
    for name, (top_x, top_y) in sorted(tops.items(), key=lambda item: item[1][1]):
        half = 0.5 * NAME_PX * len(name)
        x, y = min(max(top_x, half), wide - half), max(top_y + 16.0, 14.0)
        if all(abs(y - v) > 15.0 or abs(x - u) > half + 0.5 * NAME_PX * len(text) for u, v, text in found):
            found.append((x, y, name))
    return found


def _axes(sky: dict[str, Any], at: Any, ceiling: float, wide: float) -> list[str]:
    foot = HIGH - FOOT
    parts = [f'<line x1="0" x2="{wide:.0f}" y1="{foot:.0f}" y2="{foot:.0f}" class="nw-lightday-foot"/>']
    for high in range(15, int(ceiling), 15):
        _, y = at((0.0, float(high)))
        parts.append(f'<line x1="0" x2="{wide:.0f}" y1="{y:.1f}" y2="{y:.1f}" class="nw-sky-grid"/>'
                     f'<text x="4" y="{y - 3:.0f}">{high}° high</text>')  # fmt: skip
    for off, word in sky["winds"]:
        x, _ = at((off, 0.0))
        parts.append(
            f'<text x="{x:.0f}" y="{HIGH - 7:.0f}" text-anchor="middle" class="nw-sky-wind">{word}</text>'
        )
    return parts
