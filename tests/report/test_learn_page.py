"""What readings taught, printed: width, units, what is said of what is not known."""

from __future__ import annotations

import json

import numpy as np
import pytest

from noonwall.logs.as_was import Kept
from noonwall.logs.learn.judge import Error, Measure
from noonwall.logs.learn.story import Curve, Learned, Value
from noonwall.model.file import from_text
from noonwall.model.templates import demo_text
from noonwall.report.document import as_json
from noonwall.report.learn_document import learn_document
from noonwall.report.learn_figures import learn_picture
from noonwall.report.learn_page import changed_words, learn_page
from noonwall.report.reader import Reader


def learned() -> Learned:
    """Return a made-up lesson with one of everything."""
    told = Value(
        "shop_loss",
        "loss through walls, roof, windows",
        "W/K",
        False,
        137.6,
        160.2,
        148.0,
        173.4,
        1.164,
        True,
        False,
        0.05,
        0.25,
    )
    other = Value(
        "fan_flow",
        "flow of all fans against no pressure",
        "m3/s",
        False,
        0.3,
        0.27,
        0.25,
        0.29,
        0.9,
        True,
        True,
        0.05,
        0.15,
    )
    untold = Value(
        "gap_leak",
        "leak of the gap to outdoors",
        "cm2",
        False,
        23.2,
        23.2,
        8.6,
        62.0,
        1.0,
        False,
        False,
        0.6,
        0.6,
    )
    point = Value(
        "set_point", "set point of the heater", "C", True, 5.0, 5.4, 5.1, 5.7, 0.4, True, False, 0.2, 0.7
    )
    hours = np.linspace(5.0, 9.0, 24 * 30)
    judges = np.arange(len(hours)) % 3 == 0
    return Learned(
        start=np.datetime64("2025-01-01T00:00:00"),
        days=30.0,
        step_s=600,
        values=(told, other, untold, point),
        alike=(("shop_loss", "fan_flow", -0.92),),
        offset_k={"room_c": 0.2},
        errors=(Error("room_c", 240, 0.4, 0.1),),
        errors_assumed=(Error("room_c", 240, 1.4, 0.9),),
        measures=(Measure("heat of the backup heater", "W", "hour", 240, 900.0, 0.35, -0.02, 0.3, 0.1),),
        measures_assumed=(
            Measure("heat of the backup heater", "W", "hour", 240, 900.0, 0.55, -0.2, 0.3, 0.1),
        ),
        curves=(Curve("room_c", 3600, hours, hours - 0.1, hours - 0.9, judges),),
        days_left_out=2,
        runs=80,
        notes=(
            "outdoor temperature: 98 % measured, the rest from the project's weather (Houlton Intl Arpt, ME)",
        ),
    )


@pytest.mark.parametrize("system", ["metric", "us"])
def test_the_page_fits_and_tells_what_is_not_known(system: str) -> None:
    page = str(learn_page(learned(), from_text(demo_text(), "demo"), Reader(system)))  # type: ignore[arg-type]
    assert max(len(line) for line in page.splitlines()) <= 84
    assert "cannot tell" in page
    assert "hardly tell apart" in page
    told = " ".join(page.split())
    assert (
        "heat of the backup heater: hour by hour the calculation is typically off by 35 %, over the whole by"
        in told
    )
    assert "Too much for heat of the backup heater by hour: take the learned values with caution." in told
    assert "CV(RMSE) and NMBE of ASHRAE Guideline 14-2014" in told
    assert ("cfm" if system == "us" else "m3/h") in page
    assert " safe" not in page.lower()


def test_what_was_changed_since_the_readings_is_told() -> None:
    assert changed_words(None, Reader()) == "" and changed_words(Kept("2025-03-01", "", ()), Reader()) == ""
    said = changed_words(Kept("2025-03-01", "", ("the flap", "what stands around")), Reader("us"))
    assert (
        "read in on March 1, 2025: the flap and what stands around. The readings are of the time before"
        in said
    )


def test_the_document_is_plain_json() -> None:
    document = json.loads(as_json(learn_document(learned())))
    assert document["schema"] == "noonwall.learn/1"
    assert [value["told"] for value in document["values"]] == [True, True, False, True]
    assert document["heat"][0]["met"] is False


def test_the_picture_is_drawn_in_every_form() -> None:
    project = from_text(demo_text(), "demo")
    assert learn_picture(learned(), project, Reader("us"), "svg").startswith(b"<?xml")
    assert learn_picture(learned(), project, Reader("metric")).startswith(b"\x89PNG")
