"""What tells that something went wrong: synthetic days for each rule, and one seeded year of the table."""

from __future__ import annotations

from types import SimpleNamespace
from typing import TYPE_CHECKING

import numpy as np
import pytest

from logs.lived import OFFSET_H, score, shed
from noonwall.logs import mishaps
from noonwall.logs.cover_seen import stretches_of
from noonwall.logs.period import Period
from noonwall.logs.records import Channel, Conversion
from noonwall.logs.runs import Run
from noonwall.logs.seen import Seen, seen
from noonwall.logs.store import Store
from noonwall.model.control import Switch

if TYPE_CHECKING:
    from pathlib import Path

DAYS = 30
STEPS = 96


def what(**parts: np.ndarray) -> Seen:
    """Return thirty quiet days with some columns replaced."""
    columns: dict[str, np.ndarray | None] = dict.fromkeys(
        ("shop_c", "outdoor_c", "gap_bottom_c", "gap_top_c", "air_in_c", "air_out_c", "fan_share", "flow_m3_s",
         "heater_kwh", "cover"),
    )  # fmt: skip
    columns.update(parts)
    return Seen(**columns, fan_from="the fans' state", cover_from="")  # type: ignore[arg-type]


def noons(peaks_c: np.ndarray) -> np.ndarray:
    """Return gap temperatures that climb to each day's peak for two hours about noon, shape (n,)."""
    out = np.full((len(peaks_c), STEPS), 10.0)
    out[:, 44:52] = peaks_c[:, None]
    return out.reshape(-1)


def running(starts: np.ndarray) -> np.ndarray:
    """Return fans that run for two hours about noon on the days marked."""
    out = np.zeros((len(starts), STEPS))
    out[:, 44:52] = starts[:, None]
    return out.reshape(-1)


def test_a_drifted_switch_is_told_with_both_temperatures() -> None:
    peaks = np.where(np.arange(DAYS) < 15, 43.5, 37.0) + 0.3 * np.sin(np.arange(DAYS))
    found = mishaps.switch_drift(shed(), what(gap_top_c=noons(peaks), fan_share=running(np.ones(DAYS))))
    assert [item.first for item in found] == [15]
    assert "44 °C (110 °F)" in found[0].evidence or "43 °C" in found[0].evidence
    steady = what(gap_top_c=noons(np.full(DAYS, 43.5)), fan_share=running(np.ones(DAYS)))
    assert mishaps.switch_drift(shed(), steady) == []


def test_fans_that_start_and_stop_are_told_once_three_days_show_it() -> None:
    share = np.zeros((DAYS, STEPS))
    share[5:9, 40:52] = 0.4
    found = mishaps.short_cycling(what(fan_share=share.reshape(-1)))
    assert [(item.first, item.last) for item in found] == [(5, 8)]
    share[7:9] = 0.0
    assert mishaps.short_cycling(what(fan_share=share.reshape(-1))) == []


def test_a_room_switch_that_holds_the_fans_is_told() -> None:
    project = shed()
    limit = Switch(name="room limit", kind="open on rise", spot="room", close=22.0, open=25.0)
    project = project.model_copy(update={"switches": (*project.switches, limit)})
    warm = what(
        gap_top_c=noons(np.full(DAYS, 55.0)),
        fan_share=np.zeros(DAYS * STEPS),
        shop_c=noons(np.full(DAYS, 25.0)),
    )
    found = mishaps.held_by_the_room(project, warm)
    assert len(found) == 1
    assert "60 h" in found[0].evidence
    assert mishaps.held_by_the_room(shed(), warm) == []


def test_a_room_switch_that_opens_too_early_is_told_with_its_warmth_and_is_no_dead_fan() -> None:
    limit = Switch(name="room limit", kind="open on rise", spot="room", close=19.0, open=21.0)
    project = shed().model_copy(update={"switches": (*shed().switches, limit)})
    shop = np.where(np.arange(DAYS) % 3 == 0, 9.0, 16.0)
    cold = (shop < 12.0).astype(float)
    lived = what(
        gap_top_c=noons(np.where(cold > 0.0, 38.0, 55.0)),
        fan_share=running(cold),
        shop_c=np.repeat(shop, STEPS),
    )
    opens_c = mishaps.room_opens_c(project, lived)
    assert opens_c is not None
    assert 9.0 <= opens_c < 16.0
    (found,) = mishaps.held_by_the_room(project, lived)
    assert "it should open at 21 °C" in found.evidence
    always = np.ones(DAYS * STEPS)
    own = Run(**dict.fromkeys(Run.__dataclass_fields__, always))
    assert mishaps.dead_fans(project, lived, own) == []
    assert len(mishaps.dead_fans(shed(), lived, own)) == 10


@pytest.mark.parametrize(("shut_days", "never_else"), [(0, True), (10, False)])
def test_a_flap_that_no_night_showed_shut_may_not_have_been_there_yet(
    shut_days: int, never_else: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    def run(state: int) -> Run:
        parts = dict.fromkeys(Run.__dataclass_fields__, np.zeros(DAYS * STEPS))
        return Run(**{**parts, "gap_top_c": np.full(DAYS * STEPS, 8.0 if state else 0.0),
                      "room_c": np.full(DAYS * STEPS, 10.0)})  # fmt: skip

    monkeypatch.setattr(mishaps, "with_flap", lambda _case, state: state)
    monkeypatch.setattr(mishaps, "ran", lambda _at, state: run(state))
    top = np.where(np.arange(DAYS * STEPS) < shut_days * STEPS, 0.0, 8.0)
    lived = what(shop_c=run(0).room_c, gap_top_c=top, gap_bottom_c=np.zeros(DAYS * STEPS))
    at = SimpleNamespace(project=shed(flap=True), steps=DAYS * STEPS)
    found, _ = mishaps.flap_open(at, None, lived, Period(np.datetime64("2025-02-01"), DAYS, OFFSET_H))  # type: ignore[arg-type]
    assert [item.never_else for item in found] == [never_else]
    assert ("and on no other" in found[0].evidence) is never_else


def test_remarks_by_hand_tell_when_the_cover_hung(tmp_path: Path) -> None:
    period = Period(np.datetime64("2025-05-01"), 20, OFFSET_H)
    with Store(tmp_path) as store:
        with store.importing("notes.csv", "notes", {}, 0) as intake:
            note = intake.channel(Channel("notes", "remark", "text"), "notes", Conversion(""))
            intake.remark(note, period.start_s + 5 * 86_400, "Cover on, with Ann")
            intake.remark(note, period.start_s + 12 * 86_400, "took the cover down")
        found = seen(store, period, None)
    assert found.cover is not None
    assert stretches_of(found.cover) == [(5, 11)]
    assert found.cover_from == "remarks by hand"


@pytest.mark.parametrize(
    ("kind", "seed", "days"),
    [
        ("none", 310, (255, 330)),
        ("fans dead for 12 to 25 days", 311, (15, 95)),
        ("flap stuck open for 15 to 40 nights", 313, (290, 350)),
        ("switch opens 1 to 2 K below closing", 314, (255, 335)),
        ("room switch opens 6 to 9 K too early", 315, (255, 335)),
        ("a building put up in the year", 326, (255, 345)),
    ],
)
def test_a_seeded_year_is_told(kind: str, seed: int, days: tuple[int, int]) -> None:
    hit, wrong = score(kind, seed, days)
    assert hit
    assert wrong == []
