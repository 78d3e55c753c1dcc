"""Columns of a second logger that may go on where a known channel stopped."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from logs.stores import put
from noonwall.logs import maps
from noonwall.logs.importer import guess_file, import_file
from noonwall.logs.joins import Join, as_known, joins
from noonwall.logs.records import Channel
from noonwall.logs.store import Store

if TYPE_CHECKING:
    from pathlib import Path

    from noonwall.logs.guess import Guess

KNOWN = (
    Channel("bench", "shop", "temperature", height_m=1.2),
    Channel("yard", "outdoor", "temperature"),
    Channel("gap top", "gap top", "temperature"),
    Channel("sun", "sun", "irradiance", plane="wall"),
)


def guessed(folder: Path, *headings: str, words: tuple[str, ...] = ()) -> Guess:
    rows = [f"2025-03-01 {h:02d}:00" + f",{5 + h / 8:.1f}" * len(headings) for h in range(24)]
    path = folder / "two.csv"
    path.write_text("\n".join([",".join(["Time (UTC)", *headings]), *rows]), encoding="utf-8")
    return guess_file(path, said=maps.typed(words), utc_offset_h=-5.0)


def offered(folder: Path, *headings: str) -> dict[str, list[str]]:
    found = joins(guessed(folder, *headings), KNOWN)
    return {join.column: [channel.name for channel, _ in join.channels] for join in found}


@pytest.mark.parametrize(
    ("heading", "channels"),
    [
        ("Shop temp 2 (C)", ["bench"]),
        ("gap_top_b (C)", ["gap top"]),
        ("gaptop", ["gap top"]),
        ("Shop 2.4 m (C)", []),  # another height is another place
        ("CH3 (C)", ["yard", "bench", "gap top"]),  # a swapped logger that says nothing: all thermometers
        ("bench (C)", []),  # under that name already
        ("Sun horizontal (W/m2)", []),
        ("Pellets (kg)", []),
    ],
)
def test_what_is_offered(heading: str, channels: list[str], tmp_path: Path) -> None:
    found = offered(tmp_path, heading).get(heading, [])
    assert sorted(found) == sorted(channels)


@pytest.mark.parametrize(
    ("headings", "names"),
    [
        (("Bench (C)", "Gap top (C)"), ["bench", "gap top"]),
        (("Bench 2.4 m (C)",), ["Bench 2.4 m"]),  # another name, another height
        (("bench_ (C)", "GAP-TOP (C)"), ["bench", "gap top"]),  # blanks and hyphens neither
        (("Yard (F)", "YARD (F)"), ["Yard (2)", "YARD (3)"]),  # which of the two is not to be told
    ],
)
def test_capitals_blanks_and_hyphens_make_no_other_channel(
    headings: tuple[str, ...], names: list[str], tmp_path: Path
) -> None:
    known = (Channel("bench", "shop", "temperature"), *KNOWN[1:])
    found = as_known(guessed(tmp_path, *headings), known)
    assert [item.name for item in found.columns] == names
    said = guessed(tmp_path, "Bench (C)", words=("Bench (C)=shop; unit=C; name=Bench",))
    assert [item.name for item in as_known(said, known).columns] == ["bench"]


def test_what_is_kept_apart_gets_a_name_that_can_be_told(tmp_path: Path) -> None:
    other = Channel("Bench", "shop", "temperature", kind="mean", stamp="end", height_m=1.2)
    guess = as_known(guessed(tmp_path, "bench (C)"), (other,))
    assert guess.columns[0].name == "bench (2)"
    assert guess.notes[-1] == (
        'column "bench (C)" is kept apart from "Bench" and called "bench (2)", so that the two can be told from each '
        "other"
    )
    (join,) = joins(guess, (other,))
    assert join.apart.name == "bench (2)"
    again = guessed(tmp_path, "bench (C)", words=(f"{join.key}={join.apart.text()}",))
    both = (other, again.columns[0].channel)
    assert as_known(again, both).columns[0].name == "bench (2)"  # the next file of the kind goes on with it
    assert not as_known(again, both).notes[len(again.notes) :]


def test_columns_of_one_file_can_be_told_from_each_other(tmp_path: Path) -> None:
    found = as_known(guessed(tmp_path, "Yard (C)", "YARD (C)"), ())
    assert [item.name for item in found.columns] == ["Yard", "YARD (2)"]


def test_two_columns_do_not_claim_one_channel(tmp_path: Path) -> None:
    assert offered(tmp_path, "gap_top_b (C)", "Top of the long gap (C)", "gaptop") == {
        "gap_top_b (C)": ["gap top"]
    }


def test_the_word_sets_it_and_is_not_asked_again(tmp_path: Path) -> None:
    heading = "Shop temp 2 (C)"
    with Store(tmp_path) as store:
        put(store, "a", {KNOWN[0]: [(0, 1.0)]})
        (join,) = joins(guessed(tmp_path, heading), store.channels())
        word = f"{join.key}={join.channels[0][1].text()}"
        guess = guessed(tmp_path, heading, words=(word,))
        assert not joins(guess, store.channels())
        import_file(store, guess)
        (channel,) = store.channels()
        assert (channel.name, store.count(channel)) == ("bench", 25)


def test_kept_apart_stays_apart_and_a_unit_is_still_asked_for(tmp_path: Path) -> None:
    (join,) = joins(guessed(tmp_path, "Shop 2"), KNOWN)
    guess = guessed(tmp_path, "Shop 2", words=(f"{join.key}={join.apart.text()}",))
    assert guess.columns[0].name == "Shop 2" and not joins(guess, KNOWN)
    assert not guess.ready
    answered = guessed(tmp_path, "Shop 2", words=("unit=C",))
    assert answered.ready and joins(answered, KNOWN)


def test_a_column_called_as_a_key_is_typed_so(tmp_path: Path) -> None:
    join = Join("unit", "", (), joins(guessed(tmp_path, "Shop 2"), KNOWN)[0].apart)
    assert join.key == "column unit"
