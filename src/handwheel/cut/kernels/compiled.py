"""Compilation of the kernels: one thread, strict arithmetic, kept on disk between runs.

A kernel holds the code of every kernel that it calls, and the tolerances, but would be renewed only when its own file
changes. So what is compiled is kept in a folder of its own for each state of all the sources that kernels are made of,
and of the tolerances' values: no run after an update can cut with old code. Kernels live in folders of their own, so
that a change anywhere else renews nothing.
"""

from __future__ import annotations

import os
import tempfile
from collections.abc import Callable, Iterator
from functools import cache
from hashlib import sha256
from pathlib import Path
from typing import Any, Final, TypeVar, cast

import numba
from platformdirs import user_cache_path

from handwheel import tolerances
from handwheel.cut.kernels.kept_code import KeptCode

Kernel = TypeVar("Kernel", bound=Callable[..., object])

_config: Any = numba.config
PACKAGE: Final = Path(__file__).parents[2]
SOURCES: Final = ("cut/kernels/*.py", "check/kernels/*.py", "show/animation/kernels/*.py")
"""Of the package: where kernels are. They take nothing from elsewhere but the tolerances, of which the values count."""


def compiled(kernel: Kernel) -> Kernel:
    """The same function, compiled at its first call; division by zero gives infinity, as in numpy."""
    folder, others = _folder(), _config.CACHE_DIR
    try:
        # numba looks the folder up here, and asks nobody else; what others keep stays where they keep it
        _config.CACHE_DIR = folder or ""
        dispatcher: Any = numba.njit(cache=bool(folder), error_model="numpy")(kernel)
        if folder:
            dispatcher._cache._cache_file = KeptCode.instead_of(dispatcher._cache._cache_file)
        return cast(Kernel, dispatcher)
    finally:
        _config.CACHE_DIR = others


def sources(package: Path = PACKAGE) -> Iterator[Path]:
    """Every file that compiled code may depend on."""
    for pattern in SOURCES:
        yield from sorted(package.glob(pattern))


def state(package: Path = PACKAGE, house: object = tolerances) -> str:
    """Changes with any of the sources, and with the value of any tolerance."""
    values = {name: value for name, value in vars(house).items() if name.isupper()}
    digest = sha256(repr(sorted(values.items())).encode())
    for file in sources(package):
        digest.update(file.relative_to(package).as_posix().encode())
        digest.update(file.read_bytes())
    return digest.hexdigest()[:16]


@cache
def _folder() -> str:
    """Where this state's code is kept: in the user's cache, else beside the sources; nothing where neither is writable.

    A folder that was named to numba (``NUMBA_CACHE_DIR``) comes before both.
    """
    named = [Path(_config.CACHE_DIR)] if _config.CACHE_DIR else []
    for place in (*named, user_cache_path("handwheel", appauthor=False), PACKAGE / "__pycache__"):
        folder = place / f"kernels-{state()}"
        try:
            folder.mkdir(parents=True, exist_ok=True, mode=0o700)
            if not _is_ours_alone(folder):
                continue
            tempfile.TemporaryFile(dir=folder).close()
        except OSError:
            continue
        return str(folder)
    return ""


def _is_ours_alone(folder: Path) -> bool:
    """Whether nobody else can put code there; a folder of ours that others may enter is closed to them."""
    if os.name == "nt":
        return True  # the user's folders are closed to others there
    if folder.stat().st_uid != os.getuid():
        return False
    folder.chmod(0o700)
    return True
