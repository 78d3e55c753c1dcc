"""From a file's bytes to its lines: unpacking, encoding, line ends, within bounded memory."""

from __future__ import annotations

import codecs
import gzip
import hashlib
import io
import re
import zlib
from contextlib import contextmanager
from dataclasses import dataclass
from typing import IO, TYPE_CHECKING, cast

from noonwall.logs.errors import ReadingsError

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

BLOCK_BYTES = 1 << 20
LONGEST_LINE = 1 << 18  # 2000 columns of 100 characters; more is no table of readings
MOST_UNPACKED_BYTES = (
    4 << 30
)  # ten years by the minute in fifty columns; a small packed file may claim to be more
MOST_SWELL = 400  # a table of readings packs fifty-fold or so; deflate cannot pack more than a thousandfold
SWELL_FROM_BYTES = 64 << 20  # below this it does no harm
_LOOK_BYTES = 1 << 16
_CONTROL = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\x80-\x9f]")  # no such character belongs in a table
_STRANGE = {
    b"PK\x03\x04": "a zip or a spreadsheet; save its sheet as CSV",
    b"SQLite format 3": "a database; export its readings as CSV",
    b"\xd0\xcf\x11\xe0": "a spreadsheet; save its sheet as CSV",
    b"%PDF": "a PDF; export the readings as CSV",
    b"PAR1": "a parquet file; export it as CSV",
    b"\x89HDF": "an HDF5 file; export it as CSV",
}


@dataclass(frozen=True)
class TextForm:
    """How a file's bytes become text."""

    encoding: str
    gzipped: bool


@dataclass(frozen=True)
class Batch:
    """Some lines of a file without their ends, the number of the first (from 1), and how far we are."""

    first_line: int
    lines: list[str]
    share_read: float
    nul_bytes: int  # removed from these lines: what a logger leaves when its power fails


@contextmanager
def _opened(path: Path, *, gzipped: bool) -> Iterator[tuple[IO[bytes], IO[bytes]]]:
    """Yield the stream to read and the file under it; every failure becomes one line."""
    try:
        with path.open("rb") as file:
            yield (cast("IO[bytes]", gzip.GzipFile(fileobj=file)) if gzipped else file), file
    except (gzip.BadGzipFile, EOFError, zlib.error):
        raise ReadingsError(f"{path}: the gzip file is damaged or ends early; copy it anew") from None
    except OSError as error:
        raise ReadingsError(f"{path}: {(error.strerror or str(error)).lower()}") from None


def text_form(path: Path) -> TextForm:
    """Return how to read a file.

    raises   ReadingsError when it is missing, empty, or no text
    """
    with _opened(path, gzipped=False) as (stream, _):
        gzipped = stream.read(2) == b"\x1f\x8b"
    with _opened(path, gzipped=gzipped) as (stream, _):
        head = stream.read(_LOOK_BYTES)
    if not head.strip(b"\x00\r\n\t \xef\xbb\xbf\xff\xfe"):
        raise ReadingsError(f"{path}: is empty; a file of readings has a line for each moment")
    for mark, meaning in _STRANGE.items():
        if head.startswith(mark):
            raise ReadingsError(f"{path}: is {meaning}")
    encoding = _encoding(head)
    text = codecs.getincrementaldecoder(encoding)("replace").decode(head)
    odd = sum(1 for c in text if (ord(c) < 32 and c not in "\t\r\n\x00\x1a") or c == "\ufffd")
    if odd > 0.02 * len(text) + 5 or text.count("\x00") > 0.9 * len(text):
        raise ReadingsError(f"{path}: is no text; a file of readings is a table of text (CSV)")
    return TextForm(encoding, gzipped)


def _encoding(head: bytes) -> str:
    for mark, name in (
        (codecs.BOM_UTF8, "utf-8-sig"),
        (codecs.BOM_UTF16_LE, "utf-16"),
        (codecs.BOM_UTF16_BE, "utf-16"),
    ):
        if head.startswith(mark):
            return name
    even, odd = head[:4096:2].count(0), head[1:4096:2].count(0)
    half = max(1, min(len(head), 4096) // 2)
    if odd > 0.6 * half and even < 0.1 * half:
        return "utf-16-le"
    if even > 0.6 * half and odd < 0.1 * half:
        return "utf-16-be"
    try:
        codecs.getincrementaldecoder("utf-8")().decode(head)
    except UnicodeDecodeError:
        return "cp1252"
    return "utf-8"


def batches(path: Path, form: TextForm) -> Iterator[Batch]:
    """Yield a file's lines, a block at a time.

    raises   ReadingsError with file and line when a line is longer than any table's, or the file is damaged
    """
    decoder = io.IncrementalNewlineDecoder(
        codecs.getincrementaldecoder(form.encoding)("replace"), translate=True
    )
    with _opened(path, gzipped=form.gzipped) as (stream, under):
        size = max(1, path.stat().st_size)
        pending, line, came = "", 1, 0
        while True:
            block = stream.read(BLOCK_BYTES)
            came += len(block)
            _refuse_swollen(path, came, size)
            text = pending + decoder.decode(block, final=not block)
            nul = text.count("\x00")
            lines = (_CONTROL.sub("", text) if _CONTROL.search(text) else text).split("\n")
            pending = lines.pop() if block else ""
            if not block and lines and lines[-1] == "":
                lines.pop()
            _refuse_long(path, line, lines, pending)
            if lines:
                yield Batch(line, lines, min(1.0, under.tell() / size), nul)
            line += len(lines)
            if not block:
                return


def _refuse_swollen(path: Path, came: int, size: int) -> None:
    """Refuse a small file that unpacks without end, as soon as that shows."""
    if came > MOST_UNPACKED_BYTES:
        raise ReadingsError(f"{path}: unpacks to more than {MOST_UNPACKED_BYTES / 1e9:.1f} GB; split it")
    if came > max(SWELL_FROM_BYTES, MOST_SWELL * size):
        raise ReadingsError(
            f"{path}: unpacks to more than {MOST_SWELL} times its own size, so it is no file of readings"
        )


def _refuse_long(path: Path, line: int, lines: list[str], pending: str) -> None:
    longest = max(map(len, lines), default=0)
    if longest > LONGEST_LINE or len(pending) > LONGEST_LINE:
        where = line + next((i for i, text in enumerate(lines) if len(text) > LONGEST_LINE), len(lines))
        raise ReadingsError(
            f"{path}:{where}: the line is longer than {LONGEST_LINE:,} characters; a file of readings has a "
            "line for each moment"
        )


def content_hash(path: Path, form: TextForm) -> str:
    """Return the SHA-256 of a file's content, unpacked."""
    digest, came = hashlib.sha256(), 0
    with _opened(path, gzipped=form.gzipped) as (stream, _):
        size = max(1, path.stat().st_size)
        while block := stream.read(BLOCK_BYTES):
            came += len(block)
            _refuse_swollen(path, came, size)
            digest.update(block)
    return digest.hexdigest()
