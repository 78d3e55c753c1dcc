"""Project files on the disk: reading what may be anything, writing all or nothing."""

from __future__ import annotations

import contextlib
import os
import stat
import tempfile
from pathlib import Path

from noonwall.errors import OutputError, ProjectError

PROJECT_FILE = "noonwall.toml"
LARGEST_BYTES = 1_000_000


def project_file(path: str | os.PathLike[str]) -> Path:
    """Return the project file a path means: the file itself, or the one in a folder.

    raises  ProjectError when nothing of the kind is there
    """
    try:
        named = Path(path)
        if named.is_dir():
            if not (named / PROJECT_FILE).exists():
                raise ProjectError(
                    f"{named}: no {PROJECT_FILE} in this folder; `noonwall new` writes one to fill in"
                )
            return named / PROJECT_FILE
        if not named.exists():
            raise ProjectError(f"{named}: no such file or folder; `noonwall new` writes a project to fill in")
    except PermissionError:
        raise ProjectError(f"{_flat(path)}: no permission to look there") from None
    except (OSError, ValueError) as error:
        raise ProjectError(f"{_flat(path)}: not a usable path ({_flat(error)})") from None
    return named


def read_text(file: Path) -> str:
    """Return the text of a project file.

    raises  ProjectError in one line when it is no plain UTF-8 text of a reasonable size
    """
    try:
        mode = file.stat().st_mode
        if stat.S_ISDIR(mode):
            raise ProjectError(f"{file}: this is a folder, wanted a project file")
        if not stat.S_ISREG(mode):
            raise ProjectError(f"{file}: this is no ordinary file")
        with file.open("rb") as stream:
            raw = stream.read(LARGEST_BYTES + 1)
    except PermissionError:
        raise ProjectError(f"{file}: no permission to read it") from None
    except OSError as error:
        raise ProjectError(f"{file}: cannot be read ({error.strerror or 'unknown reason'})") from None
    return decode(raw, file.name)


def decode(raw: bytes, name: str) -> str:
    """Return the bytes of a project file as text; ``name`` is for the message."""
    if len(raw) > LARGEST_BYTES:
        raise ProjectError(
            f"{name}: larger than {LARGEST_BYTES // 1000} kB; a project file is a few pages of text, "
            "weather and readings are files of their own"
        )
    if raw.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise ProjectError(f"{name}: written as UTF-16; save it as UTF-8 (plain text)")
    if b"\x00" in raw:
        raise ProjectError(f"{name}: holds zero bytes, so it is no plain text; save it as UTF-8")
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        raise ProjectError(f"{name}:{line}: a byte that is no UTF-8; save the file as UTF-8") from None
    if not text.strip():
        raise ProjectError(f"{name}: empty; `noonwall new` writes a project to fill in")
    return text.replace("\r\n", "\n")


def within(folder: Path, name: str, key: str) -> Path:
    """Return the file that a project names, as long as it lies in the project's own folder.

    folder  the project's;  name  as the project file says it;  key  for the message
    raises  ProjectError when the name, or a link on the way, leads out of the folder
    """
    parts = Path(name).parts
    if not name.isprintable() or Path(name).is_absolute() or ".." in parts or "\\" in name:
        raise ProjectError(
            f"{key}: {_flat(name)} leads out of the project's folder; copy the file into it and give its name alone"
        )
    try:
        found = (folder / name).resolve()
        inside = found.is_relative_to(folder.resolve())
        ordinary = not found.exists() or found.is_file()
    except (OSError, ValueError, RuntimeError) as error:
        raise ProjectError(f"{key}: {_flat(name)} is not a usable file name ({_flat(error)})") from None
    if not inside:
        raise ProjectError(
            f"{key}: {_flat(name)} is a link that leads out of the project's folder; put the file itself there"
        )
    if not ordinary:
        raise ProjectError(f"{key}: {_flat(name)} is no ordinary file")
    return found


def write_text(file: Path, text: str) -> None:
    """Write a file all or nothing: a temporary file beside it, forced to the disk, then renamed.

    raises  OutputError when the folder does not let it be written; what was there before stays
    """
    try:
        swap_in(file.resolve(), text.encode())
    except OSError as error:
        raise OutputError(f"{file}: cannot be written ({error.strerror or 'unknown reason'})") from None


def swap_in(target: Path, data: bytes) -> None:
    """Put bytes at a place in one move, with the rights of what was there; an OSError leaves that as it is."""
    handle, name = tempfile.mkstemp(prefix=".noonwall-", suffix=".part", dir=target.parent)
    part = Path(name)
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
        part.chmod(stat.S_IMODE(target.stat().st_mode) if target.exists() else 0o666 & ~_umask())
        part.replace(target)
    finally:
        with contextlib.suppress(OSError):
            part.unlink(missing_ok=True)
    _settle(target.parent)


def write_new(file: Path, text: str) -> None:
    """Write a file that is not there yet, with the folders above it.

    raises  OutputError when it is there already or cannot be written
    """
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        with file.open("x", encoding="utf-8", newline="\n") as stream:
            stream.write(text)
    except FileExistsError:
        blocking = file if file.exists() else file.parent
        raise OutputError(f"{blocking}: is there already; nothing was overwritten") from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "not a usable path"
        raise OutputError(f"{_flat(file)}: cannot be written ({reason.lower()})") from None


def _settle(folder: Path) -> None:
    """Force a folder's own entry to the disk, where the system knows how."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _umask() -> int:
    """Return the rights that new files are denied."""
    mask = os.umask(0)
    os.umask(mask)
    return mask


def _flat(what: object) -> str:
    """Return anything as one short printable line."""
    text = "".join(c if c.isprintable() else "?" for c in str(what))
    return text if len(text) <= 200 else text[:200] + "..."
