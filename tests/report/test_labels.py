"""Words in drawings of the sky lie beside each other, never on each other: on the demo, and with forty trees."""

from __future__ import annotations

import re
from itertools import combinations
from typing import TYPE_CHECKING

import pytest

from fakes.projects import demo
from noonwall.model.obstacle import Tree
from noonwall.report.labels import Labels, Names, around
from noonwall.report.reader import Reader
from noonwall.report.site_light import Moment, date_number
from noonwall.report.site_sky import sky_data
from noonwall.web.parts.sky import DATE_PX, HOUR_PX, NAME_PX, sky_drawing

if TYPE_CHECKING:
    from noonwall.model.project import Project

SIZES = {"nw-sky-clock": HOUR_PX, "nw-sky-high": HOUR_PX, "nw-sky-name": NAME_PX, "nw-sky-label": DATE_PX}
WORD = re.compile(r'<text x="([-\d.]+)" y="([-\d.]+)" text-anchor="(\w+)" class="([\w-]+)">([^<]*)</text>')
Box = tuple[float, float, float, float]


def wood() -> Project:
    trees = tuple(
        Tree(name=f"spruce {i}", kind="tree", east_m=-38.0 + 2.0 * i, north_m=-9.0 - 7.0 * (i % 5),
             height_m=6.0 + i % 11, crown_width_m=3.0 + i % 3, species="spruce")
        for i in range(1, 41)
    )  # fmt: skip
    return demo().model_copy(update={"obstacles": trees})


def box(x: str, y: str, anchor: str, style: str, words: str) -> Box:
    # width and height as DejaVu Sans has them, by the plotting library's own metrics
    from matplotlib.font_manager import FontProperties
    from matplotlib.textpath import TextPath

    weight = "bold" if style == "nw-sky-name" else "normal"
    path = TextPath(
        (0.0, 0.0), words, size=SIZES[style], prop=FontProperties(family="DejaVu Sans", weight=weight)
    )
    low, high = path.get_extents().get_points()
    left = float(x) - {"start": 0.0, "middle": 0.5, "end": 1.0}[anchor] * float(high[0])
    return left, float(y) - float(high[1]), left + float(high[0]), float(y) - float(low[1])


@pytest.mark.parametrize("make", [demo, wood])
@pytest.mark.parametrize("minute", [540, 720, 960])
def test_no_words_of_the_sky_lie_on_others(make: object, minute: int) -> None:
    when = Moment(date_number(2, 5), minute, -5.0)
    drawn = sky_drawing(sky_data(make(), 0.0, when, Reader("us")))  # type: ignore[operator]
    for svg in drawn.split("</svg>")[:2]:
        words = [(hit[5], box(*hit.groups())) for hit in WORD.finditer(svg) if hit[4] in SIZES]
        assert len(words) > 12
        for (one, a), (other, b) in combinations(words, 2):
            apart = a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]
            assert apart, f"{one} lies on {other}"


def test_words_stay_inside_and_yield() -> None:
    labels = Labels(100.0, 50.0)
    assert labels.put("a long word", 10.0, [(2.0, 20.0, "middle")]) is not None
    found = labels.put("other", 10.0, around((2.0, 20.0), 10.0, 3.0))
    assert found is None or abs(found[1] - 20.0) > 9.0
    assert labels.put("x", 10.0, [(50.0, 90.0, "start")]) is None


def test_one_family_is_named_once_and_several_in_full() -> None:
    one = Names(["fir 1", "fir 2", "shed"])
    one.said("fir 1")
    assert (one.short("fir 2"), one.short("shed")) == ("2", "shed")
    two = Names(["fir 1", "oak 1"])
    two.said("fir 1")
    assert two.short("fir 1") == "fir 1"
