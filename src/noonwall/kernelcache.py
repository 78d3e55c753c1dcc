"""Where compiled kernels lie, and whether there are any; the compiler itself is not imported for that.

numba's cache on disk only watches the file a kernel stands in, not the formulas it calls in other files.
So the cache folder carries a hash of every source file that can end up inside a kernel: an edited formula
gets a new folder and is compiled anew; an unchanged package finds its kernels ready.
"""

from __future__ import annotations

import hashlib
import os
import tempfile
from functools import cache
from pathlib import Path

COMPILED_ROOMS = ("physics", "shade", "engine", "sky", "climate")
JIT = os.environ.get("NOONWALL_JIT", "1") != "0"


def source_hash() -> str:
    """Return a short hash over the sources of all rooms that hold compiled code, and of the two that make it."""
    here = Path(__file__).parent
    files = [here / "compiled.py", Path(__file__)]
    for room in COMPILED_ROOMS:
        files += sorted((here / room).rglob("*.py"))
    digest = hashlib.sha256()
    for file in files:
        digest.update(str(file.relative_to(here)).encode())
        digest.update(file.read_bytes())
    return digest.hexdigest()[:16]


@cache
def cache_folder() -> Path:
    """Return the folder for compiled kernels of exactly this source, creating it if that is possible."""
    root = os.environ.get("NOONWALL_CACHE") or os.environ.get("XDG_CACHE_HOME")
    base = Path(root) if root else Path.home() / ".cache"
    for parent in (base / "noonwall", Path(tempfile.gettempdir()) / f"noonwall-{os.getuid()}"):
        folder = parent / f"kernels-{source_hash()}"
        try:
            folder.mkdir(parents=True, exist_ok=True)
        except OSError:
            continue
        if os.access(folder, os.W_OK):
            return folder
    return Path(tempfile.mkdtemp(prefix="noonwall-"))
