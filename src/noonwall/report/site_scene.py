"""The site as plain data for a view that can be turned: every thing in metres east, north, up of the wall's foot."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

import numpy as np

from noonwall.model.obstacle import Slope
from noonwall.model.rearrange import place_of, size_of, things, typed
from noonwall.report.site_light import COLUMNS, ROWS
from noonwall.report.site_look import short_names
from noonwall.shade.frame import Frame
from noonwall.shade.receiver import thick_of
from noonwall.shade.site import scene_of
from noonwall.studies.trees import kinds

if TYPE_CHECKING:
    from noonwall.model.project import Project
    from noonwall.report.reader import Reader
    from noonwall.shade.record import Floats
    from noonwall.shade.scene import Corners, Scene

M_PER_FT = 0.3048
MOST_RINGS = 6
Point = tuple[float, float, float]
Data = dict[str, Any]


def site_scene(project: Project, years_on: float, day: int) -> Data:
    """Return everything that stands on the site, as data for a view.

    years_on  years of growth to add to the trees [a];  day  of the year: leaves, and what hangs on that date
    Returns   things (each with its shapes, measured from its own spot), wall, shop, slope, standing points;
              all in metres, x east, y north, z up from the ground at the wall's foot
    """
    scene, frame = scene_of(project, years_on), Frame.of(project.wall)
    shapes = _Shapes(scene, frame, float(day))
    found, places = things(project), {}
    for name, (_key, described) in found.items():
        places[name] = place_of(project, described)
    data, labels = [], short_names(list(kinds(project)))
    for name, kind in kinds(project).items():
        at = places.get(name)
        thing = found[name].thing if name in found else None
        sizes = {} if thing is None else {s: size_of(project, thing, s) for s in ("height", "width")}
        data.append({
            "name": name,
            "label": labels[name],
            "kind": kind,
            "key": "wall.overhang" if thing is None else found[name].key,
            "at": None if at is None else [round(at[0], 3), round(at[1], 3)],
            "sizes": sizes,
            "shapes": shapes.of(name, at or (0.0, 0.0)),
        })  # fmt: skip
    return {
        "things": data,
        "wall": _wall(frame),
        "shop": _shop(project, frame),
        "slope": _slope(project, scene, frame),
        "points": [{"name": p.name, "at": [p.east_m, p.north_m]} for p in project.standing_points],
        "reach": _reach(places, frame),
    }


class _Shapes:
    """Makes the shapes of a scene's obstacles into plain data."""

    def __init__(self, scene: Scene, frame: Frame, day: float) -> None:
        self.scene, self.frame = scene, frame
        states = scene.calendar(np.array([day]))
        self.thick = thick_of(scene, states)

    def of(self, name: str, at: tuple[float, float]) -> list[Data]:
        """Return the shapes of one obstacle, measured from its spot."""
        scene, thick = self.scene, self.thick
        mine = [number for number, owner in enumerate(scene.names) if owner == name]
        found: list[Data] = []
        for i, crown in enumerate(scene.crowns):
            if crown.owner in mine:
                x, y, _ = self._point((*crown.middle, 0.0), at)
                stops = 1.0 - math.exp(-float(thick.crowns[0, i]) * 2.0 * crown.radius_m)
                found.append({"form": "cone" if crown.cone else "egg", "at": [x, y], "base": crown.base_m,
                              "tip": crown.tip_m, "cut": crown.cut_m, "radius": crown.radius_m,
                              "stops": round(stops, 3)})  # fmt: skip
        for pole in scene.poles:
            if pole.owner in mine:
                x, y, _ = self._point((*pole.middle, 0.0), at)
                found.append({"form": "pole", "at": [x, y], "base": pole.base_m, "top": pole.top_m,
                              "width": pole.width_m})  # fmt: skip
        found += [self._body(s.corners, at, 1.0, leafy=False) for s in scene.solids if s.owner in mine]
        for i, block in enumerate(scene.blocks):
            if block.owner in mine:
                deep = 0.5 * float(np.ptp(np.asarray(block.corners), axis=0)[:2].min())
                stops = 1.0 - math.exp(-float(thick.blocks[0, i]) * max(deep, 1.0))
                found.append(self._body(block.corners, at, stops, leafy=True))
        for i, board in enumerate(scene.boards):
            if board.owner in mine and thick.boards[0, i] > 0.0:
                corners = [list(self._point(corner, at)) for corner in board.corners]
                found.append(
                    {"form": "board", "corners": corners, "stops": round(float(thick.boards[0, i]), 3)}
                )
        return found

    def _body(self, corners: Corners, at: tuple[float, float], stops: float, *, leafy: bool) -> Data:
        points = [self._point(corner, at) for corner in corners]
        return {"form": "body", "corners": [list(p) for p in points], "faces": faces_of(np.array(points)),
                "stops": round(stops, 3), "leafy": leafy}  # fmt: skip

    def _point(self, corner: Point, at: tuple[float, float]) -> Point:
        east, north = self.frame.world(np.array([corner[0]]), np.array([corner[1]]))
        return round(float(east[0]) - at[0], 3), round(float(north[0]) - at[1], 3), round(corner[2], 3)


