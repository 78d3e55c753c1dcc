"""A weather file as lines of text, or one plain reason why it is none."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from noonwall.errors import WeatherError

if TYPE_CHECKING:
    from pathlib import Path

LARGEST_BYTES = 400_000_000
UTF16_MARKS = (b"\xff\xfe", b"\xfe\xff")
WANTED = "EPW, TMY3 CSV, PVGIS typical year (CSV or JSON), NSRDB PSM CSV, or a plain CSV"


@dataclass(frozen=True)
class TextFile:
    """A weather file's name as it is shown, and its lines without line ends."""

    name: str
    lines: tuple[str, ...]

    def error(self, line: int | None, reason: str) -> WeatherError:
        """Return an error at a line (1 is the first), or about the whole file when line is None."""
        where = f"{self.name}:{line}" if line else self.name
        return WeatherError(f"{where}: {reason}")


def read_text(path: Path) -> TextFile:
    """Read a file as text.

    path     the file
    Returns  its lines, decoded as UTF-8, else as the usual western 8-bit code
    Raises   WeatherError: missing, a folder, no permission, empty, too big, UTF-16 or not text at all
    """
    name = path.name or str(path)
    try:
        if path.is_dir():
            raise WeatherError(f"{name}: is a folder; name a weather file ({WANTED})")
        if path.stat().st_size > LARGEST_BYTES:
            raise WeatherError(f"{name}: is larger than 400 MB; give one year of weather")
        data = path.read_bytes()
    except FileNotFoundError:
        raise WeatherError(f"{name}: no such file in {path.parent}; check the name") from None
    except PermissionError:
        raise WeatherError(f"{name}: may not be read; give yourself permission to read it") from None
    except (OSError, ValueError) as problem:
        raise WeatherError(f"{name}: cannot be read ({problem}); check the name") from None
    return TextFile(name, _decode(name, data))


def _decode(name: str, data: bytes) -> tuple[str, ...]:
    if not data.strip(b"\0 \t\r\n"):
        raise WeatherError(f"{name}: is empty; wanted {WANTED}")
    if data.startswith(UTF16_MARKS) or data[:200].count(0) > 20:
        raise WeatherError(f"{name}: is UTF-16 or not text; save it as plain text (UTF-8)")
    if b"\0" in data:
        line = data[: data.index(b"\0")].count(b"\n") + 1
        raise WeatherError(f"{name}:{line}: holds a zero byte, so it is damaged; fetch the file again")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = data.decode("latin-1")
    return tuple(text.replace("\r\n", "\n").replace("\r", "\n").split("\n"))
