"""Ways side by side as rows for a table on a page: each figure with its verdict and its difference."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from noonwall.report.compare_page import findings, measure_name, shown
from noonwall.report.phrases import fuel_amount
from noonwall.studies.compare import MEASURES

if TYPE_CHECKING:
    from noonwall.model.project import Project
    from noonwall.report.reader import Reader
    from noonwall.studies.compare import CompareStudy, Measure

KINDS = {
    "delivered_kwh": "Heat", "backup_kwh": "The shop", "fan_kwh": "Fans", "frost_h": "Wear and risk",
}  # fmt: skip


def compare_rows(study: CompareStudy, project: Project, reader: Reader) -> dict[str, Any]:
    """Return what a page needs for a table of ways, as plain data.

    Returns  "names", "changes", "findings", and "rows": each with its title, the kind of figures it opens (or ""),
             and a cell a way: text, verdict ("base", "better", "worse", "same"), difference from the first way
    """
    rows = [
        {
            "title": measure_name(measure.key, study, reader),
            "opens": KINDS.get(measure.key, ""),
            "more_is_better": measure.better == "more",
            "cells": [_cell(study, measure, i, reader) for i in range(len(study.ways))],
        }
        for measure in MEASURES
        if study.value(measure, 0) is not None
    ]
    if study.ways[0].fuel is not None:
        cells = [
            {
                "text": fuel_amount(way.fuel, project.money.currency) if way.fuel else "-",
                "verdict": "base",
                "apart": "",
            }
            for way in study.ways
        ]
        rows.append(
            {
                "title": "fuel not burned",
                "opens": "Fuel, against no wall",
                "more_is_better": True,
                "cells": cells,
            }
        )
    return {
        "names": [way.name for way in study.ways],
        "changes": [list(way.changes) for way in study.ways],
        "findings": findings(study, reader),
        "rows": rows,
    }


def _cell(study: CompareStudy, measure: Measure, way: int, reader: Reader) -> dict[str, str]:
    value = study.value(measure, way)
    verdict = study.verdict(measure, way) if way else "base"
    return {
        "text": shown(measure, value, reader),
        "verdict": verdict,
        "apart": "" if verdict in ("base", "same") else _apart(study, measure, way, reader),
    }


def _apart(study: CompareStudy, measure: Measure, way: int, reader: Reader) -> str:
    """Return how far a way is from the first one, signed, in the reader's unit."""
    value, base = study.value(measure, way), study.value(measure, 0)
    if value is None or base is None:
        return ""
    difference = value - base
    if measure.key.endswith("_c"):
        return f"{reader.kelvins(difference):+,.{1 if measure.key == 'winter_mean_c' else 0}f}"
    if measure.key.endswith("_kwh") and measure.key != "fan_kwh":
        difference = reader.heat(difference)
    return f"{difference:+,.0f}"
