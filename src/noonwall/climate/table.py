"""Help for readers that let pvlib parse a table: rows are counted, numbers found or their line told."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Callable

    import pandas as pd

    from noonwall.climate.rows import Floats, Ints
    from noonwall.climate.text import TextFile


# the parser's names of columns, in the words of a reader
PLAIN_WORDS = {
    "temp_air": "air temperature",
    "temp_dew": "dew point",
    "relative_humidity": "humidity",
    "atmospheric_pressure": "pressure",
    "pressure": "pressure",
    "wind_speed": "wind",
    "ghi": "global irradiance",
    "dni": "beam irradiance",
    "dhi": "diffuse irradiance",
    "ghi_infrared": "long-wave from the sky",
    "opaque_sky_cover": "cloud",
    "snow_depth": "snow depth",
}


def data_lines(file: TextFile, header: int) -> Ints:
    """Return the line numbers (1 is the first) of the non-blank lines after the header, shape (n,)."""
    return np.array([i + 1 for i in range(header, len(file.lines)) if file.lines[i].strip()], dtype=np.int64)


def require_fields(file: TextFile, lines: Ints, fewest: int, separator: str = ",") -> None:
    """Refuse the first line that has fewer fields than the format needs."""
    for line in lines.tolist():
        fields = file.lines[line - 1].count(separator) + 1
        if fewest > fields:
            why = (
                "is the file cut short?"
                if line == int(lines[-1])
                else "the line is damaged; fetch the file again"
            )
            few = "1 field" if fields == 1 else f"{fields} fields"
            raise file.error(line, f"has {few}, at least {fewest} are needed; {why}")


def parse(
    file: TextFile, what: str, lines: Ints, read: Callable[[], tuple[pd.DataFrame, dict[str, Any]]]
) -> Any:
    """Run a third party's parser on rows at these lines; turn whatever it raises into one plain line."""
    try:
        return read()
    except Exception as problem:  # a damaged file may break a parser anywhere
        odd = _odd_field(file, lines)
        if odd is not None:
            raise file.error(odd[0], f"{odd[1][:30]!r} does not fit there; is the file damaged?") from None
        reason = " ".join(str(problem).split())[:160]
        raise file.error(None, f"does not read as {what} ({reason}); fetch the file again") from None


def _odd_field(file: TextFile, lines: Ints) -> tuple[int, str] | None:
    """Return line and text of the first field that is a word where the other rows have a number."""
    rows = [file.lines[line - 1].split(",") for line in lines.tolist()]
    usual = [[_is_number(field) for field in row] for row in rows[len(rows) // 2 : len(rows) // 2 + 1]]
    for line, row in zip(lines.tolist(), rows, strict=True):
        for field, number_wanted in zip(row, usual[0], strict=False):
            if number_wanted and not _is_number(field):
                return line, field
    return None


def _is_number(field: str) -> bool:
    if not field.isascii():
        return False
    try:
        float(field)
    except ValueError:
        return False
    return True


def numbers(file: TextFile, lines: Ints, frame: pd.DataFrame, column: str) -> Floats:
    """Return a column as numbers, NaN where it is blank; refuse the first entry that is no number."""
    import pandas as pd

    series = frame[column]
    if series.dtype.kind in "iuf":
        return series.to_numpy(dtype=np.float64, copy=True)
    values = pd.to_numeric(series, errors="coerce")
    blank = series.isna() | series.astype(str).str.strip().str.lower().isin(["", "nan", "na", "n/a", "-"])
    wrong = np.flatnonzero((values.isna() & ~blank).to_numpy())
    if len(wrong):
        row = int(wrong[0])
        name = PLAIN_WORDS.get(column, column)
        raise file.error(int(lines[row]), f"{name} is {str(series.iloc[row])[:30]!r}; wanted a number")
    return values.to_numpy(dtype=np.float64, copy=True)


def without(values: Floats, *codes: float, above: float = np.inf) -> Floats:
    """Return the values with a format's 'missing' codes, and anything at or above a limit, turned to NaN."""
    gone = ~np.isfinite(values) | (values >= above)
    for code in codes:
        gone |= values == code
    return np.where(gone, np.nan, values)


def number(file: TextFile, line: int, name: str, value: object, low: float, high: float) -> float:
    """Return one number of a header, or refuse it with its line and what would be right."""
    try:
        found = float(value)  # type: ignore[arg-type]
    except (TypeError, ValueError):
        found = float("nan")
    if not low <= found <= high:
        shown = "missing" if value is None else repr(str(value)[:20])
        raise file.error(line, f"{name} is {shown}; wanted a number from {low:g} to {high:g}")
    return found
