"""What a ``[[setup]]`` table says of itself, beside its vise, zero, touch-off and operations."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal

from pydantic import Field, field_validator, model_validator

from handwheel.job.operation import Name
from handwheel.path.face import Face
from handwheel.shop.quantities import ByUnits, LengthOrZero, PositiveLength, Table, key_error

System = Literal["G54", "G55", "G56", "G57", "G58", "G59", "G59.1", "G59.2", "G59.3"]
FaceName = Literal[Face.LEFT, Face.RIGHT, Face.FRONT, Face.BACK, Face.TOP, Face.BOTTOM]


class Along(Table):
    """Where the work is along the jaws: a word, or hanging out of them at one end by so much, mm."""

    stands: Literal["centre", "left", "right"] = "centre"
    past: Literal["left", "right"] | None = None
    by: PositiveLength | None = None

    @model_validator(mode="before")
    @classmethod
    def _one_word(cls, content: Any) -> Any:
        if isinstance(content, (Mapping, Along)):
            return content
        if content not in ("centre", "left", "right"):
            raise ValueError('is no place along the jaws; write "centre", "left", "right" or { past, by }')
        return {"stands": content}

    @model_validator(mode="after")
    def _is_whole(self) -> Along:
        if (self.past is None) != (self.by is None):
            key = "by" if self.by is None else "past"
            raise key_error(key, "is missing", 'write { past = "right", by = LENGTH }: the end, and how far')
        return self


class SetupTable(Table):
    """How the part lies. ``up`` and ``fixed_jaw`` name faces of the part; ``rod`` is true or a diameter, mm."""

    name: Name
    up: FaceName = Field(default=Face.TOP, description="the face of the part that looks up")
    fixed_jaw: FaceName = Field(default=Face.BACK, description="the face of the part that is on the fixed jaw")
    at: Along | None = Field(default=None, description="where it is along the jaws: as stock.at")
    rod: LengthOrZero = Field(
        default=0.0, description="a soft rod between movable jaw and work: true (1/2 in, 12 mm), or its diameter"
    )
    origin: System = Field(default="G54", description="the work offset that the program calls")
    clear: PositiveLength | None = Field(default=None, description="height of the level for rapids: the job's")

    @field_validator("rod", mode="before")
    @classmethod
    def _usual_rod(cls, content: Any) -> Any:
        """Of no given size: 1/2 in or 12 mm (common practice)."""
        if isinstance(content, bool):
            return ByUnits("1/2 in", "12 mm") if content else 0
        return content

    @model_validator(mode="after")
    def _stands_square(self) -> SetupTable:
        up, jaw = self.up, self.fixed_jaw
        if up.axis == jaw.axis:
            others = ", ".join(face for face in Face if face.axis != up.axis)
            raise key_error(
                "fixed_jaw",
                f"does not stand square to {self.up}, which looks up",
                f"name one of the faces that stand upright then: {others}",
            )
        return self
