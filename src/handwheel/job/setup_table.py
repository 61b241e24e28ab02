"""What a ``[[setup]]`` table says of itself, beside its vise, zero, touch-off and operations."""

from __future__ import annotations

from typing import Annotated, Literal, TypeAlias

from pydantic import Field, StrictBool, model_validator

from handwheel.job.operation import Name
from handwheel.path.face import Face
from handwheel.shop.quantities import PositiveLength, Table, key_error

System = Literal["G54", "G55", "G56", "G57", "G58", "G59", "G59.1", "G59.2", "G59.3"]
FaceName = Literal[Face.LEFT, Face.RIGHT, Face.FRONT, Face.BACK, Face.TOP, Face.BOTTOM]


class Past(Table):
    """The work hangs out of the jaws at one end, mm."""

    past: Literal["left", "right"]
    by: PositiveLength


At: TypeAlias = Literal["centre", "left", "right"] | Past


class SetupTable(Table):
    """How the part lies. ``up`` and ``fixed_jaw`` name faces of the part; ``rod`` is true or a diameter, mm."""

    name: Name
    up: FaceName = Field(default=Face.TOP, description="the face of the part that looks up")
    fixed_jaw: FaceName = Field(default=Face.BACK, description="the face of the part that is on the fixed jaw")
    at: At | None = Field(default=None, description="where it is along the jaws: as stock.at")
    rod: StrictBool | Annotated[float, PositiveLength.__metadata__[0]] = Field(
        default=False, description="a soft rod between movable jaw and work: true, or its diameter"
    )
    origin: System = Field(default="G54", description="the work offset that the program calls")
    clear: PositiveLength | None = Field(default=None, description="height of the level for rapids: the job's")

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
