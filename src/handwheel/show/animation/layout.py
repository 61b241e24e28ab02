"""Where everything stands in the picture."""

from __future__ import annotations

from dataclasses import dataclass

from handwheel.show.animation.flat import Window

LINES = 40
"""The smallest capitals are one of so many parts of the picture's height."""


@dataclass(frozen=True, slots=True)
class Layout:
    """All in pixels; ``unit`` is the height of the smallest capitals."""

    width: int
    height: int

    @property
    def unit(self) -> float:
        """A fortieth of the height."""
        return self.height / LINES

    @property
    def caption_width(self) -> float:
        """Where the step's sentence ends."""
        return self.width - 22.0 * self.unit

    @property
    def steps_top(self) -> float:
        """The top of the row of steps."""
        return 29.0 * self.unit

    @property
    def panel_top(self) -> float:
        """The top of what stands below the views."""
        return 32.0 * self.unit

    @property
    def text_width(self) -> float:
        """Where block or action ends."""
        return 0.46 * self.width

    @property
    def readout_left(self) -> float:
        """Where the readout begins."""
        return 0.47 * self.width

    @property
    def dials_left(self) -> float:
        """Where the dials begin."""
        return self.readout_left + 11.2 * self.unit

    @property
    def pictorial(self) -> Window:
        """The shaded picture, at the left."""
        return self._window(0.01, 4.9, 0.52, 28.8)

    @property
    def plan(self) -> Window:
        """The view from above, at the right, on top."""
        return self._window(0.54, 4.9, 0.99, 16.6)

    @property
    def end(self) -> Window:
        """The view along the jaws, below it."""
        return self._window(0.54, 16.9, 0.99, 28.8)

    def _window(self, left: float, top: float, right: float, bottom: float) -> Window:
        first, last = round(left * self.width), round(right * self.width)
        upper, lower = round(top * self.unit), round(bottom * self.unit)
        return Window(first, upper, last - first, lower - upper)
