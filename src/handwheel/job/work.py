"""The work in the job's frame: its raw faces, and the finished faces that the zero is on."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from handwheel.path.box import Box
from handwheel.path.placement import AS_DRAWN, Placement
from handwheel.shop.quantities import LengthOrZero, Size3, Table
from handwheel.units import Units, shop_number


class Allowance(Table):
    """What stands past each finished face, mm."""

    left: LengthOrZero = 0.0
    right: LengthOrZero = 0.0
    front: LengthOrZero = 0.0
    back: LengthOrZero = 0.0
    top: LengthOrZero = 0.0
    bottom: LengthOrZero = 0.0


class Stock(Table):
    """The raw block, mm; ``tolerance`` is how far its size may differ, ``at`` where it stands along the jaws."""

    size: Size3
    allowance: Allowance = Allowance()
    tolerance: LengthOrZero = 0.0
    at: Literal["centre", "left", "right"] = "centre"


class Zero(Table):
    """The finished faces that X, Y and Z count from."""

    x: Literal["left", "centre", "right"] = "left"
    y: Literal["front", "centre", "back"] = "front"
    z: Literal["top", "bottom"] = "top"


@dataclass(frozen=True, slots=True)
class Work:
    """The work in a set-up's frame, mm.

    ``raw`` is the block that holds it as it is by then, ``finished`` the block between the finished faces; ``top`` is
    the Z that facing leaves (``None``: not known); ``placement`` leads from the part's frame to this one. ``folder``
    is where drawing files are.
    """

    units: Units
    raw: Box
    finished: Box
    top: float | None = None
    placement: Placement = AS_DRAWN
    folder: Path = Path()

    @property
    def upper_face(self) -> float:
        """Z that depths count from, mm: what facing leaves, else the finished block's top."""
        return self.finished.high[2] if self.top is None else self.top

    def size(self, length: float) -> str:
        """A length as a message has it."""
        return f"{shop_number(length, self.units)} {self.units}"


def boxes(stock: Stock, zero: Zero) -> tuple[Box, Box]:
    """Raw and finished block, mm, with the zero where ``zero`` says.

    >>> raw, finished = boxes(Stock(size=(50, 40, 30), allowance={"left": 1, "top": 2}), Zero())
    >>> raw
    Box(low=(-1.0, 0.0, -28.0), high=(49.0, 40.0, 2.0))
    """
    spare = stock.allowance
    below = (spare.left, spare.front, spare.bottom)
    above = (spare.right, spare.back, spare.top)
    size = [whole - low - high for whole, low, high in zip(stock.size, below, above, strict=True)]
    low = [0.0 - share_of(face) * length for face, length in zip((zero.x, zero.y, zero.z), size, strict=True)]
    high = [start + length for start, length in zip(low, size, strict=True)]
    finished = Box((low[0], low[1], low[2]), (high[0], high[1], high[2]))
    raw = Box(
        (low[0] - below[0], low[1] - below[1], low[2] - below[2]),
        (high[0] + above[0], high[1] + above[1], high[2] + above[2]),
    )
    return raw, finished


def share_of(face: str) -> float:
    """How far along its axis a zero is, from the lower face to the upper one.

    >>> share_of("front"), share_of("centre"), share_of("top")
    (0.0, 0.5, 1.0)
    """
    return {"left": 0.0, "front": 0.0, "bottom": 0.0, "centre": 0.5}.get(face, 1.0)


def too_much(stock: Stock) -> list[str]:
    """The axes along which the allowances leave nothing of the work."""
    spare = stock.allowance
    sums = {"x": spare.left + spare.right, "y": spare.front + spare.back, "z": spare.top + spare.bottom}
    return [axis for axis, size in zip("xyz", stock.size, strict=True) if sums[axis] >= size]
