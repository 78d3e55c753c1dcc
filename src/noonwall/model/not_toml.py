"""A line of the project file that does not read as TOML: which key, what stands there, what to write."""

from __future__ import annotations

import re
import tomllib

_PAIR = re.compile(r"\s*([A-Za-z_][\w.-]*)\s*=\s*(.*?)\s*(?:\s#[^\"']*)?$")
_CURLY = re.compile("[\u201c\u201d\u201e\u2018\u2019\u00ab\u00bb]")
_COMMA = re.compile(r"(-?\d+),(\d+)(.*)")
LONGEST = 60


def complaint(reason: str, text: str, name: str) -> str:
    """Return what is wrong with a text as one line: file, line, key, what stands there, what to write.

    reason  the parser's complaint;  text  the whole file;  name  of the file
    """
    last = text.rstrip().count("\n") + 1
    reason = reason.replace("(at end of document)", f"(at line {last}, column 1)")
    flat = " ".join(_printable(reason).split())[:160]
    found = re.search(r"\s*\(at line (\d+), column \d+\)", flat)
    lines = text.split("\n")
    number = int(found[1]) if found else 0
    line = lines[number - 1] if 0 < number <= len(lines) else ""
    place = f"{name}:{number}" if number else name
    if told := _cured(line):
        return f"{place}: {told}"
    said = flat.replace(found[0], "") if found else flat
    there = f"; there stands: {_short(line)}" if line.strip() else ""
    rule = 'a line is key = value, text in "quotes"'
    return f"{place}: does not read as TOML: {said[:1].lower()}{said[1:]} ({rule}){there}"


def _cured(line: str) -> str | None:
    """Return key, what stands there and what to write, if the line shows what was meant."""
    pair = _PAIR.fullmatch(line)
    if not pair or _reads(pair[2]):
        return None
    key, value = pair[1], pair[2]
    cure = _cure(key, value)
    return f"{key}: does not read as TOML: {_short(f'{key} = {value}')}; {cure}" if cure else None


def _reads(value: str) -> bool:
    try:
        tomllib.loads(f"x = {value}")
    except (ValueError, RecursionError):
        return False
    return True


def _cure(key: str, value: str) -> str | None:
    """Return what to write in place of a value that does not read; None when nothing can be told."""
    bare = _short(_CURLY.sub("", value).strip("\"'").strip())
    if not value:
        return f'no value; write {key} = "..."'
    if value[0] in "[{":
        return None
    if value[0] == '"' and re.search(r"\d\s*(''|\")", value[1:]):
        return f'a quote ends the text, so an inch mark cannot stand in it; write {key} = "{_in_words(bare)}"'
    if _CURLY.search(value):
        return f'these quotes are curly; write {key} = "{bare}" with straight ones'
    if value[0] in "\"'":
        return f'its closing quote is missing; write {key} = "{bare}"'
    if comma := _COMMA.fullmatch(value):
        thousands = len(comma[2]) == 3 and comma[1].strip("-") != "0"
        number = comma[1] + ("" if thousands else ".") + comma[2]
        unit = comma[3].strip().strip('"')
        return f"no commas in numbers; write {key} = " + (f'"{number} {unit}"' if unit else number)
    return f'text and numbers with a unit stand in quotes; write {key} = "{_in_words(bare)}"'


def _in_words(text: str) -> str:
    """Return a length with feet and inches in words in place of their marks."""
    text = re.sub(r"\s*(?:''|\")", " in", text)
    text = re.sub(r"(\d)\s*'", r"\1 ft", text)
    return f"{text} in" if re.search(r"(^|ft\s*)[\d /.-]+$", text) else text


def _short(text: str) -> str:
    flat = " ".join(_printable(text).split())
    return flat if len(flat) <= LONGEST else flat[:LONGEST] + "..."


def _printable(text: str) -> str:
    return "".join(c if c.isprintable() else " " for c in text)
