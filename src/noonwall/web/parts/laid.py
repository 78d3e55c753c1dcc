"""The blocks of an answer laid out: sentences as paragraphs, tables as tables, names beside what is said of them."""

from __future__ import annotations

import html
import re
from typing import TYPE_CHECKING

from nicegui import ui

from noonwall.report.blocks import Facts, Lines, Table, Title, Words, groups
from noonwall.report.tables import CAUTION
from noonwall.web.parts.wording import together

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from noonwall.report.blocks import Block, Column, Row


# A command that a sentence names, and the page that answers the same.
COMMAND = re.compile(r"`noonwall (hot|night|comfort|compare|year|circuit|readings|recap)\b[^`]*`")
ANSWERS = {
    "hot": ("/hot", "Hottest hours"), "night": ("/night", "Nights"), "comfort": ("/warm", "Too warm"),
    "compare": ("/variants", "Variants"), "year": ("/", "Year"), "circuit": ("/air#circuit", "Fans and switches"),
    "readings": ("/readings", "Readings"), "recap": ("/lookback", "Looking back"),
}  # fmt: skip


def sentences(lines: Iterable[str]) -> None:
    """Show sentences, one a paragraph."""
    ui.html(f'<div class="nw-words">{_paragraphs(lines)}</div>', sanitize=False).classes("w-full")


def words(blocks: Sequence[Block], besides: Sequence[str] = ()) -> None:
    """Show the sentences of an answer but those about some things; the caution stands at each page's foot already."""
    said = (block for block in blocks if isinstance(block, Words) and block.about not in besides)
    sentences(line for block in said for line in block.sentences if line != CAUTION)


def about(blocks: Sequence[Block], *things: str) -> list[str]:
    """Return the sentences of an answer that are about some things."""
    said = (block for block in blocks if isinstance(block, Words) and block.about in things)
    return [line for block in said for line in block.sentences]


def folded(title: str, lines: Iterable[str]) -> None:
    """Show sentences folded away until asked for."""
    inner = f"<summary>{html.escape(title)}</summary>{_paragraphs(lines)}"
    ui.html(f'<details class="nw-help nw-figures">{inner}</details>', sanitize=False).classes("w-full")  # fmt: skip


def tables(
    blocks: Sequence[Block],
    title: str = "The figures",
    *,
    also: Sequence[str] = (),
    besides: Sequence[str] = ("recipes",),
    opened: bool = False,
) -> None:
    """Show the tables and lists of an answer, folded away until asked for unless they are what the page is about.

    also     what the sentences are about that stand among the tables
    besides  what the tables and lists are about that the page shows in another way; lines for the project file are not
             shown where buttons write them
    """
    inner = "".join(_set(block) for block in blocks if _among(block, also, besides))
    if inner:
        fold = "open" if opened else ""
        ui.html(f'<details class="nw-help nw-figures" {fold}><summary>{html.escape(title)}</summary>{inner}</details>',
                sanitize=False).classes("w-full")  # fmt: skip


def shown(blocks: Sequence[Block], *things: str) -> None:
    """Show what an answer has about some things, in its order and not folded away."""
    inner = "".join(_set(block) for block in blocks if not isinstance(block, Title) and block.about in things)
    if inner:
        ui.html(f'<div class="nw-words">{inner}</div>', sanitize=False).classes("w-full")


def _among(block: Block, also: Sequence[str], besides: Sequence[str]) -> bool:
    if isinstance(block, Title):
        return False
    return block.about in also if isinstance(block, Words) else block.about not in besides


def _set(block: Block) -> str:
    if isinstance(block, Table):
        return _table(block)
    if isinstance(block, Facts):
        return _facts(block)
    if isinstance(block, Words):
        return _paragraphs(block.sentences)
    return _lines(block.text) if isinstance(block, Lines) else ""


def _region(name: str, inner: str) -> str:
    """Return what is wider than a phone in a place of its own that runs sideways, by finger and by arrow keys."""
    return f'<div class="nw-table" tabindex="0" role="region" aria-label="{html.escape(name)}">{inner}</div>'


def _lines(text: str) -> str:
    return _region(text.partition("\n")[0] or "lines", f"<pre>{html.escape(text)}</pre>")


