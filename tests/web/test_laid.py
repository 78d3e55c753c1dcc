"""Blocks of an answer as HTML: tables for eyes, fingers and screen readers, everything in them escaped."""

from __future__ import annotations

import re

from noonwall.report.blocks import Column, Facts, Lines, Row, Table, month_table
from noonwall.web.parts import laid


def html_of(block: object) -> str:
    return laid._set(block)  # type: ignore[arg-type]


def test_a_table_names_its_rows_and_columns() -> None:
    told = html_of(
        month_table(
            "THE WALL", [("into|the shop", "kWh", 10), ("fans", "h", 6)], [(1, ["9", "80"]), (0, ["9", "80"])]
        )
    )
    assert "<caption>The wall</caption>" in told
    assert 'role="region" aria-label="The wall"' in told
    assert '<th scope="col">into the shop <small>kWh</small></th>' in told
    assert '<th scope="row">January</th><td>9</td><td>80</td>' in told
    assert '<tr class="nw-ruled"><th scope="row">all</th>' in told


def test_columns_under_one_heading_share_it() -> None:
    told = html_of(
        month_table("THE SHOP", [("with the wall|mean", "°C", 8), ("|low", "°C", 6), ("wind", "m/s", 6)], [])
    )
    head = re.search(r"<thead>(.*)</thead>", told)
    assert head is not None
    upper, lower = head[1].split("</tr><tr>")
    assert '<th scope="colgroup" colspan="2">with the wall</th>' in upper
    assert '<th scope="col" rowspan="2">wind <small>m/s</small></th>' in upper
    assert lower.count("<th") == 2
    assert "low <small>°C</small>" in lower


def test_a_row_without_cells_runs_across() -> None:
    told = html_of(Table("DAYS", (Column("12", "", 5),), (Row("  the heater gives 5 kWh"),), 20))
    assert '<td class="nw-across" colspan="2">the heater gives 5\N{NO-BREAK SPACE}kWh</td>' in told


def test_what_is_below_follows_as_sentences() -> None:
    told = html_of(Table("DAYS", (Column("12", "", 5),), (Row("a", ("1",)),), 20, ("wrapped\n  in print",)))
    assert told.endswith("<p>wrapped in print</p>")


def test_facts_are_a_list_of_names_and_what_is_said_of_them() -> None:
    told = html_of(Facts("WHAT WAS CHECKED", (("  fits", "wire"),), 10))
    assert told == '<h3>What was checked</h3><dl class="nw-facts"><dt>fits</dt><dd>wire</dd></dl>'


def test_everything_is_escaped() -> None:
    bad = "<script>"
    blocks = (
        Table(bad, (Column(bad, bad, 5),), (Row(bad, (bad,)), Row(bad)), 20, (bad,)),
        Facts(bad, ((bad, bad),), 10, (bad,)),
        Lines(bad),
    )
    assert not any(bad in html_of(block) for block in blocks)


def test_titles_in_capitals_are_written_small() -> None:
    assert laid.sentence_case("THE SHOP IN JANUARY, °C") == "The shop in January, °C"
    assert laid.sentence_case("ON 5 FEBRUARY") == "On 5 February"
    assert laid.sentence_case("AGAINST THE LIMITS") == "Against the limits"


def test_a_command_in_a_sentence_is_the_page_that_answers_the_same() -> None:
    told = laid.linked("look <there> (`noonwall hot`) and at `noonwall compare PROJECT --variant a=b`.")
    assert told == (
        'look &lt;there&gt; (the page <a href="/hot">Hottest hours</a>) and at the page '
        '<a href="/variants">Variants</a>.'
    )
