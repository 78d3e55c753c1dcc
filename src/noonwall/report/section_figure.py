"""The wall cut through from outdoors to the room, to scale: the whole of it, and its build-up enlarged."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from noonwall.model import catalogue
from noonwall.model.sense import vent_span_m
from noonwall.report.pen import EMBER, INK, LETTER, NIGHT, PAPER, SOFT, SUN, WASH, Pen
from noonwall.report.reader import name_of
from noonwall.report.section_shade import Shade, far_shades, shades

if TYPE_CHECKING:
    from noonwall.model.layers import Layer
    from noonwall.model.openings import VentRow
    from noonwall.model.project import Project
    from noonwall.model.wall import Wall
    from noonwall.report.reader import Reader

WIDE = 372.0
TALLEST = 370.0  # of the whole wall
LABELS = 150.0  # kept free for words on the room's side
MARGIN_LEFT, MARGIN_TOP = 42.0, 30.0
UNKNOWN_M = 0.04  # drawn for a layer that is told by its resistance alone
ENLARGED = 212.0  # breadth of the enlarged build-up
SILL_M = 0.038
HATCHES = (
    '<pattern id="nw-wool" width="8" height="8" patternUnits="userSpaceOnUse"><path d="M0 8 L4 0 L8 8" fill="none" '
    'style="stroke:var(--soft, #55636d);stroke-width:.9"/></pattern>'
    '<pattern id="nw-board" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">'
    '<path d="M0 0 V6" style="stroke:var(--soft, #55636d);stroke-width:1.4"/></pattern>'
)


@dataclass(frozen=True)
class Slice:
    """One thickness of the wall, from outdoors to the room."""

    name: str
    thick_m: float
    look: str  # glazing, still air, gap, dark, wool, board, air
    known: bool = True  # whether the thickness was told


def slices(wall: Wall) -> list[Slice]:
    """Return what the wall is made of, outermost first."""
    spec = catalogue.glazing_of(wall.glazing)
    clear = sum(skin.thickness_m for skin in spec.skins) + sum(hollow.depth_m for hollow in spec.cavities)
    dark = [_slice(layer, "dark") for layer in wall.absorber.layers]
    behind = [_slice(layer, "") for layer in wall.backing]
    gap = Slice("air gap", wall.gap_m, "gap")
    glazing = Slice(spec.name, clear, "glazing")
    if wall.absorber.arrangement == "air behind":
        return [glazing, Slice("still air", wall.absorber.stagnant_gap_m, "still air"), *dark, gap, *behind]
    return [glazing, gap, *([] if wall.absorber.arrangement == "mesh" else dark), *behind]


def _slice(layer: Layer, look: str) -> Slice:
    known = layer.thickness_m is not None
    name = layer.material or "layer"
    if not look:
        solid = catalogue.resolve_layer(layer)
        light = bool(layer.thickness_m and solid.resistance_m2k_w / layer.thickness_m > 14.0)
        look = "air" if "air" in name else "wool" if light or not known else "board"
    return Slice(name, layer.thickness_m or UNKNOWN_M, look, known)


def section_svg(project: Project, reader: Reader) -> str:
    """Return the section through the wall as SVG text; its measures follow the project's numbers.

    project  a project;  reader  whose units the measures are in
    """
    pen = Pen()
    view = _View.of(project)
    _surroundings(pen, view, project, reader)
    _wall(pen, view, project.wall)
    _openings(pen, view, project, reader)
    _measures(pen, view, project, reader)
    tall = _enlarged(pen, project.wall, reader, view.bottom + 40.0)
    return pen.picture(WIDE, tall, f"Section through the wall of {name_of(project)}", section_words(project, reader),
                       "nw-section", HATCHES)  # fmt: skip


def section_words(project: Project, reader: Reader) -> str:
    """Return in words what the section shows."""
    wall = project.wall

    length = reader.feet_text

    build = ", ".join(f"{s.name} {length(s.thick_m)}" if s.known else s.name for s in slices(wall))
    vents = "; ".join(
        f"{row.count} openings of {length(row.width_m)} by {length(row.height_m)} at the {name}"
        for name, row in (("foot", wall.vents.bottom), ("top", wall.vents.top))
    )
    above = "".join(f"; {shade.name} above" for shade in shades(project))
    return (
        f"From outdoors to the room: {build}. The glazing is {length(wall.height_m)} high, its foot "
        f"{length(wall.foot_m)} above the ground; {vents}{above}."
    )


@dataclass(frozen=True)
class _View:
    """Where metres lie on the drawing: x from the glazing's outside towards the room, z up from the ground."""

    scale: float  # units of the drawing per metre
    left_m: float  # how far out the drawing reaches
    top_m: float

    @classmethod
    def of(cls, project: Project) -> _View:
        wall = project.wall
        thick = sum(s.thick_m for s in slices(wall))
        above = shades(project)
        out = max([0.35, *(s.out_m for s in above)])
        top = wall.foot_m + wall.height_m + max([0.15, *(s.over_m + 0.12 for s in above)])
        scale = min((TALLEST - MARGIN_TOP) / top, (WIDE - LABELS - MARGIN_LEFT) / (out + thick))
        return cls(scale, out, top)

    def x(self, metres: float) -> float:
        return MARGIN_LEFT + (self.left_m + metres) * self.scale

    def y(self, metres: float) -> float:
        return MARGIN_TOP + (self.top_m - metres) * self.scale

    @property
    def bottom(self) -> float:
        return self.y(0.0)


