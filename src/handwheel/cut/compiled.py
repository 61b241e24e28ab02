"""Compilation of the kernels: one thread, strict arithmetic, kept on disk between runs.

A kernel's kept code is renewed when its own file changes, not when a kernel that it calls does: after a change here,
clear the ``__pycache__`` folders of the rooms with kernels. Installing rewrites every file and so renews all.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar, cast

import numba

Kernel = TypeVar("Kernel", bound=Callable[..., object])


def compiled(kernel: Kernel) -> Kernel:
    """The same function, compiled at its first call; division by zero gives infinity, as in numpy."""
    return cast(Kernel, numba.njit(cache=True, error_model="numpy")(kernel))
