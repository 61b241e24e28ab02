"""Both routes of a job by their clocks, and the program's blocks."""

from __future__ import annotations

import numpy as np

from handwheel.hand import execute
from handwheel.proof.by_program import steps_by_line
from handwheel.proof.comparison import BothWays
from handwheel.rs274 import read
from handwheel.show.page import timeline
from handwheel.show.page.timeline import Span


def by_clock(both: BothWays) -> tuple[tuple[Span, ...], tuple[Span, ...]]:
    """The route by hand and the one by program."""
    setup = both.setup
    hand = timeline.by_hand(setup, both.actions, execute(setup, both.actions))
    reading = read(both.text, setup.control)
    lines = np.array(sorted({*reading.moves.line.tolist(), *(event.line for event in reading.events)}), dtype=np.int32)
    steps = steps_by_line(reading.comments, lines)
    pairs = list(zip(lines.tolist(), steps.tolist(), strict=True))
    return hand, timeline.by_program(setup, reading, both.by_program.tip, pairs)


def blocks(text: str) -> dict[int, str]:
    """The lines of a program that are more than a comment, by their numbers."""
    numbered = enumerate(text.splitlines(), start=1)
    return {number: line.strip() for number, line in numbered if line.strip() and line.lstrip()[0] not in "(%;"}
