"""What the program's reader had to say."""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.check.finding import Finding, level_of
from handwheel.check.inspection import Inspection


def findings(inspection: Inspection) -> Iterator[Finding]:
    """``bad-block`` where the reader stopped, and each of its notes under its own code."""
    setup = inspection.setup.name
    error = inspection.error
    if error is not None:
        yield Finding(level_of("bad-block"), "bad-block", setup, error.line, None, None, 1, str(error))
    for note in inspection.notes:
        yield Finding(level_of(note.code), note.code, setup, note.line, None, None, note.count, note.message)
