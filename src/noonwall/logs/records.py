"""The records that cross the store's door: channels, imports, what an import brought."""

from __future__ import annotations

from dataclasses import asdict, dataclass, field
from typing import TYPE_CHECKING, Any, Literal

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from noonwall.logs.roles import Kind, Measure

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]
Stamp = Literal["point", "begin", "end"]


@dataclass(frozen=True)
class Channel:
    """One sensor or one hand-kept list, as it is known across all imports by its name.

    ``kind``   point: the value at the stamp;  mean: mean over the interval the stamp belongs to;
               state: holds until the next reading;  amount: what came since the reading before (or until the
               next, by ``stamp``);  counter: total that only grows
    ``plane``  of irradiance: "horizontal", "wall", or tilt and azimuth in degrees as "90 172"
    """

    name: str
    role: str
    measure: Measure
    kind: Kind = "point"
    height_m: float | None = None
    plane: str | None = None
    place: str | None = None
    stamp: Stamp = "point"
    id: int = 0  # 0 while it is not in a store

    @property
    def title(self) -> str:
        """Name and role for a reader: 'bench (shop at 1.2 m)'."""
        where = f" at {self.height_m:.3g} m" if self.height_m is not None else ""
        plane = f" on {self.plane}" if self.plane else ""
        said = f"{self.role}{where}{plane}"
        return said if self.name == self.role else f"{self.name} ({said})"


@dataclass(frozen=True)
class Conversion:
    """From a file's unit to SI: ``si = (written - zero) * scale``."""

    unit: str
    zero: float = 0.0
    scale: float = 1.0

    def si(self, written: Floats) -> Floats:
        """Return SI values, shape (n,)."""
        return written if self.zero == 0.0 and self.scale == 1.0 else (written - self.zero) * self.scale


@dataclass
class Tally:
    """What an import brought, counted while it is read."""

    rows: int = 0
    readings: int = 0  # values kept, the repeated ones included
    remarks: int = 0
    new: int = 0  # stamps of a channel that the store did not have
    same: int = 0  # stamps it had, with the same value within the digits printed
    conflicting: int = 0  # stamps it had with another value: the first stays
    repeated: int = 0  # stamps that come twice within the file: the first stays
    empty: int = 0  # cells without a value, sentinels included
    bad_rows: int = 0
    first_s: int | None = None
    last_s: int | None = None
    notes: list[str] = field(default_factory=list)

    def as_dict(self) -> dict[str, Any]:
        """Return the counts for the store's JSON."""
        return asdict(self)


@dataclass(frozen=True)
class Import:
    """One import as the store remembers it."""

    id: int
    file: str
    content: str  # SHA-256 of the unpacked file
    map: dict[str, Any]
    made_s: int
    tally: Tally
    already: bool = False  # the same content was there before: nothing was added


@dataclass(frozen=True)
class Readings:
    """Raw readings of one channel in SI, each stamp once, rising; arrays of shape (n,)."""

    channel: Channel
    time_s: Whole  # seconds since 1970 UTC
    value: Floats

    def __len__(self) -> int:
        """Return how many there are."""
        return len(self.time_s)


@dataclass(frozen=True)
class Remark:
    """Something a person wrote down."""

    time_s: int
    text: str
    channel: str
    import_id: int


@dataclass(frozen=True)
class Conflict:
    """A stamp for which two imports hold different values."""

    channel: str
    time_s: int
    kept: float
    kept_import: int
    other: float
    other_import: int


Verdict = Literal["used", "set aside", "mended"]


@dataclass(frozen=True)
class Finding:
    """Something doubtful about a stretch of readings; the readings themselves are never touched.

    ``evidence``   plain numbers by name, unit in the name
    ``verdict``    what becomes of the stretch when readings are handed out
    ``mend``       how it can be mended: {"swap": other channel}, {"shift_s": [at from, at to]} or
                   {"zero": , "scale": } as a Conversion on the SI value; {"daily_utc_s": [from, to]} when only
                   those hours of each day are meant; None when it can only be set aside as a whole
    """

    kind: str
    channel: str
    from_s: int
    to_s: int  # last stamp that belongs to it
    evidence: dict[str, float]
    consequence: str
    verdict: Verdict = "used"
    mend: dict[str, Any] | None = None
    id: int = 0

    @property
    def set_aside(self) -> bool:
        """Whether its readings are left out when readings are handed out."""
        return self.verdict == "set aside"
