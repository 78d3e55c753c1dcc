"""Findings in plain words: the reader's units, dates and what may be done, never a bare key or a kelvin."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

import noonwall.logs.quality
from noonwall.logs.reception import findings_data
from noonwall.logs.records import Finding
from noonwall.report import finding_words as words
from noonwall.report.reader import Reader

FINDINGS = (
    Finding("gap", "yard", 0, 147_600, {"hours": 41.0, "channels": 1.0}, "no readings for 41.0 h; sums rest"),
    Finding("gap", "2 channels", 0, 147_600, {"hours": 41.0, "channels": 2.0}, "no readings for 41.0 h; sums rest"),
    Finding("swap", "bench", 0, 86_400, {"days": 10.0, "turned_by_k": 13.0, "crossed_by_k": 9.4},
            "bench is warmer than yard by 13.0 K on 10 days: exchanged", "mended", {"swap": "yard"}),
    Finding("stuck", "bench", 0, 7200, {"hours": 2.0, "value": 85.0, "others_moved_k": 4.0},
            "shows 85 for 2.0 h while others moved by 4.0 K; left out", "set aside"),
    Finding("spike", "bench", 0, 60, {"readings": 1.0, "from_value": 5.0, "to_value": 60.0},
            "leaps from 5.0 to 60.0 and back within one reading; left out", "set aside"),
    Finding("out of range", "bench", 0, 60, {"readings": 3.0, "worst": 85.0},
            "3 values no shop can show, up to 85; left out", "set aside"),
    Finding("conflict", "bench", 0, 60, {"stamps": 49.0, "largest_difference": 2.0}, "two imports hold others"),
    Finding("scale", "bench", 0, 60, {"days": 3.0, "median_as_stored_c": 68.0, "median_mended_c": 20.0},
            "Fahrenheit kept as Celsius: its median of 68.0 C is 20.0 C in the other scale; used turned back", "mended",
            {"zero": 32.0, "scale": 0.5556}),
)  # fmt: skip


def told(finding: Finding) -> dict[str, Any]:
    return findings_data([finding], 0.0, {"bench": "temperature", "yard": "temperature"}, 2)[0]


@pytest.mark.parametrize("finding", FINDINGS, ids=lambda item: item.kind)
@pytest.mark.parametrize("system", ["metric", "us"])
def test_every_finding_is_told_in_the_readers_units(finding: Finding, system: Any) -> None:
    found, reader = told(finding), Reader(system)
    page = " ".join(
        (
            words.kind_words(found["kind"]),
            words.consequence_words(found, reader),
            words.evidence_words(found, reader),
        )
    )
    assert not re.search(r"\d (K|C)\b|_| k\b", page), page
    assert ("°C" not in page) if system == "us" else ("°F" not in page)
    assert words.kind_words(found["kind"]) != found["kind"]


def test_figures_are_turned_not_only_their_signs() -> None:
    us = Reader("us")
    assert "by 23.4 °F on 10 days" in words.consequence_words(told(FINDINGS[2]), us)
    assert "Shows 185.0 °F for 2.0 h" in words.consequence_words(told(FINDINGS[3]), us)
    assert "from 41.0 °F to 140.0 °F and" in words.consequence_words(told(FINDINGS[4]), us)
    assert "up to 185.0 °F;" in words.consequence_words(told(FINDINGS[5]), us)
    assert words.evidence_words(told(FINDINGS[6]), us) == "What tells it: up to 3.6 °F apart."
    assert (
        words.evidence_words(told(FINDINGS[2]), us)
        == "What tells it: at the change their readings cross by 16.9 °F."
    )
    assert words.when_words(told(FINDINGS[2]), us) == "January 1, 1970 12 am to January 2, 1970 12 am"


def test_what_may_be_done_is_offered_where_it_changes_anything() -> None:
    partial, whole, swap, stuck = (words.verdict_words(told(item)) for item in FINDINGS[:4])
    assert list(partial) == ["used", "set aside"] and "all channels" in partial["set aside"]
    assert whole == {}
    assert swap["mended"].startswith("they were exchanged") and list(stuck) == ["used", "set aside"]


def test_no_kind_of_finding_is_left_without_words() -> None:
    folder = Path(noonwall.logs.quality.__file__).parent
    source = "".join(file.read_text(encoding="utf-8") for file in folder.glob("*.py"))
    kinds = set(re.findall(r'Finding\(\s*"([^"]+)"', source))
    assert len(kinds) > 8 and kinds == set(words.KINDS)