def _surroundings(pen: Pen, view: _View, project: Project, reader: Reader) -> None:
    pen.text(view.x(-view.left_m), view.bottom + 18, "outdoors", 13.5, colour=SOFT)
    pen.text(WIDE - 4, view.bottom + 18, "room", 13.5, "end", SOFT)
    pen.line([(8, view.bottom), (WIDE - 8, view.bottom)], INK, 2.0)
    for number, shade in enumerate(far_shades(project)):
        pen.text(8, 14 + 16 * number, f"{shade.told(reader)}: too far out to draw", colour=SOFT)
    top = project.wall.foot_m + project.wall.height_m
    for shade in shades(project):
        points = [(view.x(-x), view.y(top + z)) for x, z in shade.points]
        pen.line(points, INK, 3.2 if shade.solid else 1.6, "" if shade.always else "6 4")
        _rays(pen, view, project, shade)
        x, y = min(points, key=lambda point: point[1])
        x = 0.5 * (points[0][0] + points[-1][0]) if shade.level else x
        pen.text(min(max(x, 96.0), WIDE - 96.0), y - 8, shade.told(reader), 13.5, "middle")


def _rays(pen: Pen, view: _View, project: Project, shade: Shade) -> None:
    """Draw where the noon sun of midwinter passes the outer edge, if it comes from the wall's side."""
    rise = shade.noon_rise
    if rise is None:
        return
    top = project.wall.foot_m + project.wall.height_m
    x, z = shade.points[0]
    drop = min(rise * x, top + z)
    pen.line(
        [(view.x(-x), view.y(top + z)), (view.x(-x + drop / rise), view.y(top + z - drop))], SUN, 1.2, "2 4"
    )


def _wall(pen: Pen, view: _View, wall: Wall) -> None:
    """Draw every thickness to scale, the sill and the head that close the gap, and the cover."""
    x, low, high = 0.0, view.y(wall.foot_m), view.y(wall.foot_m + wall.height_m)
    for part in slices(wall):
        left, right = view.x(x), view.x(x + part.thick_m)
        _fill(pen, part.look, left, high, right - left, low - high)
        if part.look == "gap" and wall.absorber.arrangement == "mesh":
            pen.line([(0.5 * (left + right), low), (0.5 * (left + right), high)], INK, 2.0, "2 2")
        x += part.thick_m
    for y in (high - SILL_M * view.scale, low):
        pen.rect(view.x(0.0), y, view.x(x) - view.x(0.0), SILL_M * view.scale, "url(#nw-board)")
    if wall.cover.hung or wall.cover.by_rule:
        pen.line([(view.x(0.0) - 5, low), (view.x(0.0) - 5, high)], NIGHT, 2.2, "7 4")
        pen.text(
            view.x(0.0) - 10,
            0.45 * low + 0.55 * high,
            "cover, in its season",
            12,
            "middle",
            NIGHT,
            turned=True,
        )


