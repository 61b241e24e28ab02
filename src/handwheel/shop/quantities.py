"""The kinds of value that a job or shop file holds, read once at the edge.

The validation context is ``{"units": "in"}`` or ``{"units": "mm"}``: what a bare number is in.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Annotated, Any, Final, Literal

from pydantic import (
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    GetCoreSchemaHandler,
    GetJsonSchemaHandler,
    ValidationInfo,
)
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from handwheel.units import Units, example, quantity, quantity_text

LONGEST: Final = 10_000.0
"""No length in a file is more than this, mm: ten metres, beyond any mill of a machining lab."""

Range = Literal["any", "zero or more", "above zero"]


class Table(BaseModel):
    """A table of a job or shop file: frozen, and without keys that nobody knows."""

    model_config = ConfigDict(frozen=True, extra="forbid")


@dataclass(frozen=True, slots=True)
class ByUnits:
    """A default that is a round size in either system."""

    inch: str
    millimetre: str

    def text(self, units: Units) -> str:
        """The default of a job in these units."""
        return self.inch if units == "in" else self.millimetre


def by_units(inch: str, millimetre: str) -> Any:
    """The default of a field that is a round size in either system."""
    return Field(
        default_factory=lambda: ByUnits(inch, millimetre), validate_default=True, description=f"{inch} or {millimetre}"
    )


@dataclass(frozen=True, slots=True)
class Quantity:
    """Marks a float as a quantity of one kind; dumped with its unit, so that it is read back the same anywhere."""

    kind: str
    range: Range = "any"
    least: float = -math.inf

    def __get_pydantic_core_schema__(self, source: object, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.with_info_plain_validator_function(
            self._read,
            serialization=core_schema.plain_serializer_function_ser_schema(self._written, return_schema=_TEXT),
        )

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        bare: dict[str, Any] = {"type": "number"}
        if self.range == "above zero":
            bare["exclusiveMinimum"] = 0
        elif self.range == "zero or more":
            bare["minimum"] = 0
        return {"anyOf": [bare, {"type": "string", "description": f"such as {example(self.kind)}"}]}

    def _read(self, value: object, info: ValidationInfo) -> float:
        units: Units = info.context["units"] if info.context else "mm"
        if isinstance(value, ByUnits):
            value = value.text(units)
        result = quantity(value, self.kind, units)
        if self.kind == "length" and abs(result) > LONGEST:
            raise ValueError("is longer than ten metres")
        if 0 < result < self.least:
            raise ValueError(f"is too small to be set: at least {quantity_text(self.least, self.kind)}")
        return _within(result, self.range)

    def _written(self, value: float) -> str:
        return quantity_text(value, self.kind)


@dataclass(frozen=True, slots=True)
class Number:
    """Marks a float as a number without a unit, within its range."""

    range: Range = "any"
    least: float = -math.inf
    greatest: float = math.inf
    what: str = "a number"

    def __get_pydantic_core_schema__(self, source: object, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(self.read)

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        bare: dict[str, Any] = {"type": "number"}
        if self.range == "above zero":
            bare["exclusiveMinimum"] = 0
        elif self.range == "zero or more":
            bare["minimum"] = 0
        if math.isfinite(self.least):
            bare["minimum"] = self.least
        if math.isfinite(self.greatest):
            bare["maximum"] = self.greatest
        return bare

    def read(self, value: object) -> float:
        if isinstance(value, bool) or not isinstance(value, (int, float)):
            raise ValueError(f"must be {self.what}, without quotes or a unit")
        number = _as_float(value)
        if not math.isfinite(number):
            raise ValueError("must be a finite number")
        if number < self.least or number > self.greatest:
            raise ValueError(self._limits())
        return _within(number, self.range)

    def _limits(self) -> str:
        if math.isinf(self.least):
            return f"must not be more than {self.greatest:g}"
        return f"must be from {self.least:g} to {self.greatest:g}"


@dataclass(frozen=True, slots=True)
class Whole:
    """Marks an int as a whole number within its range."""

    least: int
    greatest: int

    def __get_pydantic_core_schema__(self, source: object, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(self.read)

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        return {"type": "integer", "minimum": self.least, "maximum": self.greatest}

    def read(self, value: object) -> int:
        if isinstance(value, bool) or not isinstance(value, int):
            raise ValueError("must be a whole number, without a point, quotes or a unit")
        if not self.least <= value <= self.greatest:
            raise ValueError(f"must be from {self.least} to {self.greatest}")
        return value


Length = Annotated[float, Quantity("length")]
PositiveLength = Annotated[float, Quantity("length", "above zero")]
LengthOrZero = Annotated[float, Quantity("length", "zero or more")]
Feed = Annotated[float, Quantity("feed", "above zero")]
CuttingSpeed = Annotated[float, Quantity("cutting speed", "above zero")]
Acceleration = Annotated[float, Quantity("acceleration", "above zero")]
Power = Annotated[float, Quantity("power", "above zero")]
Seconds = Annotated[float, Quantity("time", "zero or more")]
Angle = Annotated[float, Quantity("angle", "above zero")]
Pressure = Annotated[float, Quantity("pressure", "above zero")]
Density = Annotated[float, Quantity("density", "above zero")]

Rpm = Annotated[float, Number("above zero", greatest=100_000, what="a number of rev/min")]
Share = Annotated[float, Number("above zero", greatest=1.0, what="a share, 0 to 1")]
Flutes = Annotated[int, Whole(1, 40)]
SlotNumber = Annotated[int, Whole(1, 999)]

Size3 = tuple[PositiveLength, PositiveLength, PositiveLength]
Point3 = tuple[Length, Length, Length]


def _seen(value: object) -> object:
    """A text of which nothing can be seen, such as one of control characters alone, is an empty one."""
    if isinstance(value, str) and not any(letter.isprintable() and not letter.isspace() for letter in value):
        return ""
    return value


Seen = BeforeValidator(_seen)
"""Marks a text that people read."""


def key_error(key: str | tuple[str | int, ...], reason: str, wanted: str = "") -> PydanticCustomError:
    """What a table raises where one of its keys does not go with the others; the error is shown at that key, or at one
    further down: ``("path", 2, "radius")``."""
    return PydanticCustomError("key", "{reason}", {"key": key, "reason": reason, "wanted": wanted})


_TEXT: Final = core_schema.str_schema()


def _as_float(value: int | float) -> float:
    try:
        return float(value)
    except OverflowError:
        raise ValueError("is too large a number") from None


def _within(value: float, allowed: Range) -> float:
    if allowed == "above zero" and value <= 0:
        raise ValueError("must be more than zero")
    if allowed == "zero or more" and value < 0:
        raise ValueError("must not be negative")
    return value