def _facts(block: Facts) -> str:
    told = "".join(
        f"<dt>{html.escape(name.strip())}</dt><dd>{html.escape(together(text))}</dd>"
        for name, text in block.facts
    )
    head = f"<h3>{html.escape(sentence_case(block.title))}</h3>" if block.title else ""
    return f'{head}<dl class="nw-facts">{told}</dl>{_paragraphs(block.below)}'


def _table(block: Table) -> str:
    name = sentence_case(block.title)
    caption = f"<caption>{html.escape(name)}</caption>" if name else ""
    body = "".join(_row(row, block.columns) for row in block.rows)
    head = "".join(_heads(block.columns))
    laid = f"<table class='nw-grid'>{caption}<thead>{head}</thead><tbody>{body}</tbody></table>"
    return _region(name or "figures", laid) + _paragraphs(block.below)


def sentence_case(title: str) -> str:
    """Return a title whose words in capitals, as printed, are written small; units and names keep theirs.

    >>> sentence_case("THE SHOP IN JANUARY, °C"), sentence_case("HOTTEST MOMENTS (as described)")
    ('The shop in January, °C', 'Hottest moments (as described)')
    """
    words = [_small(word) for word in title.split(" ")]
    told = " ".join(words)
    return told[:1].upper() + told[1:]


def _small(word: str) -> str:
    letters = [letter for letter in word if letter.isalpha()]
    if len(letters) < 2 or not word.isupper() or "°" in word:
        return "a" if word == "A" else word
    small = word.lower()
    months = ("january", "february", "march", "april", "may", "june", "july", "august", "september", "october",
              "november", "december")  # fmt: skip
    return small.capitalize() if small.strip(",.:") in months else small


def _row(row: Row, columns: Sequence[Column]) -> str:
    ruled = ' class="nw-ruled"' if row.ruled else ""
    name = html.escape(together(row.name.strip()))
    if not row.cells:
        return f'<tr{ruled}><td class="nw-across" colspan="{len(columns) + 1}">{name}</td></tr>'
    cells = "".join(
        f"<td{_side(column)}>{html.escape(cell.strip())}</td>"
        for cell, column in zip(row.cells, columns, strict=True)
    )
    return f'<tr{ruled}><th scope="row">{name}</th>{cells}</tr>'


def _side(column: Column) -> str:
    return ' class="nw-left"' if column.left else ""


def _heads(columns: Sequence[Column]) -> Iterable[str]:
    """Yield one or two lines of headings: columns whose heading leaves its first line empty share the one before."""
    grouped = [[columns[i] for i in group] for group in groups(columns)]
    deep = any(len(group) > 1 for group in grouped)
    corner = f"<td{' rowspan=2' if deep else ''}></td>"
    upper, lower = "", ""
    for group in grouped:
        if len(group) == 1:
            span = ' rowspan="2"' if deep else ""
            told = _head(group[0].heading, group[0].unit)
            upper += f'<th scope="col"{_side(group[0])}{span}>{told}</th>' if told else f"<td{span}></td>"
        else:
            over, _, first = group[0].heading.partition("|")
            upper += f'<th scope="colgroup" colspan="{len(group)}">{html.escape(over)}</th>'
            names = [first, *(column.heading.removeprefix("|") for column in group[1:])]
            lower += "".join(
                f'<th scope="col"{_side(column)}>{_head(name, column.unit)}</th>'
                for name, column in zip(names, group, strict=True)
            )
    yield f"<tr>{corner}{upper}</tr>"
    if deep:
        yield f"<tr>{lower}</tr>"


def _head(heading: str, unit: str) -> str:
    name = html.escape(" ".join(part for part in heading.split("|") if part).strip())
    return f"{name} <small>{html.escape(unit)}</small>" if unit else name


def _paragraphs(sentences: Iterable[str]) -> str:
    return "".join(f"<p>{linked(' '.join(line.split()))}</p>" for line in sentences)


def linked(text: str) -> str:
    """Return a text escaped, each command in it as the page that answers the same.

    >>> linked("`noonwall hot` tells")
    'the page <a href="/hot">Hottest hours</a> tells'
    """

    def page(found: re.Match[str]) -> str:
        to, name = ANSWERS[found[1]]
        return f'the page <a href="{to}">{name}</a>'

    return COMMAND.sub(page, html.escape(together(text)))
