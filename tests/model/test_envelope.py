"""The envelope against the shop's size."""

from __future__ import annotations

import pytest

from noonwall.errors import ProjectError
from noonwall.model.doubts import doubts
from noonwall.model.edit import set_values
from noonwall.model.envelope import change_words, fit_areas, fitted, sizes
from noonwall.model.file import from_text
from noonwall.model.templates import demo_text, new_text

GROWN = {"shop.length": "30 ft", "shop.width": "24 ft", "shop.eaves": "10 ft"}


@pytest.mark.parametrize("text", [demo_text(), new_text(), new_text(system="us")])
def test_what_ships_goes_round_and_covers(text):
    now = sizes(from_text(text))
    assert now.upright_m2 == pytest.approx(now.asked_m2, rel=0.01)
    assert now.covers
    assert fitted(from_text(text)) == {}


def test_a_shop_that_grew_without_its_walls_is_told_with_both_figures():
    project = from_text(set_values(new_text(system="us"), GROWN))
    told = [fault.text for fault in doubts(project, system="us")]
    # by hand: 2 x (30 + 24) x 10 = 1080 and gables of 24^2 / 2 x sqrt((820/720)^2 - 1) = 157; 900 + 32 + 21 + 160
    assert any("1113 ft2" in line and "1237 ft2" in line for line in told), told


def test_fitting_walls_closes_it_and_leaves_openings_and_a_possible_roof():
    text = set_values(new_text(system="us"), GROWN)
    assert change_words(from_text(text), "us") == "walls 900 ft2 to 1024 ft2"
    after = from_text(fit_areas(text, "us"))
    assert 'area = "1024 ft2"' in fit_areas(text, "us")
    assert sizes(after).upright_m2 == pytest.approx(sizes(after).asked_m2, rel=0.001)
    assert [part.area_m2 for part in after.shop.parts[1:]] == [
        part.area_m2 for part in from_text(text).shop.parts[1:]
    ]


def test_a_roof_smaller_than_the_floor_gets_a_usual_pitch():
    text = set_values(new_text(system="us"), {"shop.length": "60 ft"})
    roof = from_text(fit_areas(text, "us")).shop.parts[3]
    assert roof.area_m2 == pytest.approx(60 * 24 * 1.118 * 0.3048**2, rel=0.001)  # 6 in 12: sqrt(1 + 1/4)


def test_walls_keep_their_shares():
    text = set_values(demo_text(), {"shop.eaves": "4 m"})
    before, after = (from_text(t).shop.parts for t in (text, fit_areas(text, "metric")))
    walls = [i for i, part in enumerate(before) if part.kind == "wall"]
    times = {round(after[i].area_m2 / before[i].area_m2, 2) for i in walls}
    assert len(times) == 1
    assert times != {1.0}


def test_no_room_left_for_walls_is_told():
    text = set_values(new_text(), {"shop.part[3].area": "300 m2"})
    with pytest.raises(ProjectError, match="no wall is left"):
        fit_areas(text, "metric")
