"""Files that a browser hands in: limited in size and kind, laid in a folder of their own inside the project's."""

from __future__ import annotations

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
GZIP = b"\x1f\x8b"


class RefusedError(Exception):
    """A file that is not taken; the message is one line for whoever handed it in."""


class Tray:
    """The files handed in to one project that are not read yet, each known by a token only the server makes."""

    def __init__(self, folder: Path) -> None:
        self._root = folder / FOLDER
        self._files: dict[str, Path] = {}
        self._clear_old()

    def path(self, token: str) -> Path:
        """Return where a file lies; raises RefusedError for a token that is none."""
        try:
            return self._files[token]
        except KeyError:
            raise RefusedError("that file is no longer here; hand it in again") from None

    async def take(self, name: str, body: AsyncIterator[bytes]) -> str:
        """Lay a file down and return its token.

        name     as the browser tells it: only its letters are kept, never a folder
        Raises   RefusedError when it is of another kind, too large, or does not fit on the disk; nothing stays then
        """
        plain = plain_name(name)
        if len(self._files) >= MOST_FILES:
            raise RefusedError(f"{MOST_FILES} files wait already; read those in or put them away first")
        token = secrets.token_hex(12)
        place = self._root / token
        try:
            place.mkdir(parents=True)
            await _written(place / plain, body)
        except OSError as error:
            shutil.rmtree(place, ignore_errors=True)
            raise RefusedError(
                f"{plain}: could not be kept: {(error.strerror or str(error)).lower()}"
            ) from None
        except BaseException:
            shutil.rmtree(place, ignore_errors=True)
            raise
        self._files[token] = place / plain
        return token

    def drop(self, token: str) -> None:
        """Put a file away; one that is not there is no fault."""
        path = self._files.pop(token, None)
        if path is not None:
            shutil.rmtree(path.parent, ignore_errors=True)
            with contextlib.suppress(OSError):
                self._root.rmdir()

    def clear(self) -> None:
        """Put every file away, as the server ends."""
        for token in list(self._files):
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
        async for block in body:
            size += len(block)
            if size > MOST_BYTES:
                raise RefusedError(
                    f"{path.name}: larger than {MOST_BYTES // 1_000_000} MB; split it, or pack it as .gz"
                )
            head = (head + block)[:4096] if len(head) < 4096 else head
            out.write(block)
    if size == 0:
        raise RefusedError(f"{path.name}: is empty")
    if path.suffix.lower() == ".gz" and not head.startswith(GZIP):
        raise RefusedError(f"{path.name}: is not packed with gzip, though its name says so")
    if path.suffix.lower() != ".gz" and b"\0\0\0" in head and not head.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise RefusedError(f"{path.name}: is no text; export the readings as CSV")
