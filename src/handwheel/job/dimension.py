"""A size of the drawing: where it is taken, how large it may be, what measures it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final, Literal

from pydantic import model_validator

from handwheel.job.limits import general_tolerance
from handwheel.job.operation import Name
from handwheel.shop.quantities import Length, LengthOrZero, PositiveLength, Table, key_error

Gauge = Literal["micrometer", "caliper", "depth micrometer", "height gauge", "rule"]
Of = Literal["outside", "inside", "step"]

USUAL_GAUGE: Final[dict[str, Gauge]] = {"outside": "micrometer", "inside": "caliper", "step": "depth micrometer"}
"""What a size is taken with where the job does not say (common practice)."""


class Dimension(Table):
    """Lengths in mm. ``axis`` is the one it is measured along, ``through`` the other two coordinates by name.

    ``of``: ``outside`` from first to last material (with ``at``, the piece at that coordinate), ``inside`` the gap at
    ``at``, ``step`` from the zero face to the first material.
    """

    name: Name
    axis: Literal["x", "y", "z"]
    through: dict[str, Length]
    of: Of = "outside"
    at: Length | None = None
    nominal: PositiveLength
    plus: LengthOrZero | None = None
    minus: LengthOrZero | None = None
    gauge: Gauge

    @property
    def lower(self) -> float:
        """The least that passes, mm."""
        return self.nominal - self._allowed(self.minus)

    @property
    def upper(self) -> float:
        """The most that passes, mm."""
        return self.nominal + self._allowed(self.plus)

    def _allowed(self, given: float | None) -> float:
        if self.plus is None and self.minus is None:
            return general_tolerance(self.nominal) or 0.0
        return given or 0.0

    @model_validator(mode="before")
    @classmethod
    def _with_its_gauge(cls, content: Any) -> Any:
        if not isinstance(content, Mapping) or "gauge" in content:
            return content
        of = content.get("of")
        return {**content, "gauge": USUAL_GAUGE.get(of if isinstance(of, str) else "", "micrometer")}

    @model_validator(mode="after")
    def _can_be_taken(self) -> Dimension:
        others = [axis for axis in "xyz" if axis != self.axis]
        if sorted(self.through) != others:
            raise key_error(
                "through",
                f"a size along {self.axis} is taken through one {others[0]} and one {others[1]}",
                f"write {{ {others[0]} = …, {others[1]} = … }}",
            )
        if self.of == "inside" and self.at is None:
            raise key_error("at", "is missing", f"a gap needs the {self.axis} at which it lies")
        if self.of == "step" and self.at is not None:
            raise key_error("at", "does not go with a step, which starts at the zero face", "leave the key out")
        if self.plus is None and self.minus is None and general_tolerance(self.nominal) is None:
            raise key_error("nominal", "ISO 2768-m has no tolerance for this size", "give plus and minus")
        return self
