"""A pen that draws vector pictures for pages: colours follow the page, light or dark; everything keeps its scale."""

from __future__ import annotations

import html
from dataclasses import dataclass, field

# a page's own colours where it sets them, else those of paper
INK, SOFT, PAPER = "currentColor", "var(--soft, #55636d)", "var(--card, #ffffff)"
EMBER, NIGHT, SUN, WASH = (
    "var(--ember, #9a3412)", "var(--night, #1f4f7a)", "var(--sun, #8a5a00)", "var(--wash, #f2ebdd)",
)  # fmt: skip
LETTER = 0.6  # mean width of a letter over its height
CLEAR_LETTERS = 3  # that turned words keep from the ends of their measure
Point = tuple[float, float]


@dataclass
class Pen:
    """Collects the parts of a drawing; positions in the drawing's own units, y downward."""

    parts: list[str] = field(default_factory=list)

    def rect(
        self, x: float, y: float, wide: float, tall: float, fill: str, edge: str = INK, width: float = 0.8
    ) -> None:
        """Draw a rectangle from its upper left corner."""
        self.parts.append(
            f'<rect x="{x:.2f}" y="{y:.2f}" width="{max(wide, 0.0):.2f}" height="{max(tall, 0.0):.2f}" '
            f'style="fill:{fill};stroke:{edge};stroke-width:{width}"/>'
        )

    def line(self, points: list[Point], colour: str = INK, width: float = 1.0, dash: str = "") -> None:
        """Draw a line through points; ``dash`` such as "4 3"."""
        dashed = f";stroke-dasharray:{dash}" if dash else ""
        told = " ".join(f"{x:.2f},{y:.2f}" for x, y in points)
        self.parts.append(
            f'<polyline points="{told}" style="fill:none;stroke:{colour};stroke-width:{width}{dashed}"/>'
        )

    def shape(self, points: list[Point], fill: str, edge: str = INK, width: float = 0.8) -> None:
        """Draw a closed shape."""
        told = " ".join(f"{x:.2f},{y:.2f}" for x, y in points)
        self.parts.append(
            f'<polygon points="{told}" style="fill:{fill};stroke:{edge};stroke-width:{width}"/>'
        )

    def circle(self, x: float, y: float, radius: float, fill: str, edge: str = INK) -> None:
        """Draw a circle."""
        self.parts.append(
            f'<circle cx="{x:.2f}" cy="{y:.2f}" r="{radius:.2f}" style="fill:{fill};stroke:{edge};stroke-width:1"/>'
        )

    def arrow(self, points: list[Point], colour: str = EMBER, width: float = 1.8, head: float = 5.0) -> None:
        """Draw a line with a head at its last point."""
        (x0, y0), (x1, y1) = points[-2], points[-1]
        far = max(((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5, 1e-9)
        ux, uy = (x1 - x0) / far, (y1 - y0) / far
        back = (x1 - head * ux, y1 - head * uy)
        self.line([*points[:-1], back], colour, width)
        wing = 0.55 * head
        self.shape([(x1, y1), (back[0] - wing * uy, back[1] + wing * ux), (back[0] + wing * uy, back[1] - wing * ux)],
                   colour, colour)  # fmt: skip

    def text(
        self, x: float, y: float, words: str, size: float = 13.5, anchor: str = "start", colour: str = INK,
        *, strong: bool = False, turned: bool = False,
    ) -> None:  # fmt: skip
        """Write words; ``anchor`` start, middle or end; turned ones read upward."""
        way = f' transform="rotate(-90 {x:.2f} {y:.2f})"' if turned else ""
        weight = ";font-weight:650" if strong else ""
        self.parts.append(
            f'<text x="{x:.2f}" y="{y:.2f}" text-anchor="{anchor}"{way} '
            f'style="fill:{colour};font-size:{size}px{weight}">{html.escape(words)}</text>'
        )

    def measure_up(self, x: float, low: float, high: float, words: str) -> None:
        """Draw an upright measure between two heights, its words turned, or beside it where they are longer."""
        self.line([(x, low), (x, high)], SOFT, 0.8)
        for y in (low, high):
            self.line([(x - 4, y + 2.5), (x + 4, y - 2.5)], INK, 1.1)
        if abs(high - low) >= (len(words) + CLEAR_LETTERS) * 13.5 * LETTER:
            self.text(x - 5, 0.5 * (low + high), words, anchor="middle", turned=True)
        else:
            self.text(x + 8, 0.5 * (low + high) + 5, words)

    def measure_across(self, left: float, right: float, y: float, words: str) -> None:
        """Draw a level measure between two places, its words above."""
        self.line([(left, y), (right, y)], SOFT, 0.8)
        for x in (left, right):
            self.line([(x - 2.5, y + 4), (x + 2.5, y - 4)], INK, 1.1)
        self.text(0.5 * (left + right), y - 6, words, anchor="middle")

    def picture(self, wide: float, tall: float, title: str, told: str, mark: str, more: str = "") -> str:
        """Return the drawing as SVG text.

        title, told  for those who do not see it;  mark  its name on the page, no two alike
        more  patterns and other definitions
        """
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide:.0f} {tall:.0f}" role="img" '
            f'aria-labelledby="{mark}-title {mark}-told" class="nw-drawing" '
            'style="width:100%;height:auto;font-family:inherit">'
            f'<title id="{mark}-title">{html.escape(title)}</title><desc id="{mark}-told">{html.escape(told)}</desc>'
            f"<defs>{more}</defs>{''.join(self.parts)}</svg>"
        )
