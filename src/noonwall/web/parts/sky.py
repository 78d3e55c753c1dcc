"""The sky before the wall as a drawing, from what ``report.site_sky`` gives."""

from __future__ import annotations

import html
from typing import TYPE_CHECKING, Any

from noonwall.report.labels import Labels, Names, around
from noonwall.web.parts.strip import both

if TYPE_CHECKING:
    from collections.abc import Iterable

HIGH, FOOT = 330.0, 26.0
GROWS = {"tree", "row", "stand"}
HUNG = {"modules", "awning", "overhang"}
ROOMY_PX = 500.0
DATE_AT = (
    0.5,
    0.42,
    0.58,
    0.35,
    0.65,
    0.28,
    0.72,
    0.2,
    0.8,
    0.13,
    0.87,
)  # where along a path its date may stand
HOUR_PX, NAME_PX, DATE_PX = 13.0, 12.5, 12.0  # sizes of letters, as the style sheet has them


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
    labels = Labels(wide, HIGH - FOOT)
    parts += _axes(sky, at, ceiling, wide, labels)
    if sky["sun"]:
        x, y = at(sky["sun"])
        labels.keep((x - 13.0, y - 13.0, x + 13.0, y + 13.0))
        parts.append(f'<circle cx="{x:.1f}" cy="{y:.1f}" r="12" class="nw-sky-sun"/>')
    parts += [*_hours(sky, at, wide, labels), *_names(sky, at, labels), *_path_labels(sky, at, wide, labels)]
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


def _hours(sky: dict[str, Any], at: Any, wide: float, labels: Labels) -> list[str]:
    """Return the hours along the chosen date's path; one whose words find no place keeps its dot."""
    parts, every = [], sky["hours"][:: 1 if wide > ROOMY_PX else 2]
    for hour in every:
        x, y = at(hour["at"])
        parts.append(f'<circle cx="{x:.1f}" cy="{y:.1f}" r="3.4" class="nw-sky-hour"/>')
        labels.keep((x - 3.4, y - 3.4, x + 3.4, y + 3.4))
    for hour in every:
        parts += _word(labels, hour["text"], HOUR_PX, around(at(hour["at"]), HOUR_PX, 8.0), "nw-sky-clock")
    return parts


def _names(sky: dict[str, Any], at: Any, labels: Labels) -> list[str]:
    """Return the names of things, highest first; one that finds no place near its top is left to the list."""
    tops: dict[str, tuple[float, float]] = {}
    for shape in sky["shapes"]:
        x, y = at(max(shape["outline"], key=lambda p: p[1]))
        if shape["name"] not in tops or y < tops[shape["name"]][1]:
            tops[shape["name"]] = (x, y)
    parts, names = [], Names(tops)
    for name, (x, y) in sorted(tops.items(), key=lambda item: item[1][1]):
        spots = [(x, max(y + 16.0, 14.0), "middle"), *around((x, y), NAME_PX, 3.0)]
        spots += [(x, y + far, "middle") for far in (32.0, 46.0)]
        found = _word(labels, names.short(name), NAME_PX, spots, "nw-sky-name")
        if found:
            names.said(name)
        parts += found
    return parts


def _path_labels(sky: dict[str, Any], at: Any, wide: float, labels: Labels) -> list[str]:
    """Return the dates of the paths, each on its own line, at its crest or as near to it as there is a place."""
    parts = []
    for path in sky["paths"]:
        if path["points"] and not path["now"]:
            last = len(path["points"]) - 1
            along = [at(path["points"][round(share * last)]) for share in DATE_AT]
            spots = [(min(max(x, 40.0), wide - 40.0), y + 4.0, "middle") for x, y in along]
            parts += _word(labels, path["label"], DATE_PX, spots, "nw-sky-label")
    return parts


def _word(
    labels: Labels, words: str, size: float, spots: Iterable[tuple[float, float, str]], style: str
) -> list[str]:
    spot = labels.put(words, size, spots)
    if spot is None:
        return []
    x, y, anchor = spot
    return [
        f'<text x="{x:.0f}" y="{y:.0f}" text-anchor="{anchor}" class="{style}">{html.escape(words)}</text>'
    ]


def _axes(sky: dict[str, Any], at: Any, ceiling: float, wide: float, labels: Labels) -> list[str]:
    foot = HIGH - FOOT
    parts = [f'<line x1="0" x2="{wide:.0f}" y1="{foot:.0f}" y2="{foot:.0f}" class="nw-lightday-foot"/>']
    for high in range(15, int(ceiling), 15):
        _, y = at((0.0, float(high)))
        parts.append(f'<line x1="0" x2="{wide:.0f}" y1="{y:.1f}" y2="{y:.1f}" class="nw-sky-grid"/>')
        parts += _word(labels, f"{high}° high", HOUR_PX, [(4.0, y - 3.0, "start")], "nw-sky-high")
    for off, word in sky["winds"]:
        x, _ = at((off, 0.0))
        parts.append(
            f'<text x="{x:.0f}" y="{HIGH - 7:.0f}" text-anchor="middle" class="nw-sky-wind">{word}</text>'
        )
    return parts
