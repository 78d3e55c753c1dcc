"""Files that a browser hands in: limited in size and kind, laid in a folder of their own inside the project's."""

from __future__ import annotations

import asyncio
import contextlib
import re
import secrets
import shutil
import time
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import AsyncIterator
    from pathlib import Path

FOLDER = ".handed-in"
MOST_BYTES = 120_000_000
MOST_FILES = 24  # that wait at a time
KINDS = (".csv", ".txt", ".tsv", ".dat", ".gz")
LONGEST_NAME = 80
OLD_S = 86_400
STALLED_S = 60.0  # a browser that sends nothing for so long has broken off
UNCLAIMED_S = 120.0  # a file whose window has not asked for it by then has no window any more
GZIP = b"\x1f\x8b"


class RefusedError(Exception):
    """A file that is not taken; the message is one line for whoever handed it in."""


class Tray:
    """The files handed in to one project that are not read yet, each known by a token only the server makes."""

    def __init__(self, folder: Path) -> None:
        self._root = folder / FOLDER
        self._files: dict[str, Path] = {}
        self._unclaimed: dict[str, float] = {}  # when they came, of files no window has asked for yet
        self._coming = 0
        self._clear_old()

    @property
    def held(self) -> int:
        """How many files lie here or are on their way."""
        return len(self._files) + self._coming

    def path(self, token: str) -> Path:
        """Return where a file lies; raises RefusedError for a token that is none."""
        self._unclaimed.pop(token, None)
        try:
            return self._files[token]
        except KeyError:
            raise RefusedError("that file is no longer here; hand it in again") from None

    async def take(self, name: str, body: AsyncIterator[bytes]) -> str:
        """Lay a file down and return its token.

        name     as the browser tells it: only its letters are kept, never a folder
        Raises   RefusedError when it is of another kind, too large, broken off, or does not fit on the disk; nothing
                 stays then, and its place is free again
        """
        plain = plain_name(name)
        self._drop_unclaimed()
        if self.held >= MOST_FILES:
            raise RefusedError(f"{MOST_FILES} files wait already; read those in or put them away first")
        token = secrets.token_hex(12)
        place = self._root / token
        self._coming += 1
        try:
            place.mkdir(parents=True)
            await _written(place / plain, body)
        except OSError as error:
            self._remove(place)
            raise RefusedError(
                f"{plain}: could not be kept: {(error.strerror or str(error)).lower()}"
            ) from None
        except BaseException:
            self._remove(place)
            raise
        finally:
            self._coming -= 1
        self._files[token] = place / plain
        self._unclaimed[token] = time.monotonic()
        return token

    def drop(self, token: str) -> None:
        """Put a file away; one that is not there is no fault."""
        self._unclaimed.pop(token, None)
        path = self._files.pop(token, None)
        if path is not None:
            self._remove(path.parent)

    def clear(self) -> None:
        """Put every file away, as the server ends."""
        for token in list(self._files):
            self.drop(token)

    def _remove(self, place: Path) -> None:
        shutil.rmtree(place, ignore_errors=True)
        with contextlib.suppress(OSError):
            self._root.rmdir()

    def _drop_unclaimed(self) -> None:
        """Put away what came for windows that closed before they heard of it."""
        late = time.monotonic() - UNCLAIMED_S
        for token in [token for token, came in self._unclaimed.items() if came < late]:
            self.drop(token)

    def _clear_old(self) -> None:
        """Put away what a server that was killed left behind."""
        if self._root.is_dir():
            for place in self._root.iterdir():
                with contextlib.suppress(OSError):
                    if time.time() - place.stat().st_mtime > OLD_S:
                        shutil.rmtree(place, ignore_errors=True)


def plain_name(name: str) -> str:
    r"""Return a file's own name with plain letters only.

    Raises  RefusedError for a kind that is not read

    >>> plain_name("C:\\loggers\\shop 2025.csv"), plain_name("../../etc/x.csv")
    ('shop 2025.csv', 'x.csv')
    """
    last = re.split(r"[\\/]", name)[-1]
    plain = re.sub(r"[^\w. ()+-]", "_", last).strip(" .")[-LONGEST_NAME:].strip(" .")
    if not plain.lower().endswith(KINDS) or plain.lower() in KINDS:
        shown = re.sub(r"[^\w. -]", "_", last)[:LONGEST_NAME] or "that"
        raise RefusedError(f"{shown}: is no table of text; wanted a file that ends in {', '.join(KINDS)}")
    return plain


async def _written(path: Path, body: AsyncIterator[bytes]) -> None:
    size, head = 0, b""
    with path.open("xb") as out:
        async for block in _steadily(path.name, body):
            size += len(block)
            if size > MOST_BYTES:
                raise RefusedError(
                    f"{path.name}: larger than {MOST_BYTES // 1_000_000} MB; split it, or pack it as .gz"
                )
            head = (head + block)[:4096] if len(head) < 4096 else head
            out.write(block)
    if size == 0:
        raise RefusedError(f"{path.name}: is empty; a file of readings has a line for each moment")
    if path.suffix.lower() == ".gz" and not head.startswith(GZIP):
        raise RefusedError(f"{path.name}: is not packed with gzip, though its name says so")
    if path.suffix.lower() != ".gz" and b"\0\0\0" in head and not head.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise RefusedError(f"{path.name}: is no text; export the readings as CSV")


async def _steadily(name: str, body: AsyncIterator[bytes]) -> AsyncIterator[bytes]:
    """Hand on what comes in; raises RefusedError when nothing comes for long."""
    blocks = aiter(body)
    while True:
        try:
            async with asyncio.timeout(STALLED_S):
                block = await anext(blocks)
        except StopAsyncIteration:
            return
        except TimeoutError:
            raise RefusedError(f"{name}: broke off on its way; hand it in again") from None
        yield block
