"""The other tables of a job file, and the whole of it for an editor's completion."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any, Final, Literal

from pydantic import Field, StringConstraints, model_validator

from handwheel.job.dimension import Dimension
from handwheel.job.hole_pattern import HolePattern
from handwheel.job.operation import Compensation
from handwheel.job.operations import ByWord
from handwheel.job.setup_table import SetupTable
from handwheel.job.work import Stock, Zero
from handwheel.shop.cutters import Cutter
from handwheel.shop.machines import CncMill, KneeMill
from handwheel.shop.materials import Coolant
from handwheel.shop.quantities import (
    ByUnits,
    Length,
    LengthOrZero,
    Number,
    PositiveLength,
    Seen,
    SlotNumber,
    Table,
    Whole,
    by_units,
    key_error,
)
from handwheel.shop.vises import Vise
from handwheel.units import Units

FORMAT = 1
"""The number of the job file's format that is read here."""


class Header(Table):
    """What stands at the top of a job file."""

    handwheel: Annotated[int, Whole(1, FORMAT)] = Field(description="the number of this file format")
    title: Annotated[str, StringConstraints(strict=True, strip_whitespace=True, min_length=1, max_length=200), Seen]
    part_number: Annotated[str, StringConstraints(strict=True, max_length=80), Seen] = ""
    units: Units = Field(description="what bare numbers are in")
    material: Annotated[str, StringConstraints(strict=True)]
    compensation: Compensation = "material-edge"
    coolant: Coolant | None = Field(default=None, description="left out: as the material is usually cut")
    clear: PositiveLength = by_units("1 in", "25 mm")
    tolerance: PositiveLength = by_units("0.001 in", "0.02 mm")
    notes: Annotated[str, StringConstraints(strict=True, max_length=4000)] = ""


class Probe(Table):
    """What a face is touched with; mm."""

    with_: Literal["cutter", "edge finder", "paper", "gauge block"] = Field(default="cutter", alias="with")
    diameter: PositiveLength | None = None
    thickness: PositiveLength | None = None
    height: PositiveLength | None = None

    @model_validator(mode="after")
    def _has_its_size(self) -> Probe:
        needed = {"edge finder": "diameter", "paper": "thickness", "gauge block": "height"}.get(self.with_)
        for key in ("diameter", "thickness", "height"):
            given = getattr(self, key) is not None
            if key == needed and not given:
                raise key_error(key, "is missing", f"touching with {self.with_!r} needs its {key}")
            if key != needed and given:
                raise key_error(key, f"does not go with touching with {self.with_!r}", "leave the key out")
        return self


def _usual(with_: str, key: str, inch: str, millimetre: str) -> Any:
    return Field(
        default_factory=lambda: {"with": with_, key: ByUnits(inch, millimetre)},
        validate_default=True,
        description=f"{with_}, {inch} or {millimetre}",
    )


FINDER: Final = _usual("edge finder", "diameter", "0.200 in", "10 mm")
PAPER: Final = _usual("paper", "thickness", "0.003 in", "0.08 mm")


class TouchOff(Table):
    """What X, Y and Z are touched off with: left out, an edge finder for the sides and paper for the top, the spindle
    stopped; never a turning cutter."""

    x: Probe = FINDER
    y: Probe = FINDER
    z: Probe = PAPER

    @model_validator(mode="after")
    def _finds_the_top(self) -> TouchOff:
        if self.z.with_ == "edge finder":
            raise key_error("z", "an edge finder finds sides, not tops", "use the cutter, paper or a gauge block")
        return self


class ToolEntry(Cutter):
    """A tool of the job: a cutter and its number."""

    number: SlotNumber


class OffsetEntry(Table):
    """A slot of the control's offset table, mm; what is left out is what it should be."""

    number: SlotNumber
    length: LengthOrZero | None = None
    diameter: Length | None = None


class Machine(Table):
    """The two machines."""

    by_hand: KneeMill
    by_program: CncMill


class Overrides(Table):
    """The inputs of the clock and of the error budget that the job sets otherwise, by the reports' names."""

    times: Mapping[str, Annotated[float, Number("zero or more")]] = Field(default_factory=dict)
    budget: Mapping[str, Annotated[float, Number("zero or more")]] = Field(default_factory=dict)


class SetupPlan(SetupTable):
    """A set-up with all its tables; what it leaves out of them is the job's, key by key."""

    vise: Vise
    zero: Zero = Zero()
    touch_off: TouchOff = Field(default_factory=dict, validate_default=True)
    operation: tuple[ByWord, ...] = ()
    holes: tuple[HolePattern, ...] = ()


class JobFile(Header, Overrides):
    """Every table that a job file may have."""

    machine: Machine
    vise: Vise
    stock: Stock
    zero: Zero = Zero()
    touch_off: TouchOff = Field(default_factory=dict, validate_default=True)
    tool: tuple[ToolEntry, ...] = ()
    offset: tuple[OffsetEntry, ...] = ()
    operation: tuple[ByWord, ...] = ()
    holes: tuple[HolePattern, ...] = ()
    setup: tuple[SetupPlan, ...] = ()
    dimension: tuple[Dimension, ...] = ()


RENAMED: Mapping[str, str] = {"allowance": "write [times]; what stands past a finished face is stock.allowance"}
"""Top-level tables by a name that is no longer taken, and what to write instead."""
