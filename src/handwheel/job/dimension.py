"""A size of the drawing: where it is taken, how large it may be, what measures it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final, Literal

from pydantic import Field, model_validator

from handwheel.job.limits import general_tolerance
from handwheel.job.operation import Name
from handwheel.path.face import Face
from handwheel.shop.quantities import Length, LengthOrZero, Table, key_error

Gauge = Literal[
    "micrometer",
    "caliper",
    "depth micrometer",
    "height gauge",
    "rule",
    "gauge pin",
    "bore gauge",
    "thread plug",
    "radius gauge",
    "indicator",
]
Of = Literal["outside", "inside", "step", "middle", "distance"]

USUAL_GAUGE: Final[dict[str, Gauge]] = {
    "outside": "micrometer",
    "inside": "caliper",
    "step": "depth micrometer",
    "middle": "height gauge",
    "distance": "caliper",
}
"""What a size is taken with where the job does not say (common practice)."""


class Dimension(Table):
    """Lengths in mm. ``axis`` is the one it is measured along, ``through`` the other two coordinates by name.

    ``of``: ``outside`` from first to last material (with ``at``, the piece at that coordinate), ``inside`` the gap at
    ``at``, ``step`` from the zero face to the first material, or from the finished face ``from``; ``middle`` the middle
    of the gap at ``at``, + or − from zero; ``distance`` from the middle of a gap to that of another, at ``between``,
    which a file writes ``at = [a, b]``.
    """

    name: Name
    axis: Literal["x", "y", "z"]
    through: dict[str, Length]
    of: Of = "outside"
    at: Length | None = None
    between: tuple[Length, Length] | None = None
    start: Face | None = Field(default=None, alias="from", description="of a step: the finished face it starts at")
    nominal: Length
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
            return general_tolerance(abs(self.nominal)) or 0.0
        return given or 0.0

    @model_validator(mode="before")
    @classmethod
    def _with_its_gauge(cls, content: Any) -> Any:
        if not isinstance(content, Mapping):
            return content
        if "between" not in content and isinstance(content.get("at"), (list, tuple)):
            if len(content["at"]) != 2:
                raise key_error("at", "has not two places", "a distance is between two gaps: at = [a, b]")
            content = {**content, "at": None, "between": content["at"]}
        if "gauge" in content:
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
        if self.of != "middle" and self.nominal <= 0.0:
            raise key_error("nominal", "must be more than zero")
        if self.of in ("inside", "middle") and self.at is None:
            raise key_error("at", "is missing", f"a gap needs the {self.axis} at which it lies")
        if (self.of == "distance") != (self.between is not None):
            reason = "is two places where one is wanted" if self.between else "is missing"
            wanted = f"a distance is between two gaps: at = [a, b], the {self.axis} at which each lies"
            raise key_error("at", reason, wanted if self.of == "distance" else 'of = "distance" has two')
        if self.start is not None and (self.of != "step" or self.start.axis != "xyz".index(self.axis)):
            raise key_error("from", "is no face where this size starts", f"a step along {self.axis} starts at one")
        if self.of == "step" and self.at is not None:
            raise key_error("at", "does not go with a step, which starts at the zero face", "leave the key out")
        if self.plus is None and self.minus is None and general_tolerance(abs(self.nominal)) is None:
            raise key_error("nominal", "ISO 2768-m has no tolerance for this size", "give plus and minus")
        return self
