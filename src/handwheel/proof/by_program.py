"""The text of a program read back as a control would read it, cut, gauged and checked."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence

import numpy as np
from numpy.typing import NDArray

from handwheel.check import Inspection
from handwheel.cut.part import Part
from handwheel.motion import Kind, Moves, clock
from handwheel.plan import Route
from handwheel.proof.judge import came_in, judge
from handwheel.proof.model import Seconds, SetupProof
from handwheel.rs274 import Reading, read
from handwheel.setup import Setup

_STEP = re.compile(r"\s*STEP\s+(\d{1,6})\s*:", re.IGNORECASE)


def prove_setup(
    setup: Setup,
    source: str | Iterable[str],
    name: str,
    *,
    before: Part | None = None,
    strict: bool = False,
    resolution: float | None = None,
    tell: Callable[[str, float], None] | None = None,
) -> SetupProof:
    """Prove one program in its set-up.

    Parameters
    ----------
    setup : the work as it is clamped
    source : the program's text, or its lines
    name : what the program is called in the report
    before : the part as it came into the set-up, in the part's frame; the raw stock where left out
    strict : refuse what the standard refuses though many controls take it
    resolution : of the height map, mm; from the stock where left out
    tell : is told what is being done, and the share of the whole that is done before it

    Raises
    ------
    HandwheelError
        Where the resolution asks for more cells than there may be. A faulty program raises nothing: it is a finding.
    """
    tell = tell or _silent
    tell(f"{name}: reading", 0.0)
    reading = read(source, setup.control, strict=strict)
    return prove_reading(setup, reading, name, before=before, resolution=resolution, tell=tell)


def prove_reading(
    setup: Setup,
    reading: Reading,
    name: str,
    *,
    before: Part | None = None,
    resolution: float | None = None,
    tell: Callable[[str, float], None] | None = None,
) -> SetupProof:
    """The same of a program that is already read, by the set-up's own control."""
    tell = tell or _silent
    moves = reading.moves.with_steps(steps_of_moves(reading))
    tip = true_tip(moves, setup)
    inspection = Inspection(
        setup=setup,
        route=Route.BY_PROGRAM,
        moves=moves,
        tip=tip,
        tools=setup.tools,
        offsets=setup.control.offsets,
        part=came_in(setup, before).with_cut(tip, setup.tools),
        notes=reading.notes,
        events=reading.events,
        error=reading.error,
        called=reading.called,
        intended=setup.intended,
        elsewhere=setup.elsewhere,
        is_last=setup.is_last,
        travel=setup.travel,
        resolution=resolution,
    )
    tell(f"{name}: timing", 0.2)
    seconds = _seconds(setup, reading, moves)
    tell(f"{name}: cutting, gauging, checking", 0.3)
    return judge(inspection, name, seconds)


def _silent(what: str, share: float) -> None:
    del what, share


def steps_by_line(comments: Iterable[tuple[int, str]], asked: NDArray[np.int32]) -> NDArray[np.int32]:
    """(n,) the step of each of these lines, from the step comments; 0 before the first. As the text stands:
    a subprogram's lines are looked up where they are written."""
    return _since(sorted(set(_heads(comments))), asked)


def steps_of_moves(reading: Reading) -> NDArray[np.int32]:
    """(n,) the step of each move, from the step comments as they come up when the program runs; 0 before the first."""
    before = zip(reading.comment_moves, (text for _, text in reading.comments), strict=True)
    return _since(_heads(before), np.arange(len(reading.moves)))


def _heads(comments: Iterable[tuple[int, str]]) -> list[tuple[int, int]]:
    return [(place, int(match[1])) for place, text in comments if (match := _STEP.match(text))]


def _since(heads: Sequence[tuple[int, int]], asked: NDArray[np.integer]) -> NDArray[np.int32]:
    """(n,) the number of the last head at or before each place; 0 before the first."""
    places = np.array([place for place, _ in heads], dtype=np.int64)
    numbers = np.array([0, *(number for _, number in heads)], dtype=np.int32)
    return numbers[np.searchsorted(places, asked, side="right")]


def true_tip(moves: Moves, setup: Setup) -> Moves:
    """Where the tip of the cutter really in the spindle is: the nose is where the control put it, the cutter is as long
    as it is. With an empty spindle the nose counts."""
    tools = setup.tools
    # what H holds more than a length is in where the control takes zero to be
    nose = np.array([modal.length - setup.control.touched_at for modal in moves.modals])
    lift = nose - np.array([tools[modal.tool].length if modal.tool in tools else 0.0 for modal in moves.modals])
    offset = np.zeros((len(moves), 3))
    if len(moves):
        offset[:, 2] = lift[moves.modal]
    return moves.shifted(offset)


def _seconds(setup: Setup, reading: Reading, moves: Moves) -> Seconds:
    each = clock.seconds(moves, setup.control)
    rapid, dwell = moves.at_rapid, moves.kind == Kind.DWELL
    changes = sum(event.what == "tool change" for event in reading.events)
    return Seconds(
        cutting=float(each[~rapid & ~dwell].sum()),
        rapid=float(each[rapid].sum()),
        other=float(each[dwell].sum()) + changes * setup.job.by_program.tool_change_s,
    )
