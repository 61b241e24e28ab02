"""Mistakes with the zero: on another face, or off by what it was touched off with."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from handwheel.learn.trouble import Change, Trouble
from handwheel.tolerances import CONTACT

_WAYS: Final = (("to the left", "to the right"), ("towards the operator", "away from the operator"), ("down", "up"))
NEAR: Final = 0.5
"""A zero that is off shifts all that the program cuts as much, to within a little of the lead-ins, mm."""


def candidates(trouble: Trouble) -> Iterator[Change]:
    """The zero moved by each length that it is known to be off by, along each axis, both ways."""
    if trouble.reach is None:
        return
    for axis in range(3):
        for length, what in _lengths(trouble, axis).items():
            for shift in (length, -length):
                yield _moved(trouble, axis, shift, what)


def _lengths(trouble: Trouble, axis: int) -> dict[float, str]:
    """What a zero is known to be off by along an axis, mm, and what that is."""
    setup = trouble.case.setup
    raw, finished, touch = setup.raw, setup.finished, setup.touch_off
    found: list[tuple[float | None, str]] = []
    if axis < 2:
        probe = (touch.x, touch.y)[axis]
        if probe.diameter is not None:
            found.append((probe.diameter / 2, "the radius of the edge finder"))
            found.append((probe.diameter, "the diameter of the edge finder"))
        for tool in setup.tools.values():
            found.append((tool.diameter / 2, f"the radius of tool {tool.number}"))
            found.append((tool.diameter, f"the diameter of tool {tool.number}"))
        found.append((finished.size[axis] / 2, "half the finished size: the zero is in the middle, not on a face"))
    else:
        found.append((touch.z.height, "the height of the gauge block"))
        found.append((touch.z.thickness, "the thickness of the paper"))
        found.append((setup.parallel_height, "the height of the parallels"))
    found.append((finished.size[axis], "the finished size: the zero is on the opposite face"))
    found.append((raw.size[axis], "the size of the raw block: the zero is on its opposite face"))
    for face, stands in ((raw.high, finished.high), (raw.low, finished.low)):
        found.append((abs(face[axis] - stands[axis]), "what is to be cut off that face: the zero is on the raw face"))
    lengths: dict[float, str] = {}
    for length, what in found:
        if length is not None and length > CONTACT and not any(abs(length - one) <= CONTACT for one in lengths):
            lengths[length] = what
    return lengths


def _moved(trouble: Trouble, axis: int, shift: float, what: str) -> Change:
    setup = trouble.case.setup
    control = setup.control
    x, y, z = (value + shift * (index == axis) for index, value in enumerate(control.origin))
    letter = "XYZ"[axis]
    size = trouble.size(abs(shift))
    way = _WAYS[axis][shift > 0]
    return Change(
        line=None,
        was=f"{letter} zero as it was set",
        would_be=f"{letter} zero {size} further {way}",
        because=f"All that the program cuts is off along {letter} by {size}, {what}. Set the {letter} zero {size} "
        f"further {way}, or change every {letter} of the program as much.",
        doubt=_doubt(trouble, axis, shift),
        case=replace(trouble.case, setup=replace(setup, control=replace(control, origin=(x, y, z)))),
    )


def _doubt(trouble: Trouble, axis: int, shift: float) -> float:
    """Little, where the program's feeds then lie where the job's own do."""
    assert trouble.reach is not None
    moves = trouble.moves
    feeds = moves.end[~moves.at_rapid]
    if not len(feeds):
        return 1.5
    offs = [
        abs(wanted - fed - shift)
        for wanted, fed in (
            (trouble.reach[0][axis], float(feeds[:, axis].min())),
            (trouble.reach[1][axis], float(feeds[:, axis].max())),
        )
    ]
    if max(offs) <= NEAR:
        return 0.15
    return 0.8 if min(offs) <= NEAR else 1.6
