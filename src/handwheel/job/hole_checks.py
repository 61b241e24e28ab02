"""What makes no sense of holes when the tables of a job are read together: patterns that are not there, threads that
nobody knows, taps where nothing was drilled."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Any, Final

from handwheel.job.hole_making import Drill, HoleMaking, Ream
from handwheel.job.hole_pattern import Point2
from handwheel.job.operations import AnyOperation
from handwheel.job.parts import Parts, SetupParts
from handwheel.job.tapping import Tap
from handwheel.motion.tables import Tool
from handwheel.shop.reading import Reader, nearest
from handwheel.shop.threads import Thread
from handwheel.units import shop_number

SAME_PLACE: Final = 0.1
"""Two holes nearer than this are at one place, mm."""


def check_holes(
    parts: Parts, reader: Reader, setup: SetupParts, index: int, operation: HoleMaking, key: str, content: Any
) -> None:
    """Add what is wrong with a hole operation, the ``index``-th of its set-up, that its own keys cannot tell."""
    names = [*parts.places(setup)]
    if operation.holes not in names:
        wanted = nearest(operation.holes, names) if names else "write [[holes]] with that name and its places"
        reader.add(f"{key}.holes", operation.holes, "is no pattern of holes in this set-up", wanted)
        return
    if not isinstance(operation, Tap):
        return
    if operation.form is None:
        reader.add(
            f"{key}.thread",
            operation.thread,
            "the shop has no such thread",
            nearest(operation.thread, parts.shop.thread) or 'such as "M6", "M8x1" or "1/4-20 UNC"',
        )
        return
    before = [*_holes_before(parts, setup, index)]
    for x, y in operation.points:
        made = [tool for at, tool in before if math.dist(at, (x, y)) < SAME_PLACE]
        if not made:
            where = f"X {_size(reader, x)}, Y {_size(reader, y)}"
            reader.add(
                f"{key}.holes",
                content.get("holes"),
                f"has no hole at {where}: a tap cannot make one",
                f"drill it first, {operation.form.tap_drill_name} for {operation.thread}",
            )
            return
        if not _suits(operation.form, made[-1]):
            reader.add(
                f"{key}.thread",
                operation.thread,
                f"does not go into a hole of {_size(reader, made[-1].diameter)} {reader.units}",
                f"drill {operation.form.tap_drill_name} for {operation.thread}",
            )
            return


def _suits(form: Thread, drill: Tool) -> bool:
    """Whether there is metal for the thread, and room for the tap's core."""
    return form.minor <= drill.diameter + SAME_PLACE / 10 and drill.diameter < form.diameter


def _holes_before(parts: Parts, setup: SetupParts, index: int) -> Iterator[tuple[Point2, Tool]]:
    """Where holes are drilled or reamed before an operation, in its set-up's frame, and with what."""
    for one in parts.setups:
        own = one is setup
        operations: Sequence[AnyOperation | None] = parts.completed(one)[: index if own else None]
        for operation in operations:
            if isinstance(operation, (Drill, Ream)):
                entry = next((t for t in parts.tools if t is not None and t.number == operation.tool), None)
                if entry is None:
                    continue
                tool = entry.tool(entry.number)
                for at in operation.points if own else parts.carried(operation.points, one, setup):
                    yield at, tool
        if own:
            return


def _size(reader: Reader, length: float) -> str:
    return shop_number(length, reader.units)
