"""Files written whole or not at all."""

from __future__ import annotations

import contextlib
import os
import tempfile
from collections.abc import Mapping
from pathlib import Path

from handwheel.errors import OutputError


def write_files(folder: Path, files: Mapping[str, bytes]) -> None:
    """Write all of ``files`` into ``folder``: first each under a passing name, then all are put in place.

    Raises
    ------
    OutputError
        Where the folder or a file cannot be written; then nothing half-written is left.
    """
    waiting: list[tuple[Path, Path]] = []
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for name, content in files.items():
            handle, passing = tempfile.mkstemp(prefix=".", suffix=".part", dir=folder)
            waiting.append((Path(passing), folder / name))
            with os.fdopen(handle, "wb") as stream:
                stream.write(content)
            Path(passing).chmod(0o644)
        for passing_path, place in waiting:
            passing_path.replace(place)
    except OSError as error:
        where = f"{folder}: " if error.filename is None else ""
        raise OutputError(f"{where}cannot be written: {error.strerror or error}; name another folder") from error
    finally:
        for passing_path, _ in waiting:
            with contextlib.suppress(OSError):
                passing_path.unlink(missing_ok=True)


def guard_edited(path: Path, *, force: bool) -> None:
    """Refuse to replace a program that somebody edited by hand.

    Raises
    ------
    OutputError
        Where the file is there and is not as it was written.
    """
    from handwheel.program.seal import untouched

    if force or not path.exists():
        return
    try:
        text = path.read_text(encoding="utf-8", errors="replace")
    except OSError as error:
        raise OutputError(f"{path.name}: cannot be read: {error.strerror or error}") from error
    if not untouched(text):
        raise OutputError(
            f"{path.name}: was edited by hand since it was written; rename it, or say --force to write over it"
        )
