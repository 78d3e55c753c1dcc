"""A recap ready for charts: the chain as steps from what was expected to what was measured, and rows by time."""

from __future__ import annotations

from typing import Any

from noonwall.report.phrases import clocked
from noonwall.report.reader import Reader, grouped, percent
from noonwall.report.recap_words import answer, warning
from noonwall.report.row_names import row_name

UNTOLD_SHARE = 0.1  # of the error of what was measured: a smaller link cannot be told
EVERY = ("days", "months", "seasons")


def recap_steps(document: dict[str, Any], reader: Reader) -> dict[str, Any]:
    """Return what a page needs of a recap's document, in the reader's units.

    Returns  "answer" (sentences), "steps" of the chain, "links" with their words and dates, "error", "unit", and
             rows for "days", "months" and "seasons"
    """
    chain = document["chain"]
    error_kwh = document["measured"]["error_kwh"] or 0.0
    return {
        "answer": answer(document, reader),
        "warning": warning(document, reader),
        "steps": steps(chain, reader),
        "links": [
            _link(item, reader) | {"small": abs(item["kwh"]) < UNTOLD_SHARE * error_kwh}
            for item in sorted(_every_link(chain), key=lambda item: -abs(item["kwh"]))
        ],
        "error": reader.heat(document["measured"]["error_kwh"] or 0.0),
        "unit": reader.heat_unit,
        "rows": {kind: [_row(row, reader) for row in document[kind]] for kind in EVERY},
        "degree": reader.degree,
    }


def steps(chain: dict[str, Any], reader: Reader) -> list[dict[str, Any]]:
    """Return the chain as steps: each with its name, where it begins and ends, its kind and its label.

    The first runs from nought to what was expected, the last from nought to what was measured; those between lie
    end to end.
    """
    at = chain["expected_kwh"]
    out = [_step("expected", "a typical year", 0.0, at, "whole", reader)]
    for item in chain["links"]:
        kind = "gain" if item["kwh"] >= 0.0 else "loss"
        out.append(_step(item["key"], item["name"], at, at + item["kwh"], kind, reader))
        at += item["kwh"]
    out.append(_step("measured", "measured", 0.0, chain["measured_kwh"], "whole", reader))
    return out


def _step(key: str, name: str, begin: float, end: float, kind: str, reader: Reader) -> dict[str, Any]:
    size = reader.heat(end - begin)
    label = grouped(reader.heat(end)) if kind == "whole" else _plus(size)
    return {
        "key": key,
        "name": name,
        "from": reader.heat(begin),
        "to": reader.heat(end),
        "kind": kind,
        "label": label,
    }


def _every_link(chain: dict[str, Any]) -> list[dict[str, Any]]:
    return [*chain["links"], chain["sensors"]]


def _link(item: dict[str, Any], reader: Reader) -> dict[str, Any]:
    told = f"{_plus(reader.heat(item['kwh']))} {reader.heat_unit}"
    more = "more heat than assumed" if item["kwh"] > 0.0 else "less heat than assumed"
    return {
        "key": item["key"],
        "name": item["name"],
        "told": told,
        "way": "as much as assumed" if abs(item["kwh"]) < 0.5 else more,
        "dates": [{"told": reader.dated(date), "first": date[:10]} for date in item["dates"]],
        "evidence": clocked(reader.dated(item["evidence"]), reader),
        "advice": item["advice"],
    }


def _row(row: dict[str, Any], reader: Reader) -> dict[str, Any]:
    def heat(name: str) -> float | None:
        return None if row[name] is None else round(reader.heat(row[name]), 1)

    measured, error = heat("measured_kwh"), heat("error_kwh")
    spread = (
        None
        if measured is None or error is None
        else [round(measured - error, 1), round(measured + error, 1)]
    )
    shop = None if row["shop_c"] is None else round(reader.degrees(row["shop_c"]), 1)
    return {
        "name": row_name(row["name"], row["first"], row["last"], row["days"], reader.system, "\n"),
        "typical": heat("typical_kwh"),
        "expected": heat("expected_kwh"),
        "measured": measured,
        "spread": spread,
        "known": percent(row["known_share"]),
        "fan_hours": row["fan_hours"],
        "shop": shop,
        "untold": row.get("untold"),
        "expected_shop": round(reader.degrees(row["expected_shop_c"]), 1),
    }


def _plus(number: float) -> str:
    text = grouped(number)
    return text if text in ("0", "-0") or number < 0.0 else f"+{text}"