def faces_of(points: Floats) -> list[list[int]]:
    """Return the triangles of a convex body's outside, each counter-clockwise as seen from outside.

    points  (n, 3) corners; of a body without volume there are none
    """
    from scipy.spatial import ConvexHull, QhullError

    try:
        hull = ConvexHull(points, qhull_options="Qt")
    except QhullError:
        return []
    found = []
    for triangle, plane in zip(hull.simplices, hull.equations, strict=True):
        a, b, c = (points[i] for i in triangle)
        turned = float(np.dot(np.cross(b - a, c - a), plane[:3])) < 0.0
        found.append([int(i) for i in (triangle[::-1] if turned else triangle)])
    return found


def _wall(frame: Frame) -> Data:
    half = 0.5 * frame.width_m
    left, right = (_flat(frame, along, 0.0) for along in (half, -half))
    return {"left": left, "right": right, "foot": frame.foot_m, "top": frame.foot_m + frame.height_m,
            "out": [*frame.out], "azimuth": frame.azimuth_deg, "rows": ROWS, "columns": COLUMNS}  # fmt: skip


def _flat(frame: Frame, along: float, out: float) -> list[float]:
    east, north = frame.world(np.array([along]), np.array([out]))
    return [round(float(east[0]), 3), round(float(north[0]), 3)]


def shop_outline(project: Project, frame: Frame) -> list[list[float]]:
    """Return the shop's corners (east, north): the shorter side that the wall fits on is taken to be its front."""
    sides = sorted((project.shop.length_m, project.shop.width_m))
    front = next((side for side in sides if side >= frame.width_m), sides[1])
    deep = sides[0] if front == sides[1] else sides[1]
    half = 0.5 * front
    return [
        _flat(frame, along, out) for along, out in ((-half, 0.0), (half, 0.0), (half, -deep), (-half, -deep))
    ]


def _shop(project: Project, frame: Frame) -> Data:
    eaves = max(project.shop.eaves_m, frame.foot_m + frame.height_m)
    outline = shop_outline(project, frame)
    points = [(*corner, z) for z in (0.0, eaves) for corner in outline]
    return {"outline": outline, "eaves": eaves, "corners": [list(p) for p in points],
            "faces": faces_of(np.array(points))}  # fmt: skip


def _slope(project: Project, scene: Scene, frame: Frame) -> Data | None:
    """Return how much the ground rises per metre east and north."""
    if scene.slope is None:
        return None
    east, north = frame.world(np.array([scene.slope[0]]), np.array([scene.slope[1]]))
    name = next((item.name for item in project.obstacles if isinstance(item, Slope)), "slope")
    return {"name": name, "east": float(east[0]), "north": float(north[0])}


def _reach(places: dict[str, Any], frame: Frame) -> float:
    """Return how far from the wall's foot the view has to reach, for what is worth seeing [m]."""
    far = [math.hypot(*at) for at in places.values() if at is not None]
    return max([2.0 * frame.width_m, 12.0, *[1.25 * d for d in far]])


def rings(reach_m: float, reader: Reader) -> list[Data]:
    """Return rings of distance round the wall's foot: radius [m], and what to write beside each."""
    unit, name = (M_PER_FT, "ft") if reader.us else (1.0, "m")
    far = reach_m / unit
    every = next(step for step in (5, 10, 20, 50, 100, 200, 500, 10**6) if far / step <= MOST_RINGS)
    return [
        {"radius": number * every * unit, "text": f"{number * every} {name}"}
        for number in range(1, int(far / every) + 1)
    ]


def place_text(east_m: float, north_m: float, reader: Reader) -> str:
    """Return a place in words: "3.6 m west, 15.2 m south" of the wall's foot.

    >>> from noonwall.report.reader import Reader
    >>> place_text(-3.6, -15.2, Reader())
    '3.6 m west, 15.2 m south'
    """
    sides = ((east_m, "east", "west"), (north_m, "north", "south"))
    return ", ".join(
        f"{typed(abs(m), reader.system)} {plus if m >= 0.0 else minus}" for m, plus, minus in sides
    )


def thing_words(project: Project, name: str, reader: Reader) -> str:
    """Return kind, size and place of one thing in a few words, nothing for a name that is gone."""
    kind = kinds(project).get(name, "")
    found = things(project).get(name)
    if found is None:
        return f"{kind} over the glazing" if kind else ""
    thing = found.thing
    high, at = size_of(project, thing, "height"), place_of(project, thing)
    tall = f" {typed(high, reader.system)} tall" if high is not None else ""
    return f"{kind}{tall}" + (f", {place_text(*at, reader)}" if at is not None else ", on the wall")
