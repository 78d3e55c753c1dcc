"""The worst hours as one JSON document, schema noonwall.hot/1."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from noonwall.assess.glazing import SheetMoves
    from noonwall.assess.hot import CaseHeat, PieceHeat, Standing
    from noonwall.climate.weather import Weather
    from noonwall.studies.hot import HotStudy
    from noonwall.studies.reliefs import Heat, Relief
    from noonwall.studies.worst import WorstDay, WorstMonth

SCHEMA = "noonwall.hot/1"


def hot_document(study: HotStudy, weather: Weather) -> dict[str, Any]:
    """Return the worst hours as plain data; keys carry units, what does not exist is None."""
    return {
        "schema": SCHEMA,
        "cases": [_case(case) for case in study.cases],
        "left_out": [{"case": case, "why": why} for case, why in study.left_out],
        "limits": [_standing(standing) for standing in study.standings],
        "limits_with_metal_frame": [_standing(standing) for standing in study.hard_standings],
        "exceeded": [
            {"case": case, "piece": piece.name, "limit": limit.name} for case, piece, limit in study.breaches
        ],
        "uncertainty": {
            "pieces_k": {name: round(kelvin, 1) for name, kelvin in study.sure_k.items()},
            "doubts": [
                {"what": doubt.name, "hottest_piece_k": round(doubt.kelvin, 2)} for doubt in study.doubts
            ],
        },
        "glazing": None if study.sheet is None else _sheet(study.sheet, study),
        "reliefs": [_relief(way) for way in study.reliefs.ways],
        "without_reliefs": {
            "described": _heat(study.reliefs.described),
            "worst": _heat(study.reliefs.worst),
            "worst_case": study.reliefs.worst_case,
        },
        "worst_days": {
            "aerosol_optical_depth_700nm": study.worst.aerosol,
            "water_cm": study.worst.water_cm,
            "wind_m_s": 0.0,
            "months": [_month(month) for month in study.worst.months],
        },
        "weather": {"kind": weather.kind, "place": weather.place, "distance_km": weather.distance_km},
    }


def _case(case: CaseHeat) -> dict[str, Any]:
    return {
        "case": case.case,
        "accepted": case.accepted,
        "worst_month": case.worst_month,
        "pieces": [_piece(heat) for heat in case.pieces],
    }


def _piece(heat: PieceHeat) -> dict[str, Any]:
    return {
        "piece": heat.piece.name,
        "material": heat.piece.material,
        "combustible": heat.piece.burns,
        "hottest_c": round(heat.hottest_c, 1),
        "time": str(heat.time.astype("datetime64[s]")),
        "by_month_c": [round(c, 1) for c in heat.by_month_c],
        "usual_year_hottest_c": round(heat.usual_c, 1),
        "above": _above(heat),
        "hours_above": [
            {"limit": limit.name, "limit_c": limit.value_c, "year_h": round(hours, 2)}
            for limit, hours in zip(heat.piece.limits, heat.year_hours, strict=True)
        ],
    }


def _above(heat: PieceHeat) -> str | None:
    """Return whether a piece is above a published limit or only above a figure from memory."""
    over = [limit for limit in heat.piece.limits if heat.hottest_c > limit.value_c]
    return "published" if any(limit.published for limit in over) else "memory" if over else None


def _standing(standing: Standing) -> dict[str, Any]:
    limit = standing.limit
    return {
        "piece": standing.piece.name,
        "limit": limit.name,
        "limit_c": limit.value_c,
        "nature": limit.nature,
        "told": limit.told,
        "source": limit.source,
        "seen": limit.seen,
        "case": standing.case,
        "hottest_c": round(standing.hottest_c, 1),
        "margin_k": round(standing.margin_k, 1),
        "uncertainty_k": round(standing.sure_k, 1),
        "year_h": round(standing.year_hours, 2),
        "usual_year_h": round(standing.usual_hours, 2),
        "verdict": standing.verdict,
    }


def _relief(way: Relief) -> dict[str, Any]:
    return {
        "what": way.name,
        "described": _heat(way.described),
        "worst": _heat(way.worst),
    }


def _heat(heat: Heat) -> dict[str, float | None]:
    return {key: None if value is None else round(value, 1) for key, value in vars(heat).items()}


def _sheet(sheet: SheetMoves, study: HotStudy) -> dict[str, Any]:
    return {
        "length_m": sheet.length_m,
        "width_m": sheet.width_m,
        "thickness_m": round(sheet.thickness_m, 5),
        "expansion_per_k": sheet.expansion_per_k,
        "coldest_c": round(sheet.coldest_c, 1),
        "hottest_c": round(sheet.hottest_c, 1),
        "hottest_case": study.sheet_case,
        "grows_m": round(sheet.grows_m, 5),
        "grows_wide_m": round(sheet.grows_wide_m, 5),
        "across_k": round(sheet.across_k, 1),
        "across_case": study.across[0],
        "across_time": str(study.across[1].astype("datetime64[s]")),
        "free_bow_m": round(sheet.free_bow_m, 4),
        "free_bow_wide_m": round(sheet.free_bow_wide_m, 4),
        "tight_bow_m": round(sheet.tight_bow_m, 4),
        "gap_m": sheet.gap_m,
        "build_days": [
            {
                "sheet_c": day.sheet_c,
                "end_gap_m": round(day.end_gap_m, 5),
                "end_bite_m": round(day.end_bite_m, 5),
                "side_gap_m": round(day.side_gap_m, 5),
                "side_bite_m": round(day.side_bite_m, 5),
                "hole_m": round(day.hole_m, 5),
            }
            for day in sheet.days
        ],
    }


def _month(month: WorstMonth) -> dict[str, Any]:
    return {"month": month.month, "bare": _day(month.bare), "snowy": _day(month.snowy)}


def _day(day: WorstDay | None) -> dict[str, float] | None:
    return (
        None if day is None else {"hottest_c": round(day.hottest_c, 1), "coldest_c": round(day.coldest_c, 1)}
    )
