"""Files written whole or not at all."""

from __future__ import annotations

import contextlib
import os
import tempfile
import time
from collections.abc import Callable, Iterable, Mapping
from pathlib import Path

from handwheel.errors import OutputError

_MARK = ".handwheel-"
_PASSING = ".part"
_ABANDONED_S = 600.0
"""A passing file this old belongs to no run that still goes on."""
INCOMPLETE = "INCOMPLETE.txt"
_WARNING = (
    "These files are being replaced. If no run is going on, one was cut off: old and new files may be mixed here.\n\
Do not use any of them. Run the same command again.\n"
)


def write_files(
    folder: Path, files: Mapping[str, bytes | Iterable[bytes]], look_again: Callable[[], None] = lambda: None
) -> None:
    """Write all of ``files``, whole or in pieces, into ``folder``: first each under a passing name, then all are put in
    place.

    ``look_again`` is called just before that: where it raises, nothing is put in place. While they are put in place a
    file ``INCOMPLETE.txt`` lies beside them; where a run was killed it stays, and tells that old and new files may be
    mixed. The next run takes it away, and the passing files that a killed one left.

    Raises
    ------
    OutputError
        Where the folder or a file cannot be written; then nothing half-written is left.
    """
    waiting: list[tuple[Path, Path]] = []
    try:
        folder.mkdir(parents=True, exist_ok=True)
        _clear_passing(folder)
        for name, content in files.items():
            handle, passing = tempfile.mkstemp(prefix=_MARK, suffix=_PASSING, dir=folder)
            waiting.append((Path(passing), folder / name))
            with os.fdopen(handle, "wb") as stream:
                stream.writelines((content,) if isinstance(content, bytes) else content)
            Path(passing).chmod(0o644)
        look_again()
        if len(waiting) > 1:
            (folder / INCOMPLETE).write_text(_WARNING, encoding="utf-8")
        for passing_path, place in waiting:
            passing_path.replace(place)
        if len(waiting) > 1:
            (folder / INCOMPLETE).unlink(missing_ok=True)
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


def _clear_passing(folder: Path) -> None:
    """Take away what a killed run left; a younger file may belong to a run beside this one."""
    for left in folder.glob(f"{_MARK}*{_PASSING}"):
        with contextlib.suppress(OSError):
            if time.time() - left.stat().st_mtime > _ABANDONED_S:
                left.unlink()


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
