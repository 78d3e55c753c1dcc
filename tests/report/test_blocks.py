"""The blocks of a page as they are printed."""

from __future__ import annotations

from noonwall.report.blocks import (
    Column,
    Facts,
    Lines,
    Row,
    Table,
    Title,
    Words,
    filled,
    month_table,
    page_of,
    table,
    words,
)


def test_a_month_table_has_its_headings_units_and_a_total_set_apart() -> None:
    printed = str(
        month_table(
            "THE WALL", [("into|the shop", "kWh", 10), ("fans", "h", 6)], [(1, ["9", "80"]), (0, ["9", "80"])]
        )
    )
    assert printed.splitlines() == [
        "THE WALL         into",
        "             the shop  fans",
        "                  kWh     h",
        "January             9    80",
        "---------------------------",
        "all                 9    80",
    ]


def test_headings_of_one_line_stand_beside_the_title_and_no_line_is_left_empty() -> None:
    printed = str(
        Table("WAYS", (Column("heat", "", 6),), (Row("flap", ("5",)), Row("a note that runs across")), 8)
    )
    assert printed.splitlines() == ["WAYS      heat", "flap         5", "a note that runs across"]


def test_words_begin_two_letters_off_the_figures() -> None:
    printed = str(
        Table(
            "", (Column("", "", 4), Column("worst", "", 9, left=True)), (Row("frame", ("7", "fans dead")),), 8
        )
    )
    assert printed.splitlines()[-1] == "frame      7  fans dead"


def test_columns_that_find_no_room_on_a_line_go_below() -> None:
    columns = tuple(Column(f"{hour}", "", 4) for hour in range(3))
    printed = str(
        Table("ON 5 FEBRUARY", columns, (Row("sun", ("1", "2", "3")),), 14, ("told below",), fold=2)
    )
    assert printed.splitlines() == [
        "ON 5 FEBRUARY    0   1",
        "sun              1   2",
        "                 2",
        "sun              3",
        "told below",
    ]


def test_long_names_run_on_below_and_what_is_below_is_ruled_off() -> None:
    made = table(
        "EACH", [("heat", "kWh", 6)], [("a very long name indeed", ["1"])], [("all", ["1"])], name_width=12
    )
    assert made.rows == (Row("a very long name indeed", ("1",)), Row("all", ("1",), ruled=True))
    assert str(made).splitlines()[2:] == [
        "a very long      1",
        "  name",
        "  indeed",
        "------------------",
        "all              1",
    ]


def test_facts_wrap_under_what_is_said() -> None:
    facts = Facts("CHECKED", (("  fits", "word " * 20),), 10)
    lines = str(facts).splitlines()
    assert lines[0] == "CHECKED"
    assert lines[1].startswith("  fits    word")
    assert all(line.startswith(" " * 10) for line in lines[2:])
    assert max(map(len, lines)) <= 84


def test_a_page_leaves_out_what_says_nothing() -> None:
    page = page_of(Title(("first", "  second")), words([]), None, "", words(["a sentence", ""]), "  a list")
    assert page.blocks == (Title(("first", "  second")), Words(("a sentence",)), Lines("  a list"))
    assert str(page) == "first\n  second\n\na sentence\n\n  a list"


def test_a_number_stays_with_its_unit() -> None:
    assert "\n5 kWh" in filled("x" * 80 + " 5 kWh")