def _fill(pen: Pen, look: str, x: float, y: float, wide: float, tall: float) -> None:
    base = {"glazing": "var(--nw-glass, #bcd8ea)", "gap": "var(--nw-warm, #f6d3bf)", "dark": "#22262a"}.get(
        look, WASH
    )
    pen.rect(x, y, wide, tall, PAPER if look in ("air", "still air") else base, width=0.7)
    if look in ("wool", "board"):
        pen.rect(x, y, wide, tall, f"url(#nw-{look})", width=0.7)


def _openings(pen: Pen, view: _View, project: Project, reader: Reader) -> None:
    """Draw vents, the air's way, fans, flap and summer vents."""
    wall = project.wall
    every = slices(wall)
    thick = sum(s.thick_m for s in every)
    before = _before_gap(every)
    gap_left, gap_right = view.x(before), view.x(before + wall.gap_m)
    room, middle = view.x(thick), 0.5 * (gap_left + gap_right)
    spans = {}
    for row in ("bottom", "top"):
        low, high = (view.y(wall.foot_m + end) for end in vent_span_m(wall, row))
        outside = row == "bottom" and wall.inlet_from == "outdoors"
        left, right = (view.x(0.0), gap_left) if outside else (gap_right, room)
        pen.rect(left - 0.6, high, right - left + 1.2, low - high, PAPER, INK, 1.0)
        spans[row] = (0.5 * (low + high), max(low - high, 4.0), outside)
    (foot, _, outside), (head, _, _) = spans["bottom"], spans["top"]
    start = view.x(0.0) - 26 if outside else room + 26
    pen.arrow([(start, foot), (middle, foot), (middle, head), (room + 30, head)])
    ends = -math.inf
    for row in ("top", "bottom"):
        y, tall, out = spans[row]
        ends = _in_row(pen, project, reader, row, (view.x(0.0) if out else room, y, tall), ends)
    if wall.flap is not None:
        y, tall, _ = spans[wall.flap.row]
        pen.line([(gap_right, y - 0.5 * tall), (gap_right + 0.55 * tall, y + 0.5 * tall)], NIGHT, 2.4)
    for area, y, way in ((wall.summer_vent.top_area_m2, view.y(wall.foot_m + wall.height_m) + 6, -1),
                         (wall.summer_vent.bottom_area_m2, view.y(wall.foot_m) - 6, 1)):  # fmt: skip
        if area:
            outer, inner = (view.x(0.0) - 22, y), (gap_left + 2, y)
            pen.arrow([inner, outer] if way < 0 else [outer, inner], NIGHT, 1.6)


def _before_gap(every: list[Slice]) -> float:
    place = next(i for i, s in enumerate(every) if s.look == "gap")
    return sum(s.thick_m for s in every[:place])


def _in_row(
    pen: Pen, project: Project, reader: Reader, row: str, spot: tuple[float, float, float], above: float
) -> float:
    """Draw the fans of a row and say what the row is, below what is written above; returns where that ends.

    spot  x of its outer face, y, height
    """
    x, y, tall = spot
    wall = project.wall
    vents = wall.vents.bottom if row == "bottom" else wall.vents.top
    fans = sum(fan.count for fan in project.fans if fan.row == row)
    if fans:
        radius = min(max(0.5 * tall, 5.0), 11.0)
        pen.circle(x + 8, y, radius, PAPER, EMBER)
        for dx, dy in ((0.7, 0.7), (0.7, -0.7)):
            pen.line(
                [(x + 8 - radius * dx, y - radius * dy), (x + 8 + radius * dx, y + radius * dy)], EMBER, 1.4
            )
    lines = [f"{'foot' if row == 'bottom' else 'top'} vents", *_size(vents, reader)]
    if row == "bottom" and wall.inlet_from == "outdoors":
        lines[:1] = ["foot vents,", "from outdoors"]
    lines += [f"{fans} fan{'s' if fans > 1 else ''}"] if fans else []
    lines += ["one-way flap"] if wall.flap is not None and wall.flap.row == row else []
    first = y + 4 - (16.5 * (len(lines) - 1) if row == "bottom" else 0.0)
    first = max(first, above + 16.5)
    for i, words in enumerate(lines):
        pen.text(WIDE - LABELS + 36, first + 16.5 * i, words, strong=i == 0)
    return first + 16.5 * (len(lines) - 1)


