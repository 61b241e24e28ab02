"""What a job is called: the name of its files, so it must be good as one on any system."""

from __future__ import annotations

import os
import re
from pathlib import Path
from typing import Final

from handwheel.errors import JobError, Problem

_RESERVED: Final = re.compile(r"(con|prn|aux|nul|com\d|lpt\d)(\..*)?", re.IGNORECASE)
_WANTED: Final = "name the file with letters, digits, spaces, dots and dashes, such as rest-block.toml"
LONGEST_NAME: Final = 80


def name_of(path: Path) -> str:
    """The file's stem, or its folder's name where the file is ``job.toml``.

    >>> name_of(Path("examples/rest-block/job.toml")), name_of(Path("spacer.toml"))
    ('rest-block', 'spacer')
    """
    whole = Path(os.path.abspath(path))  # noqa: PTH100 - a link keeps its own name
    return whole.parent.name if whole.name == "job.toml" else whole.stem


def checked_name(name: str, file: str) -> str:
    """The name, if every system takes it as the name of a file; else a :class:`JobError`."""
    reason = _fault(name)
    if reason:
        raise JobError(file, [Problem("the job's name", repr(name), reason, _WANTED)])
    return name


def _fault(name: str) -> str:
    if not name.strip():
        return "is empty"
    if len(name) > LONGEST_NAME:
        return f"is longer than {LONGEST_NAME} characters"
    if any(sign in '/\\<>:"|?*' or not sign.isprintable() for sign in name):
        return "has signs that no file name may have"
    if name[0] in ". " or name[-1] in ". ":
        return "starts or ends with a dot or a space"
    return "is a name that a system keeps for itself" if _RESERVED.fullmatch(name) else ""
