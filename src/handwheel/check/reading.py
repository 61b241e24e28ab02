"""What the program's reader had to say."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from handwheel.check.finding import Finding, Point, level_of
from handwheel.check.inspection import Inspection

AT_A_PLACE = ("inside-corner",)
"""The notes about a place and not about a word: it is where their block's move begins."""


def findings(inspection: Inspection) -> Iterator[Finding]:
    """``bad-block`` where the reader stopped, and each of its notes under its own code."""
    setup = inspection.setup.name
    error = inspection.error
    if error is not None:
        yield Finding(level_of("bad-block"), "bad-block", setup, error.line, None, None, 1, str(error))
    for note in inspection.notes:
        at = _start_of_block(inspection, note.line) if note.code in AT_A_PLACE else None
        yield Finding(level_of(note.code), note.code, setup, note.line, None, at, note.count, note.message)


def _start_of_block(inspection: Inspection, line: int) -> Point | None:
    """Where the first move of a block begins; nowhere where the block makes none."""
    rows = np.flatnonzero(inspection.tip.line == line)
    if not len(rows):
        return None
    x, y, z = map(float, inspection.tip.start[rows[0]])
    return x, y, z
