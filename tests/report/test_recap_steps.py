"""A recap for charts: the steps lie end to end, and say what the document says."""

from __future__ import annotations

from itertools import pairwise

import pytest

from noonwall.logs.recap import NOT_PROVEN
from noonwall.report.reader import KBTU_PER_KWH, Reader
from noonwall.report.recap_steps import recap_steps
from noonwall.report.recap_words import anew


def link(key: str, kwh: float) -> dict[str, object]:
    words = {
        "name": key,
        "evidence": "seen",
        "advice": "nothing to do",
        "dates": ["2025-02-08 to 2025-02-16"],
    }
    return {"key": key, "kwh": kwh, **words}


ROW = {
    "name": "2025-02", "first": "2025-02-01", "last": "2025-02-28", "days": 28, "known_share": 0.9,
    "sun_kwh": 100.0, "typical_kwh": 60.0, "expected_kwh": 50.0,
    "measured_kwh": 40.0, "error_kwh": 8.0, "fan_hours": 12.0, "expected_fan_hours": 14.0, "shop_c": 10.0,
    "expected_shop_c": 11.0,
}  # fmt: skip
PART = {**ROW, "first": "2025-02-14", "days": 15}
BLANK = {**ROW, "measured_kwh": None, "error_kwh": None, "shop_c": None, "fan_hours": None}
DOCUMENT = {
    "verdict": "no difference proven",
    "period": {"known_share": 0.9},
    "measured": {"heat_kwh": 40.0, "error_kwh": 8.0},
    "whole": ROW,
    "chain": {
        "expected_kwh": 60.0,
        "links": [link("weather", -10.0), link("shade", -25.0), link("rest", 15.0)],
        "measured_kwh": 40.0,
        "sensors": link("sensors", 2.0),
    },
    "days": [ROW, BLANK],
    "months": [ROW],
    "seasons": [ROW],
}


@pytest.mark.parametrize("system", ["metric", "us"])
def test_the_steps_lie_end_to_end_and_end_at_what_was_measured(system: str) -> None:
    steps = recap_steps(DOCUMENT, Reader(system))["steps"]
    for before, after in pairwise(steps[:-1]):
        assert after["from"] == pytest.approx(before["to"])
    assert steps[-2]["to"] == pytest.approx(steps[-1]["to"])
    assert [step["kind"] for step in steps] == ["whole", "loss", "loss", "gain", "whole"]
    factor = KBTU_PER_KWH if system == "us" else 1.0
    assert steps[-1]["to"] == pytest.approx(40.0 * factor)


def test_links_come_largest_first_with_their_days() -> None:
    links = recap_steps(DOCUMENT, Reader())["links"]
    assert [item["key"] for item in links] == ["shade", "rest", "weather", "sensors"]
    assert links[0]["told"] == "-25 kWh" and links[1]["told"] == "+15 kWh"
    assert links[0]["dates"] == [{"told": "8 Feb to 16 Feb", "first": "2025-02-08"}]


def test_rows_carry_their_error_and_blanks_stay_blank() -> None:
    rows = recap_steps(DOCUMENT, Reader("us"))["rows"]["days"]
    assert rows[0]["spread"] == pytest.approx([32.0 * KBTU_PER_KWH, 48.0 * KBTU_PER_KWH], abs=0.11)
    assert rows[0]["shop"] == 50.0
    assert rows[1]["measured"] is None and rows[1]["spread"] is None and rows[1]["shop"] is None


def test_the_answer_says_verdict_and_error() -> None:
    lead, sure, verdict = recap_steps(DOCUMENT, Reader())["answer"]
    assert lead == (
        "40 kWh came into the shop. With the weather you had, your project promised 50 kWh; on the same days of a "
        "typical year, 60 kWh."
    )
    assert sure.startswith(
        "What came in was measured in 90 % of the hours (on 1 of 2 days in none), give or take 8 kWh"
    )
    assert verdict == "No difference proven."


