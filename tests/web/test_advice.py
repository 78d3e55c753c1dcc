"""Help says more than its label."""

from __future__ import annotations

import re

from noonwall.model.typed import spot
from noonwall.web.parts.advice import ADVICE, advice
from noonwall.web.parts.trade import TABLES

LITTLE = set("the of a an its it to in for is what one at or by on and that how which".split())  # noqa: SIM905


def said(text: str) -> set[str]:
    return set(re.findall(r"[a-z]+", text.lower())) - LITTLE


def test_no_help_only_repeats_its_label() -> None:
    bare = []
    for table, boxes in TABLES.items():
        place = table if table not in ("fan", "switch", "shop.part") else f"{table}[1]"
        for row in (*boxes.rows, *boxes.seldom):
            if row.key in ("name", "note") or re.search(r"layer|skin|backing", table):
                continue
            key = f"{place}.{row.key}"
            told = advice(key) or f"{spot(key, {}).facts.doc} {spot(key, {}).facts.why}"
            if not said(told) - said(row.label):
                bare.append(key)
    assert bare == []


def test_every_advice_is_one_line_for_a_key_that_there_is() -> None:
    for key, told in ADVICE.items():
        spot(re.sub(r"^(fan|switch|shop\.part|wall\.backing)\.", r"\1[1].", key).replace("layer.", "layer[1].").replace(
            "skin.", "skin[1]."), {})  # fmt: skip
        assert told[0].isupper()
        assert told.endswith(".")
        assert "\n" not in told
