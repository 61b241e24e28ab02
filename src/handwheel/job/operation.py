"""What every operation has, and how it says that it makes no sense."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Annotated, Any, ClassVar, Final, Literal, NamedTuple

from pydantic import Field, StringConstraints, model_validator

from handwheel.job.work import Work
from handwheel.motion.tables import Shape, Tool
from handwheel.path.meant import Meant
from handwheel.shop.quantities import PositiveLength, Quantity, Rpm, Seen, SlotNumber, Table

Compensation = Literal["material-edge", "tool-path", "off"]
Direction = Literal["conventional", "climb"]
Name = Annotated[str, StringConstraints(strict=True, strip_whitespace=True, min_length=1, max_length=80), Seen]
DepthOfCut = Annotated[float, Quantity("length", "above zero", least=0.01)]


CUSP: Final = {"in": 0.0508, "mm": 0.05}
"""What may stay between two settings of an arc made by hand where the job does not say: 0.002 in or 0.05 mm, for the
file."""


class Fault(NamedTuple):
    """One key of an operation that makes no sense on any set-up."""

    key: str
    reason: str
    wanted: str


class Cut(Table):
    """The direction of cut on either route; one word stands for both."""

    by_hand: Direction = "conventional"
    by_program: Direction = "conventional"

    @model_validator(mode="before")
    @classmethod
    def _one_word(cls, content: Any) -> Any:
        if isinstance(content, (Mapping, Cut)):
            return content
        if content not in ("conventional", "climb"):
            raise ValueError('is no direction of cut; write "conventional", "climb" or { by_hand, by_program }')
        return {"by_hand": content, "by_program": content}


class Operation(Table):
    """What all operations share. ``rpm`` in rev/min and ``feed_per_tooth`` in mm follow from the material where they
    are ``None``; ``compensation`` is the job's where it is left out."""

    shapes: ClassVar[tuple[Shape, ...]]
    """The cutters that can do it."""

    name: Name
    tool: SlotNumber
    cut: Cut = Cut()
    rpm: Rpm | None = Field(default=None, description="from the material's cutting speed")
    feed_per_tooth: PositiveLength | None = Field(default=None, description="from the material's chip load")
    compensation: Compensation = Field(default="material-edge", description="the job's")

    def faults(self, work: Work) -> Iterator[Fault]:
        """What is wrong with it on this work."""
        raise NotImplementedError

    def misfits(self, work: Work, tool: Tool) -> Iterator[Fault]:
        """What is wrong with it on this work with this cutter."""
        del work, tool
        yield from ()

    def removes(self, work: Work, tool: Tool) -> tuple[Meant, ...]:
        """The solids that are meant to be gone afterwards, in the set-up's frame."""
        raise NotImplementedError

    def lowest(self, work: Work, tool: Tool) -> float:
        """Z of the lowest point that the cutter reaches, mm."""
        raise NotImplementedError

    def lowest_over_jaws(self, work: Work, tool: Tool) -> float | None:
        """The same of what passes over the jaws beside the work; ``None`` where nothing does."""
        return self.lowest(work, tool)

    def top_after(self, top: float) -> float:
        """Z of the work's upper face afterwards, mm; ``top`` is what it was."""
        return top
