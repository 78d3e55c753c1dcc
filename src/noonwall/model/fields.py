"""What one line of a project file may hold: kind of quantity, range, default and the reason for it.

A record's attribute is SI with its unit in the name (``gap_m``); its key in the file is the plain word (``gap``).
A bare number in the file is SI (metre, square metre, degree Celsius, kelvin, cubic metre per second, pascal,
watt, degree of angle, second, kilogram, share from 0 to 1).
"""

from __future__ import annotations

from typing import Any, Literal

from pydantic import BaseModel, ConfigDict, Field

Kind = Literal[
    "length", "area", "volume", "temperature", "temperature_difference", "flow", "pressure", "power",
    "angle", "u_value", "r_value", "conductivity", "density", "specific_heat", "mass", "heat_capacity",
    "time", "share", "per_year", "loss_per_length", "resistance", "current", "voltage", "number", "money",
]  # fmt: skip


class Record(BaseModel):
    """Frozen, typed, nothing unknown: the base of everything a builder describes."""

    model_config = ConfigDict(frozen=True, extra="forbid", populate_by_name=True)


def entry(
    key: str,
    kind: Kind,
    default: Any = ...,
    *,
    low: float | None = None,
    high: float | None = None,
    doc: str,
    why: str = "",
    source: str = "",
) -> Any:
    """Describe one number of a record.

    key      word in the project file;  kind  kind of quantity, fixes the accepted units
    default  value when the key is absent (``...`` means it must be given)
    low, high  closed range in SI;  doc  what it is, for a builder
    why      why the default is what it is;  source  where the default comes from
    """
    return Field(
        default,
        alias=key,
        ge=low,
        le=high,
        description=doc,
        json_schema_extra={"kind": kind, "why": why, "source": source},
    )


def word(key: str, default: Any = ..., *, doc: str, why: str = "", source: str = "") -> Any:
    """Describe one entry that is not a quantity: a name, a choice, a flag, a list or a nested record."""
    return Field(
        default, alias=key, description=doc, json_schema_extra={"kind": None, "why": why, "source": source}
    )
