"""Compilation of the kernels: one thread, strict arithmetic, kept on disk between runs.

A kernel's kept code is renewed when its own file changes; after a change in a kernel that others call, clear the
``__pycache__`` of this room.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar, cast

import numba

Kernel = TypeVar("Kernel", bound=Callable[..., object])


def compiled(kernel: Kernel) -> Kernel:
    """The same function, compiled at its first call; division by zero gives infinity, as in numpy."""
    return cast(Kernel, numba.njit(cache=True, error_model="numpy")(kernel))
