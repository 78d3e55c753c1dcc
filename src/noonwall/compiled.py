"""The one place where numba is imported: marks formulas and kernels, and keeps the compiled cache honest.

numba's cache on disk only watches the file a kernel stands in, not the formulas it calls in other files.
So the cache folder carries a hash of every source file that can end up inside a kernel: an edited formula
gets a new folder and is compiled anew; an unchanged package finds its kernels ready.
``NOONWALL_JIT=0`` leaves all functions as plain Python: the readable twin and the coverage run.
"""

from __future__ import annotations

import hashlib
import os
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

F = TypeVar("F", bound=Callable[..., object])

COMPILED_ROOMS = ("physics", "shade", "engine", "sky", "climate")
JIT = os.environ.get("NOONWALL_JIT", "1") != "0"


def source_hash() -> str:
    """Return a short hash over the sources of all rooms that hold compiled code, and this file."""
    here = Path(__file__).parent
    files = [Path(__file__)]
    for room in COMPILED_ROOMS:
        files += sorted((here / room).rglob("*.py"))
    digest = hashlib.sha256()
    for file in files:
        digest.update(str(file.relative_to(here)).encode())
        digest.update(file.read_bytes())
    return digest.hexdigest()[:16]


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


if JIT:
    CACHE = cache_folder()
    os.environ["NUMBA_CACHE_DIR"] = str(CACHE)
    import numba
    from numba.extending import register_jitable

    numba.config.CACHE_DIR = str(CACHE)

    UNCOUNTED: dict[str, Any] = {"_nrt": False}

    def formula(function: F) -> F:
        """Mark a scalar formula: plain Python where it stands, compiled where a kernel calls it."""
        return register_jitable(error_model="numpy")(function)  # type: ignore[no-any-return]

    def inlined(function: F) -> F:
        """Mark a part of a lean kernel that takes whole records: laid into its caller, a call would copy them."""
        return register_jitable(forceinline=True, error_model="numpy", **UNCOUNTED)(function)  # type: ignore[no-any-return]

    def kernel(function: F) -> F:
        """Mark a kernel: compiled on its first call and kept on disk for the next run."""
        return numba.njit(cache=True, nogil=True, error_model="numpy")(function)  # type: ignore[no-any-return]

    def lean_kernel(function: F) -> F:
        """Mark a kernel that allocates nothing: numba then leaves out its counting of references.

        That counting, atomic and at every touch of a record's array, cost two thirds of the stepper's time. An
        allocation or a slice inside such a kernel is refused when it is compiled.
        """
        return numba.njit(cache=True, nogil=True, error_model="numpy", **UNCOUNTED)(function)  # type: ignore[no-any-return]

else:

    def formula(function: F) -> F:
        """Leave a formula as plain Python."""
        return function

    def inlined(function: F) -> F:
        """Leave a kernel's part as plain Python."""
        return function

    def kernel(function: F) -> F:
        """Leave a kernel as plain Python."""
        return function

    def lean_kernel(function: F) -> F:
        """Leave a lean kernel as plain Python."""
        return function