def _size(vents: VentRow, reader: Reader) -> list[str]:
    """Return the openings' number and size on one line or two."""
    wide, tall = reader.show(vents.width_m, "length"), reader.show(vents.height_m, "length")
    (number, unit), unit_tall = wide.split(" ", 1), tall.split(" ", 1)[1]
    size = f"{number if unit == unit_tall else wide} x {tall}"
    short = f"{vents.count} of {size}"
    return [short] if len(short) * 13.5 * LETTER < LABELS - 40 else [f"{vents.count} openings of", size]


def _measures(pen: Pen, view: _View, project: Project, reader: Reader) -> None:
    wall = project.wall
    low, high = view.y(wall.foot_m), view.y(wall.foot_m + wall.height_m)
    pen.measure_up(MARGIN_LEFT - 16, low, high, reader.feet_text(wall.height_m))
    if wall.foot_m > 0.0:
        pen.measure_up(MARGIN_LEFT - 16, view.bottom, low, reader.feet_text(wall.foot_m))
    pen.line([(MARGIN_LEFT - 10, low), (view.x(0.0) - 2, low)], SOFT, 0.6, "1 3")
    pen.line([(MARGIN_LEFT - 10, high), (view.x(0.0) - 2, high)], SOFT, 0.6, "1 3")


def _enlarged(pen: Pen, wall: Wall, reader: Reader, top: float) -> float:
    """Draw the build-up enlarged, each thickness numbered and named; returns where the drawing ends."""
    every = slices(wall)
    scale = ENLARGED / sum(s.thick_m for s in every)
    left, tall = 0.5 * (WIDE - ENLARGED), 84.0
    pen.text(0.5 * WIDE, top, "The build-up, enlarged", 14.5, "middle", strong=True)
    pen.text(left - 8, top + 52, "outdoors", 13.5, "end", SOFT)
    pen.text(left + ENLARGED + 8, top + 52, "room", 13.5, "start", SOFT)
    x, below, places = left, top + 10.0 + tall, []
    for part in every:
        _fill(pen, part.look, x, top + 10.0, part.thick_m * scale, tall)
        places.append(x + 0.5 * part.thick_m * scale)
        if part.look == "gap" and wall.absorber.arrangement == "mesh":
            pen.line([(places[-1], top + 10.0), (places[-1], below)], INK, 3.0, "3 3")
        x += part.thick_m * scale
    least = min(20.0, (WIDE - 30.0) / len(every))
    spread_out = apart(places, least)
    shift = min(0.0, WIDE - 12.0 - spread_out[-1]) or max(0.0, 12.0 - spread_out[0])
    for number, (part, place, moved) in enumerate(zip(every, places, spread_out, strict=True), 1):
        spread = moved + shift
        pen.line([(place, below - 6), (place, below + 3), (spread, below + 12)], SOFT, 0.8)
        pen.text(spread, below + 25, str(number), 13.5, "middle", strong=True)
        row = below + 29.0 + 20.0 * number
        pen.text(10, row, f"{number}  {shortened(part.name, WIDE - 120)}")
        pen.text(
            WIDE - 8,
            row,
            reader.show(part.thick_m, "length") if part.known else "thickness open",
            13.5,
            "end",
        )
    return below + 42.0 + 20.0 * len(every)


def apart(places: list[float], least: float) -> list[float]:
    """Return places in a row moved as little as needed so that none is nearer to the next than ``least``.

    >>> apart([0.0, 1.0, 50.0], 10.0)
    [-4.5, 5.5, 50.0]
    """
    groups: list[list[float]] = []  # [middle, members]
    for place in places:
        groups.append([place, 1.0])
        while len(groups) > 1 and groups[-1][0] - groups[-2][0] < 0.5 * least * (
            groups[-1][1] + groups[-2][1]
        ):
            (a, n), (b, m) = groups[-2:]
            groups[-2:] = [[(a * n + b * m) / (n + m), n + m]]
    return [middle + least * (i - 0.5 * (count - 1.0)) for middle, count in groups for i in range(int(count))]


def shortened(words: str, room: float, size: float = 13.5) -> str:
    """Return words cut to the room there is for them."""
    most = int(room / (size * LETTER))
    return words if len(words) <= most else words[: most - 1].rstrip() + "\u2026"
