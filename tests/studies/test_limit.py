"""What a room limit makes of the wall: the figures are those of the study of the worst hours."""

from __future__ import annotations

from typing import TYPE_CHECKING

from pytest import approx

from fakes.projects import plain
from noonwall.report.reader import Reader
from noonwall.report.room_limit import limit_told, set_points
from noonwall.studies.limit import limit_heat
from noonwall.studies.remedies import limit_points, room_limits, with_room_limit

if TYPE_CHECKING:
    from noonwall.climate.weather import Weather
    from noonwall.studies.hot import HotStudy


def test_without_the_limit_the_wall_is_as_hot_as_it_was(hot: HotStudy, weather: Weather) -> None:
    found = limit_heat(with_room_limit(plain()), weather)
    assert found is not None
    face = next(heat for heat in hot.cases[0].pieces if heat.piece.name == "absorber, face")
    assert found.without_c == approx(face.hottest_c)
    assert found.with_c > found.without_c + 1.0


def test_a_wall_without_a_limit_has_nothing_to_tell(weather: Weather) -> None:
    assert limit_heat(plain(), weather) is None


def test_set_points_are_those_that_the_study_of_warmth_tries() -> None:
    limited = room_limits(with_room_limit(plain()))[0]
    assert (limited.close, limited.open) == limit_points(plain())
    assert set_points(plain(), Reader("metric"), 26.0) == {"close": "24 C", "open": "26 C"}
    assert set_points(plain(), Reader("us"), 26.0) == {"close": "75.2 F", "open": "78.8 F"}


def test_what_a_limit_does_to_the_wall_has_its_figures() -> None:
    told = limit_told(130.0, 120.0, Reader("us"))
    assert "wall hotter" in told
    assert "266 °F with it, 248 °F without it" in told
    assert "hotter" not in limit_told(120.4, 120.0, Reader("metric"))
    assert "120 °C with it and without it" in limit_told(120.4, 120.0, Reader("metric"))
