"""Files written whole or not at all."""

from __future__ import annotations

import contextlib
import os
import tempfile
from collections.abc import Iterable, Mapping
from pathlib import Path

from handwheel.errors import OutputError

_PASSING = ".part"


def write_files(folder: Path, files: Mapping[str, bytes | Iterable[bytes]]) -> None:
    """Write all of ``files``, whole or in pieces, into ``folder``: under passing names, then put in place.

    Raises
    ------
    OutputError
        Where the folder or a file cannot be written; then nothing half-written is left.
    """
    waiting: list[tuple[Path, Path]] = []
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for name, content in files.items():
            handle, passing = tempfile.mkstemp(prefix=".", suffix=_PASSING, dir=folder)
            waiting.append((Path(passing), folder / name))
            with os.fdopen(handle, "wb") as stream:
                stream.writelines((content,) if isinstance(content, bytes) else content)
            Path(passing).chmod(0o644)
        for passing_path, place in waiting:
            passing_path.replace(place)
    except OSError as error:
        named = str(error.filename2 or error.filename or folder)
        # a passing name says nothing to whoever reads this: its folder does
        where = str(folder) if named.endswith(_PASSING) else named
        reason = "it is no folder" if isinstance(error, FileExistsError) else error.strerror or error
        raise OutputError(f"{where}: cannot be written: {reason}; name another place") from error
    finally:
        for passing_path, _ in waiting:
            with contextlib.suppress(OSError):
                passing_path.unlink(missing_ok=True)


def guard_edited(path: Path, *, force: bool) -> None:
    """Refuse to replace a program that somebody edited by hand, or a file that was never one of ours.

    Raises
    ------
    OutputError
        Where a file is there that is not as it was written, or where no file can be: known before the long work.
    """
    from handwheel.program.seal import bears_mark, untouched

    if path.is_dir():
        raise OutputError(f"{path}: is a folder; name a file in it")
    above = next(one for one in path.parents if one.exists())
    if not above.is_dir():
        raise OutputError(f"{above}: cannot be written: it is no folder; name another place")
    if force or not path.exists():
        return
    try:
        text = path.read_text(encoding="utf-8", errors="replace")
    except OSError as error:
        raise OutputError(f"{path}: cannot be read: {error.strerror or error}") from error
    if not untouched(text):
        what = (
            "was edited by hand since it was written"
            if bears_mark(text)
            else "is there already, and bears no mark of a program written by handwheel"
        )
        raise OutputError(f"{path}: {what}; rename it, or say --force to write over it")


def remove_untouched(path: Path) -> bool:
    """Take away a program of an older name, where it is still as handwheel wrote it; whether none is left there.

    A file that somebody edited, or that was never ours, is kept.
    """
    from handwheel.program.seal import untouched

    if not path.is_file():
        return True
    try:
        if not untouched(path.read_text(encoding="utf-8", errors="replace")):
            return False
        path.unlink()
    except OSError:
        return False
    return True
