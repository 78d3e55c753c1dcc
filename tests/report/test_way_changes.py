"""What a variant changes is told key by key, in the reader's units and dates."""

from __future__ import annotations

import pytest

from noonwall.errors import ProjectError
from noonwall.model.edit import set_value
from noonwall.model.project import Variant
from noonwall.model.templates import create
from noonwall.report.reader import Reader
from noonwall.report.way_changes import differences
from noonwall.studies.adopt import adopted

METRIC, US = Reader("metric"), Reader("us")


@pytest.fixture(scope="module")
def text(tmp_path_factory: pytest.TempPathFactory) -> str:
    """Return the demo's text."""
    return create(tmp_path_factory.mktemp("ways") / "shed", demo=True).read_text()


def told(text: str, reader: Reader, *change: str) -> dict[str, tuple[str, str]]:
    found = differences(text, Variant(name="a way", change=change), reader)
    return {one.key: (one.was, one.now) for one in found}


def test_a_number_is_told_in_the_readers_units(text: str) -> None:
    assert told(text, METRIC, "wall.gap=120 mm") == {"wall.gap": ("90 mm", "120 mm")}
    assert told(text, US, "wall.gap=120 mm") == {"wall.gap": ("3.54 in", "4.72 in")}


def test_dates_and_hours_are_told_as_such(text: str) -> None:
    assert told(text, METRIC, "cover=05-02..09-15") == {"wall.cover.hung": ("never", "2 May to 15 September")}
    assert told(text, US, "cover=05-02..09-15") == {"wall.cover.hung": ("never", "May 2 to September 15")}
    assert told(text, US, "shutters=18:00..07:30")["wall.vents.shut_hours"] == ("never", "6 pm to 7:30 am")


def test_a_new_thing_says_what_it_is(text: str) -> None:
    limit, *_ = differences(text, Variant(name="w", change=("room limit=24 C",)), US)
    assert (limit.name, limit.was, limit.now) == ("room limit", "none", "")
    assert dict(limit.parts)["open"] == "75.2 °F"


def test_a_limit_that_the_project_has_under_another_name_changes_nothing(text: str) -> None:
    limited = adopted(text, "a limit", ("room limit=22 C",))
    other = limited.replace('name = "room limit"', 'name = "too warm"')
    assert other != limited
    for change in ("room limit=22 C", "room limit=71.6 F"):
        assert differences(other, Variant(name="w", change=(change,)), US) == ()
    assert differences(other, Variant(name="w", change=("room limit=24 C",)), US) != ()


def test_what_reads_alike_is_no_change(text: str) -> None:
    assert told(text, US, "wall.gap=90.01 mm") == {}


def test_a_cover_without_dates_takes_the_projects_own(text: str) -> None:
    assert told(text, US, "cover") == {"wall.cover.hung": ("never", "May 1 to September 15")}
    hung = adopted(text, "own", ("cover=05-10..09-20",))
    assert told(hung, US, "cover") == {}
    assert "May 10 to September 20" in str(told(hung, US, "vent out"))


def test_what_goes_is_none_and_what_does_not_fit_is_refused(text: str) -> None:
    assert told(text, METRIC, "flap") == {"wall.flap": ("none", "")}
    assert told(text, METRIC, "fan[1].count=4")["fan[1].count"][1] == "4"
    with pytest.raises(ProjectError):
        told(text, METRIC, "flop")


def test_wires_of_module_fans_are_told_only_where_there_are_such_fans(text: str) -> None:
    assert "circuit.module_fans" not in told(text, METRIC, "room limit")
    fed = set_value(text, "fan[1].supply", "pv")
    assert "circuit.module_fans" in told(fed, METRIC, "room limit")
