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
    yield from _stops_while_turning(inspection)
    for note in inspection.notes:
        yield Finding(level_of(note.code), note.code, setup, note.line, None, None, note.count, note.message)


def _stops_while_turning(inspection: Inspection) -> Iterator[Finding]:
    """``stop-while-turning``: a stop for the operator while nothing has stopped the spindle."""
    turning, lines = False, []
    for event in inspection.events:
        if event.what in ("spindle on", "spindle off", "tool change"):
            turning = event.what == "spindle on"
        elif event.what in ("stop", "optional stop", "pallet stop") and turning:
            lines.append(event.line)
    if lines:
        message = "the program stops for the operator while the spindle turns: write M5 before the stop"
        code = "stop-while-turning"
        yield Finding(level_of(code), code, inspection.setup.name, lines[0], None, None, len(lines), message)
