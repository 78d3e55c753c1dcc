"""The JSON document holds exactly its fields, and the CSV every step."""

from __future__ import annotations

import csv
import io
import json
from typing import TYPE_CHECKING

import numpy as np
import pytest

from fakes.projects import demo
from fakes.years import invented_year, with_table
from noonwall.assess.sums import answers
from noonwall.report.document import alone_document, as_json, steps_csv, year_document

if TYPE_CHECKING:
    from noonwall.engine.year import Year

MONTH_FIELDS = [
    "month",
    "sun_on_wall_kwh",
    "beam_share",
    "delivered_kwh",
    "useful_kwh",
    "night_loss_kwh",
    "fan_kwh",
    "fan_hours",
    "fan_starts",
    "shop_mean_c",
    "shop_min_c",
    "shop_max_c",
    "shop_mean_without_wall_c",
    "too_hot_hours",
    "backup_kwh",
    "backup_without_wall_kwh",
]


@pytest.fixture(scope="module")
def year() -> Year:
    return invented_year()


def test_document_has_exactly_its_fields(year: Year) -> None:
    document = json.loads(as_json(year_document(year)))
    assert document["schema"] == "noonwall.year/1"
    assert list(document) == ["schema", "months", "year", "peaks", "ledger", "weather", "engine"]
    assert [list(month) for month in document["months"]] == [MONTH_FIELDS] * 12
    assert [month["month"] for month in document["months"]] == list(range(1, 13))
    assert list(document["year"]) == MONTH_FIELDS[1:]
    assert list(document["peaks"]) == ["gap_c", "absorber_c", "glazing_inner_c", "glazing_outer_c"]
    assert all(list(peak) == ["value", "time"] for peak in document["peaks"].values())
    assert "closing_error_share" in document["ledger"]
    assert list(document["weather"]) == ["kind", "place", "distance_km", "hours_repaired"]
    assert list(document["engine"]) == ["step_s", "steps", "seconds"]


def test_the_year_is_the_sum_of_its_months(year: Year) -> None:
    document = year_document(year)
    for name in (
        "sun_on_wall_kwh",
        "delivered_kwh",
        "useful_kwh",
        "night_loss_kwh",
        "fan_kwh",
        "fan_hours",
        "backup_kwh",
    ):
        assert sum(month[name] for month in document["months"]) == pytest.approx(
            document["year"][name], abs=0.01
        )


def test_what_does_not_exist_is_null_and_never_nan(year: Year) -> None:
    dark = with_table(year, beam_on_wall_open_w=np.zeros(len(year.table.time)))
    assert year_document(dark)["months"][0]["beam_share"] is None
    broken = with_table(year, room_c=np.full(len(year.table.time), np.nan))
    with pytest.raises(ValueError, match="JSON"):
        as_json(year_document(broken))


def test_without_the_wall_the_wall_has_no_figures(year: Year) -> None:
    found = answers(year, demo())
    document = json.loads(as_json(alone_document(year, found.alone_months, found.alone)))
    assert list(document["months"][0]) == MONTH_FIELDS
    assert document["months"][0]["delivered_kwh"] is None
    assert document["year"]["backup_kwh"] == pytest.approx(found.alone.backup_kwh, abs=1e-3)
    assert document["peaks"]["gap_c"] is None


def test_csv_has_a_line_a_step_and_units_in_its_heading() -> None:
    year = invented_year(900, days=3)
    rows = list(csv.DictReader(io.StringIO(steps_csv(year))))
    assert len(rows) == 3 * 96
    assert rows[1]["time"] == "2001-01-01T00:15:00"
    assert list(rows[0]) == list(year.table.columns())
    assert float(rows[50]["room_c"]) == pytest.approx(year.table.room_c[50], rel=1e-5)
