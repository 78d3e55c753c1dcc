"""Writing a file whole or not at all."""

from __future__ import annotations

import os
from pathlib import Path

from noonwall.errors import OutputError
from noonwall.model.disk import swap_in


def check_writable(path: str | Path) -> Path:
    """Return where a file can be put; refuse before long work rather than after it.

    Raises  OutputError when it is a folder, or its folder is missing or not open for writing
    """
    target = Path(os.path.realpath(path))
    folder = target.parent
    if target.is_dir():
        raise OutputError(f"{path}: is a folder; name a file in it")
    if target.exists():
        if not os.access(target, os.W_OK):
            raise OutputError(f"{path}: is there already and not open for writing")
        return target
    if not folder.is_dir():
        raise OutputError(f"{path}: the folder {folder} does not exist; make it first")
    if not os.access(folder, os.W_OK | os.X_OK):
        raise OutputError(f"{path}: the folder {folder} is not open for writing")
    return target


def check_folder(path: str | Path) -> Path:
    """Return a folder that files can be put into, there already or to be made; refuse before long work.

    Raises  OutputError when it is a file, or cannot be made or written to
    """
    target = Path(os.path.realpath(path))
    if target.is_dir():
        if not os.access(target, os.W_OK | os.X_OK):
            raise OutputError(f"{path}: the folder is not open for writing")
        return target
    if target.exists():
        raise OutputError(f"{path}: is a file; name a folder for the pictures")
    return check_writable(path)


def write_whole(path: str | Path, content: bytes | str) -> None:
    """Put content at a path in one move: a reader sees the old file or the new one, never half of it.

    path     where to;  content  bytes, or text that is written as UTF-8
    Raises   OutputError: one line with the path and the system's reason
    """
    target = check_writable(path)
    data = content.encode() if isinstance(content, str) else content
    try:
        if target.exists() and not target.is_file():  # a device or a pipe is written to, never replaced
            target.write_bytes(data)
        else:
            swap_in(target, data)
    except OSError as error:
        reason = (error.strerror or "the system refused").lower()
        raise OutputError(f"{path}: cannot be written: {reason}") from error
