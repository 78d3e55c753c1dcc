"""The one place where numba is imported: marks formulas and kernels, to be compiled as they stand.

Compiled kernels are kept on disk in the folder that ``noonwall.kernelcache`` names.
``NOONWALL_JIT=0`` leaves all functions as plain Python: the readable twin and the coverage run.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from typing import Any, TypeVar

from noonwall import kernelcache

F = TypeVar("F", bound=Callable[..., object])
JIT = kernelcache.JIT

if JIT:
    CACHE = kernelcache.cache_folder()
    os.environ["NUMBA_CACHE_DIR"] = str(CACHE)
    import numba
    from numba.extending import register_jitable

    numba.config.CACHE_DIR = str(CACHE)

    UNCOUNTED: dict[str, Any] = {"_nrt": False}

    def formula(function: F) -> F:
        """Mark a scalar formula: plain Python where it stands, compiled where a kernel calls it."""
        return register_jitable(error_model="numpy")(function)  # type: ignore[no-any-return]

    def inlined(function: F) -> F:
        """Mark a part of a lean kernel that takes arrays or records: laid into its caller, a call would copy them."""
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
