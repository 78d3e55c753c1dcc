"""The wall in section: its measures follow the numbers, in any project, in either units."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any
from xml.etree import ElementTree as ET

import pytest

from fakes.projects import demo, plain
from fakes.walls import walled
from noonwall.model.cover import Cover
from noonwall.model.edit import add_item
from noonwall.model.file import from_text
from noonwall.model.layers import Layer
from noonwall.model.openings import Flap, SummerVent
from noonwall.model.templates import demo_text, new_text
from noonwall.report.reader import Reader
from noonwall.report.section_figure import apart, section_svg, section_words, shortened, slices
from noonwall.report.section_shade import shades

if TYPE_CHECKING:
    from noonwall.model.project import Project

METRIC, US = Reader("metric"), Reader("us")
SVG = "{http://www.w3.org/2000/svg}"


def drawn(project: Project, reader: Reader = METRIC) -> ET.Element:
    return ET.fromstring(section_svg(project, reader))


def words(project: Project, reader: Reader = METRIC) -> list[str]:
    return [text.text or "" for text in drawn(project, reader).iter(f"{SVG}text")]


def thickness(project: Project, fill: str) -> tuple[float, float]:
    """Return how thick what is filled so is drawn in the whole wall and in the enlarged build-up."""
    wide = [
        float(r.get("width", 0)) for r in drawn(project).iter(f"{SVG}rect") if fill in (r.get("style") or "")
    ]
    assert len(wide) == 2
    return wide[0], wide[1]


PROJECTS = {
    "demo": demo(),
    "plain": plain(),
    "new": from_text(new_text()),
    "mesh": walled({"absorber": plain().wall.absorber.model_copy(update={"arrangement": "mesh"})}),
    "air behind": walled({"absorber": plain().wall.absorber.model_copy(update={"arrangement": "air behind"})}),
    "fresh air": walled({"inlet_from": "outdoors"}),
    "no fan, no backing": walled({"backing": ()}, fans=()),
    "everything": walled(
        {"flap": Flap(), "cover": Cover(hung=(("05-01", "09-30"),)), "foot_m": 0.0,
         "summer_vent": SummerVent(top_area_m2=0.2, bottom_area_m2=0.2, open=(("05-01", "09-30"),))}
    ),
    "far out": walled({"overhang": plain().wall.overhang.model_copy(update={"depth_m": 9.0})}),
    "awning": from_text(
        add_item(demo_text(), "obstacle", {"kind": "awning", "name": "canvas & <poles>", "depth": "1 m"})
    ),
    "tiny": walled({"width_m": 0.3, "height_m": 0.3, "vents": plain().wall.vents.model_copy(
        update={n: getattr(plain().wall.vents, n).model_copy(update={"height_m": 0.02}) for n in ("bottom", "top")})}),
    "deep": walled({"gap_m": 0.6, "backing": tuple(Layer(material="softwood", thickness_m=0.02) for _ in range(12))}),
}  # fmt: skip


@pytest.mark.parametrize("name", PROJECTS)
@pytest.mark.parametrize("reader", [METRIC, US], ids=["metric", "us"])
def test_every_project_has_a_well_formed_section(name: str, reader: Reader) -> None:
    root = drawn(PROJECTS[name], reader)
    assert root.get("role") == "img"
    title, told = root.find(f"{SVG}title"), root.find(f"{SVG}desc")
    assert title is not None
    assert told is not None
    assert root.get("aria-labelledby") == f"{title.get('id')} {told.get('id')}"
    assert told.text == section_words(PROJECTS[name], reader)
    _, _, wide, tall = (float(v) for v in root.get("viewBox", "").split())
    for part in root.iter(f"{SVG}text"):
        assert 0.0 <= float(part.get("x", -1)) <= wide
        assert 0.0 <= float(part.get("y", -1)) <= tall
    assert not re.search(r"nan|inf", section_svg(PROJECTS[name], reader))


@pytest.mark.parametrize("factor", [0.5, 2.0])
def test_the_gap_is_drawn_as_deep_as_it_is(factor: float) -> None:
    usual, other = walled(), walled({"gap_m": factor * plain().wall.gap_m})
    for project in (usual, other):
        whole, enlarged = thickness(project, "--nw-warm")
        clear, clear_enlarged = thickness(project, "--nw-glass")
        assert whole / clear == pytest.approx(project.wall.gap_m / 0.010, rel=0.02)
        assert enlarged / clear_enlarged == pytest.approx(project.wall.gap_m / 0.010, rel=0.01)


def test_height_and_depth_have_one_scale() -> None:
    project = walled({"overhang": None})
    rect = next(r for r in drawn(project).iter(f"{SVG}rect") if "--nw-warm" in (r.get("style") or ""))
    ratio = float(rect.get("height", 0)) / float(rect.get("width", 1))
    assert ratio == pytest.approx(project.wall.height_m / project.wall.gap_m, rel=0.01)


def test_measures_are_written_in_the_readers_units() -> None:
    assert {"2.4 m", "90 mm", "12 mm", "140 mm"} <= set(words(plain()))
    assert {"7 ft 10 1/2 in", "3.54 in", "0.472 in"} <= set(words(plain(), US))


def test_openings_say_what_they_are() -> None:
    assert {"5 openings of", "360 x 100 mm"} <= set(words(plain()))
    assert "14.2 x 3.94 in" in words(plain(), US)
    assert "3 fans" in words(plain())
    assert "one-way flap" in words(walled({"flap": Flap()}))
    assert "from outdoors" in words(walled({"inlet_from": "outdoors"}))
    assert not any("fan" in text for text in words(walled(fans=())))


def test_a_layer_told_by_its_resistance_alone_has_no_thickness() -> None:
    project = walled({"backing": (Layer(resistance_m2k_w=2.7),)})
    assert "thickness open" in words(project)
    assert not slices(project.wall)[-1].known


def test_air_behind_has_the_dark_face_before_the_gap() -> None:
    looks = [part.look for part in slices(PROJECTS["air behind"].wall)]
    assert looks[:4] == ["glazing", "still air", "dark", "gap"]
    assert [part.look for part in slices(plain().wall)][:3] == ["glazing", "gap", "dark"]


def test_what_hangs_above_is_drawn_where_it_hangs() -> None:
    (edge,) = shades(plain())
    assert (edge.out_m, edge.over_m) == (1.1, 0.4)
    (modules,) = shades(demo())
    # 1.76 m up a slope of 45 degrees from 1.6 m out and 0.5 m below the glazing's top; geometry by hand
    assert modules.points[0] == (1.6, -0.5)
    assert modules.points[1] == pytest.approx((1.6 - 1.2445, -0.5 + 1.2445), abs=1e-3)
    assert shades(PROJECTS["far out"]) == []
    assert "roof edge, 9 m: too far out to draw" in words(PROJECTS["far out"])
    assert not any(shade.always for shade in shades(hung_awning()))


def hung_awning() -> Project:
    item: dict[str, Any] = {"kind": "awning", "name": "canvas", "depth": "1 m", "hung": [["05-01", "09-30"]]}
    return from_text(add_item(demo_text(), "obstacle", item)).model_copy(update={"pv": ()})


def test_places_are_moved_apart_no_more_than_needed() -> None:
    assert apart([0.0, 100.0], 10.0) == [0.0, 100.0]
    spread = apart([5.0, 5.0, 5.0, 40.0], 10.0)
    assert spread == [-5.0, 5.0, 15.0, 40.0]


def test_long_words_are_cut() -> None:
    assert shortened("short", 400.0) == "short"
    assert shortened("a very long name of a board", 60.0).endswith("\u2026")
