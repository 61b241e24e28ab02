"""The two machines: a knee mill with its slides, a CNC mill with its limits."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final, Literal

from pydantic import Field, GetCoreSchemaHandler, GetJsonSchemaHandler, model_validator
from pydantic_core import CoreSchema, core_schema

from handwheel.shop.quantities import (
    Acceleration,
    Feed,
    LengthOrZero,
    Number,
    Point3,
    PositiveLength,
    Power,
    Seconds,
    Share,
    Size3,
    Table,
    key_error,
)
from handwheel.tolerances import SNAP

FEWEST_LINES: Final = 10
"""On a dial (common practice: 40 and more)."""
COARSEST_READOUT: Final = 0.1
"""mm (common practice: 0.02 mm or 0.001 in and finer)."""


@dataclass(frozen=True, slots=True)
class SpindleSpeeds:
    """The speeds a spindle has, rev/min: ``steps`` in rising order, or any from ``least`` to ``greatest``.

    >>> SpindleSpeeds((80.0, 125.0, 200.0)).highest_not_above(190.0)
    125.0
    """

    steps: tuple[float, ...] = ()
    least: float = 0.0
    greatest: float = 0.0

    def __post_init__(self) -> None:
        if self.steps:
            object.__setattr__(self, "least", self.steps[0])
            object.__setattr__(self, "greatest", self.steps[-1])

    def highest_not_above(self, rpm: float) -> float:
        """The speed to set where ``rpm`` is wanted; the lowest there is where all are above it.

        A stepless drive is set in whole rev/min. Source: common practice.
        """
        if self.steps:
            return max((step for step in self.steps if step <= rpm * (1 + 1e-9)), default=self.least)
        return max(self.least, min(self.greatest, float(int(rpm * (1 + 1e-9)))))

    @classmethod
    def __get_pydantic_core_schema__(cls, source: object, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(
            cls._read, serialization=core_schema.plain_serializer_function_ser_schema(cls._written)
        )

    @classmethod
    def __get_pydantic_json_schema__(cls, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        speed = {"type": "number", "exclusiveMinimum": 0}
        return {
            "anyOf": [
                {"type": "array", "items": speed, "minItems": 1, "description": "the steps"},
                {
                    "type": "object",
                    "properties": {"min": speed, "max": speed},
                    "additionalProperties": False,
                    "description": "a stepless drive",
                },
            ]
        }

    @classmethod
    def _read(cls, value: object) -> SpindleSpeeds:
        wanted = "write the steps, [80, 125, 200], or the range of a stepless drive, { min = 80, max = 4000 }"
        if isinstance(value, SpindleSpeeds):
            return value
        if isinstance(value, Mapping):
            if set(value) != {"min", "max"}:
                raise ValueError(f"a range has min and max and nothing else; {wanted}")
            least, greatest = (_SPEED.read(value[end]) for end in ("min", "max"))
            if least > greatest:
                raise ValueError("has a min above its max")
            return cls((), least, greatest)
        if isinstance(value, Sequence) and not isinstance(value, str) and value:
            steps = tuple(_SPEED.read(step) for step in value)
            if list(steps) != sorted(set(steps)):
                raise ValueError("the steps must rise, each once")
            return cls(steps)
        raise ValueError(f"is neither steps nor a range; {wanted}")

    def _written(self) -> list[float] | dict[str, float]:
        return list(self.steps) if self.steps else {"min": self.least, "max": self.greatest}


class Slide(Table):
    """A slide and its screw, mm: travel a turn, one graduation of the dial, the screw's backlash."""

    per_turn: PositiveLength
    graduation: PositiveLength
    backlash: LengthOrZero = 0.0

    @model_validator(mode="after")
    def _can_be_set(self) -> Slide:
        if self.graduation > self.per_turn / FEWEST_LINES * (1 + SNAP):
            wanted = "the travel that one line of the dial stands for, such as 0.001 in or 0.02 mm"
            raise key_error("graduation", f"leaves fewer than {FEWEST_LINES} lines on the dial", wanted)
        if self.backlash > self.per_turn:
            raise key_error("backlash", "is more than a turn: no nut has that much backlash", "have the mill mended")
        return self


class Slides(Table):
    """The slides of a knee mill: table, saddle, knee and quill."""

    x: Slide
    y: Slide
    knee: Slide
    quill: Slide


class KneeMill(Table):
    """The manual machine. ``travel`` is table, saddle and knee, mm; ``readout_step`` 0 means dials only."""

    travel: Size3
    rpm: SpindleSpeeds
    power: Power
    readout_step: LengthOrZero = 0.0
    slides: Slides
    source: str = ""

    @model_validator(mode="after")
    def _has_a_readout(self) -> KneeMill:
        if self.readout_step > COARSEST_READOUT:
            wanted = "the step of its last figure, such as 0.0005 in or 0.005 mm; 0: no readout"
            raise key_error("readout_step", "is coarser than any readout counts", wanted)
        return self


class CncMill(Table):
    """The machine under program. Lengths in mm, speeds in mm/min, ``acceleration`` in mm/s², ``power`` in W.

    ``daylight`` is from the spindle nose to the table with Z at home; ``work_zero`` is the job's zero in the machine's
    frame (zero at home, axes running from −travel to 0).
    """

    travel: Size3
    rpm: SpindleSpeeds
    power: Power
    efficiency: Share = 0.75
    rapid: Feed
    feed_max: Feed
    acceleration: Acceleration
    tool_change_s: Seconds = 8.0
    daylight: PositiveLength
    work_zero: Point3 | None = None
    offset_holds: Literal["diameter", "radius"] = Field(
        default="diameter", description="what the control's D column holds"
    )
    wear_column: bool = Field(default=True, description="the offset table has a wear column: corrections go there")
    length_offsets: Literal["gauge length", "touch to work"] = Field(
        default="gauge length",
        description="H is from gauge line to tip; or each tool is touched to the work: H negative, Z of the zero table "
        "0",
    )
    source: str = ""


_SPEED: Final = Number("above zero", greatest=100_000, what="a number of rev/min")