def test_heat_that_went_out_is_said_so() -> None:
    out = {"measured": {"heat_kwh": -40.0, "error_kwh": 8.0}, "whole": {**ROW, "expected_kwh": -50.0}}
    assert recap_steps({**DOCUMENT, **out}, Reader())["answer"][0] == (
        "40 kWh more went out of the shop than came in. With the weather you had, your project promised 50 kWh going "
        "out; on the same days of a typical year, 60 kWh."
    )
    nothing = recap_steps({**DOCUMENT, "whole": BLANK}, Reader())["answer"][0]
    assert nothing.startswith("No heat was measured in this time")


def test_what_hangs_on_the_fans_described_is_said_beside_the_figure() -> None:
    def beside(at: int = 1, **more: object) -> str:
        return str(recap_steps({**DOCUMENT, **more}, Reader())["answer"][at])

    assert "reckoned" not in beside(reckoned=None)
    assert beside(reckoned="it moves").endswith(
        "It is reckoned from temperatures with fans and openings as described: change them and it moves too."
    )
    days = {"known_share": 0.9, "from": "2025-02-01", "to": "2025-02-28"}
    changed = beside(2, reckoned="it moves", project_written="2025-03-01", period=days, changed_since=True)
    assert "reckoned anew with fans and openings as they stand now" in changed


def test_a_project_changed_since_is_said_before_the_first_figure() -> None:
    changed = {"project_kept": "2025-03-01", "project_changed": ["the flap", "what stands around"]}
    now = recap_steps({**DOCUMENT, **changed, "changed_since": True, "expectation": "of it"}, Reader("us"))
    assert now["answer"][0] == now["warning"][0]
    assert "read in on March 1, 2025: the flap and what stands around. All below" in now["answer"][0]
    assert "your project as it stands would have promised" in now["answer"][1]
    assert not any(line.startswith("Of it") for line in now["answer"])
    then = recap_steps({**DOCUMENT, **changed, "changed_since": False, "as_was": True}, Reader("us"))
    assert (
        "as it was on March 1, 2025" in then["answer"][0] and "as it was then promised" in then["answer"][1]
    )
    written = recap_steps({**DOCUMENT, "changed_since": True, "project_written": "2025-04-01"}, Reader())
    assert "last written on 1 April 2025, after these days" in written["answer"][0]
    assert recap_steps(DOCUMENT, Reader())["warning"] == []


def test_a_measured_figure_that_has_moved_tells_what_it_was() -> None:
    now = {**DOCUMENT, "reckoned": "it moves"}
    was = {**now, "measured": {"heat_kwh": 46.0, "error_kwh": 9.0}}
    assert anew(was, now, Reader()) == "Reckoned anew since the last change: before it, 46 kWh came in."
    assert anew(now, now, Reader()) is None and anew(None, now, Reader()) is None
    assert anew({**was, "period": {"known_share": 0.8}}, now, Reader()) is None  # of other days


def test_a_part_of_a_month_says_from_which_day() -> None:
    rows = recap_steps({**DOCUMENT, "months": [ROW, PART]}, Reader())["rows"]["months"]
    assert [row["name"] for row in rows] == ["Feb 2025", "Feb 2025\nfrom 14th"]


def test_what_was_found_is_told_with_its_heat() -> None:
    found = {"causes": ["the fans stood still", "a and b were exchanged"], "causes_link": ["dead", "sensors"],
             "causes_kwh": [-6.0, 24.0]}  # fmt: skip
    said = " ".join(recap_steps({**DOCUMENT, **found}, Reader("us"))["answer"])
    assert "No difference proven; found: the fans stood still (-20 kBtu). Also found, largest first: " in said
    assert "a and b were exchanged (as written it would be +82 kBtu)." in said
    proven = recap_steps({**DOCUMENT, **found, "verdict": NOT_PROVEN}, Reader())["answer"][2]
    assert proven == f"W{NOT_PROVEN[1:]}; but the fans stood still (-6 kWh)."


def test_an_expectation_stands_right_after_the_headline_its_dates_in_words() -> None:
    told = (
        "the expectation is of the project, last changed on 2026-03-01, after these days ended (2025-12-31)"
    )
    said = recap_steps({**DOCUMENT, "expectation": told}, Reader("us"))["answer"]
    assert said[2] == "No difference proven."
    assert said[3].endswith("last changed on Mar 1, 2026, after these days ended (Dec 31, 2025).")
