"""A chamfer along edges of the upper face, or all round a shape."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Annotated, ClassVar, Final, Literal

from pydantic import Field, StrictBool, model_validator

from handwheel.job.operation import Fault, Operation
from handwheel.job.shape import Shape, ShapeError
from handwheel.job.shaped import least_corner
from handwheel.job.side_milling import Edge
from handwheel.job.work import Work
from handwheel.motion.tables import Shape as CutterShape
from handwheel.motion.tables import Tool
from handwheel.path.chain import Chain
from handwheel.path.line import XY, Line
from handwheel.path.meant import Meant
from handwheel.path.outline import Outline, rectangle
from handwheel.path.prism import Prism
from handwheel.shop.quantities import PositiveLength, key_error
from handwheel.tolerances import CONTACT

FAR: Final = 1000.0
"""What is taken beside an edge goes on so far, mm."""

BELOW: Final = {"in": 0.508, "mm": 0.5}
"""The cutter's tip goes so far below the chamfer, where its cone is past its tip (common practice)."""


CUSP_SHARE: Final = 0.25
"""Of the leg (common practice)."""


class Chamfer(Operation):
    """``size`` is the leg on the upper face, mm; down the wall it is as much with a cutter of 90 degrees. ``edges`` are
    of the finished block; ``shape`` is an outline, or with ``within`` the mouth of a pocket."""

    shapes: ClassVar[tuple[CutterShape, ...]] = ("chamfer mill",)

    do: Literal["chamfer"] = "chamfer"
    edges: Annotated[tuple[Edge, ...], Field(max_length=4)] = ()
    shape: Shape | None = None
    within: StrictBool = False
    size: PositiveLength

    @model_validator(mode="after")
    def _says_where(self) -> Chamfer:
        if bool(self.edges) == (self.shape is not None):
            key = "edges" if self.edges else "shape"
            raise key_error(key, "is one of two ways to say where the chamfer is", "give edges or a shape")
        if self.within and self.shape is None:
            raise key_error("within", "goes with a shape", "leave it out")
        return self

    def outline(self, work: Work) -> Outline | None:
        """The shape on this work; ``None`` where it is along edges."""
        return None if self.shape is None else self.shape.outline(work.finished, work.folder, work.units)

    def faults(self, work: Work) -> Iterator[Fault]:
        try:
            self.outline(work)
        except ShapeError as fault:
            yield Fault(".".join(("shape", *map(str, fault.key))), fault.reason, fault.wanted)
        if len(set(self.edges)) < len(self.edges):
            yield Fault("edges", "names an edge twice", "name each once")

    def misfits(self, work: Work, tool: Tool) -> Iterator[Fault]:
        reach = tool.tip_diameter / 2 + (BELOW[work.units] + self.drop(tool)) * slope(tool)
        if reach > tool.diameter / 2 + CONTACT:
            yield Fault(
                "size",
                f"is more than the cone of tool {tool.number} reaches",
                f"at most {work.size(max(0.0, self.size - reach + tool.diameter / 2))}, or take a larger chamfer mill",
            )
            return
        outline = self.outline(work)
        if outline is not None:
            corner = least_corner(outline, work, inside=self.within)
            if corner < self.off(work, tool) + CONTACT:
                yield Fault(
                    "shape",
                    f"has a corner of radius {work.size(corner)} that tool {tool.number} cannot follow: it runs "
                    f"{work.size(self.off(work, tool))} off the edge",
                    "round the corner more, or take a chamfer mill with a smaller tip",
                )

    @property
    def cusp(self) -> float:
        """What may stay of it between two settings by hand, for the file, mm: it breaks an edge and fits nothing."""
        return self.size * CUSP_SHARE

    def drop(self, tool: Tool) -> float:
        """How far down the wall the chamfer goes, mm."""
        return self.size / slope(tool)

    def off(self, work: Work, tool: Tool) -> float:
        """How far the cutter's center runs off the wall, mm: where the chamfer ends down the wall the cone touches
        it."""
        return tool.tip_diameter / 2 + BELOW[work.units] * slope(tool)

    def walls(self, work: Work) -> tuple[Chain, ...]:
        """The walls that the chamfer is on, the open room on their left: single lines, or a closed chain."""
        outline = self.outline(work)
        if outline is not None:
            return (outline.pieces if self.within else outline.clockwise,)
        low, high = work.finished.low, work.finished.high
        corners: dict[str, tuple[XY, XY]] = {
            "front": ((high[0], low[1]), (low[0], low[1])),
            "left": ((low[0], low[1]), (low[0], high[1])),
            "back": ((low[0], high[1]), (high[0], high[1])),
            "right": ((high[0], high[1]), (high[0], low[1])),
        }
        return tuple((Line(*corners[edge]),) for edge in self.edges)

    def removes(self, work: Work, tool: Tool) -> tuple[Meant, ...]:
        top = work.upper_face
        base, draft = top - self.drop(tool), slope(tool)
        outline = self.outline(work)
        if outline is not None:
            around = () if self.within else (rectangle((-FAR, -FAR), (FAR, FAR)).pieces,)
            return (Meant(Prism(2, (*around, outline.pieces), base, top, draft), 0.0, self.name, self.cusp),)
        low, high = work.finished.low, work.finished.high
        beside = {
            "front": ((-FAR, -FAR), (FAR, low[1])),
            "back": ((-FAR, high[1]), (FAR, FAR)),
            "left": ((-FAR, -FAR), (low[0], FAR)),
            "right": ((high[0], -FAR), (FAR, FAR)),
        }
        return tuple(
            Meant(Prism(2, (rectangle(*beside[edge]).pieces,), base, top, draft), 0.0, self.name) for edge in self.edges
        )

    def lowest(self, work: Work, tool: Tool) -> float:
        return work.upper_face - self.drop(tool) - BELOW[work.units]

    def lowest_over_jaws(self, work: Work, tool: Tool) -> float | None:
        return None if self.within else self.lowest(work, tool)


def slope(tool: Tool) -> float:
    """How much wider a chamfer mill is a millimetre further up: the tangent of half its angle."""
    return math.tan(math.radians(tool.point_angle / 2))
