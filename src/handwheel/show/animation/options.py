"""How long, how smooth, how large."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from handwheel.errors import HandwheelError

LEAST_HEIGHT: Final = 320
"""Pixels; lettering is a fortieth of it and would not be legible below."""
GREATEST: Final = 3840
NARROWEST: Final = 1.5
WIDEST: Final = 2.4
"""Width over height."""


@dataclass(frozen=True, slots=True)
class Options:
    """``seconds`` of film, ``fps`` frames a second, ``size`` width and height in pixels.

    Raises
    ------
    HandwheelError
        Where no picture of it would be legible.
    """

    seconds: float = 10.0
    fps: int = 10
    size: tuple[int, int] = (960, 540)

    def __post_init__(self) -> None:
        if not 1.0 <= self.seconds <= 600.0:
            raise HandwheelError(f"an animation lasts 1 to 600 seconds, not {self.seconds:g}")
        if not 1 <= self.fps <= 50:
            raise HandwheelError(f"an animation has 1 to 50 frames a second, not {self.fps}")
        width, height = self.size
        if height < LEAST_HEIGHT or width > GREATEST or not NARROWEST <= width / height <= WIDEST:
            raise HandwheelError(
                f"a picture of {width} x {height} pixels does not do: at least {LEAST_HEIGHT} high, at most {GREATEST} "
                f"wide, {NARROWEST:g} to {WIDEST:g} times as wide as high; 960 x 540 is usual"
            )

    @property
    def count(self) -> int:
        """How many frames that is."""
        return max(2, round(self.seconds * self.fps))
