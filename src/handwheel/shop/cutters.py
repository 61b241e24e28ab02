"""Cutters in their holders, as a file describes them; what is left out follows from shape and size."""

from __future__ import annotations

from typing import Annotated, Final

from pydantic import Field, StrictBool, model_validator

from handwheel.motion.tables import Shape, Tool
from handwheel.shop.materials import CutterMaterial
from handwheel.shop.quantities import Angle, Flutes, LengthOrZero, Number, PositiveLength, Table, key_error

POINTED: Final[dict[str, float]] = {"drill": 118.0, "spot drill": 90.0, "chamfer mill": 90.0}
"""The usual included angle of a point, degrees (common practice)."""

PLUG: Final = 4.0
"""Threads of a plug tap's lead: 3 to 5 (common practice)."""


class Cutter(Table):
    """A cutter in its holder; lengths in mm, ``point_angle`` in degrees.

    ``reach`` is from the tip to the holder's nose, ``holder`` its diameter and length up to the gauge line.
    """

    shape: Shape
    diameter: PositiveLength
    flutes: Flutes | None = Field(default=None, description="2 for drills, else 4")
    flute_length: PositiveLength | None = Field(default=None, description="twice the diameter")
    shank: PositiveLength | None = Field(default=None, description="the diameter")
    reach: PositiveLength | None = Field(default=None, description="flute length and half a diameter")
    holder: tuple[PositiveLength, PositiveLength] | None = Field(
        default=None, description="[diameter, length]: 45 mm by 60 mm, or the shank's diameter and 20 mm more"
    )
    material: CutterMaterial = "HSS"
    centre_cutting: StrictBool | None = Field(default=None, description="true for drills")
    corner_radius: LengthOrZero = 0.0
    point_angle: Angle | None = Field(default=None, description="118 degrees for a drill, 90 for spot and chamfer")
    pilot: LengthOrZero = Field(default=0.0, description="of a counterbore: the pin that guides it in the hole")
    tip_diameter: LengthOrZero = Field(default=0.0, description="of a chamfer mill: the flat at its tip")
    pitch: LengthOrZero = 0.0
    lead: Annotated[float, Number("zero or more", greatest=12.0, what="a number of threads")] | None = Field(
        default=None, description="of a tap: threads of its tapered end: 4"
    )
    source: str = ""

    @model_validator(mode="after")
    def _makes_a_cutter(self) -> Cutter:
        half = self.diameter / 2
        if self.shape == "corner-radius end mill":
            if not 0 < self.corner_radius < half:
                raise key_error(
                    "corner_radius",
                    "a corner-radius end mill needs one above zero and under half its diameter",
                    'a full radius is shape = "ball end mill"',
                )
        elif self.shape == "ball end mill":
            if self.corner_radius not in (0.0, half):
                raise key_error("corner_radius", "a ball end mill has half its diameter", "leave the key out")
        elif self.corner_radius and (self.shape != "face mill" or self.corner_radius >= half):
            raise key_error(
                "corner_radius",
                f"does not go with shape = {self.shape!r} of this diameter",
                'shape = "corner-radius end mill" has one',
            )
        if self.shape == "tap" and not self.pitch:
            raise key_error("pitch", "a tap needs its pitch", 'such as "1.25 mm" or "1/20 in"')
        if self.lead is not None and self.shape != "tap":
            raise key_error("lead", "is the tapered end of a tap", "leave the key out")
        if self.shape == "tap" and self.pitch >= self.diameter / 2:
            raise key_error("pitch", "leaves no core in a tap of this diameter", 'such as "1.25 mm" or "1/20 in"')
        if self.pilot and (self.shape != "counterbore" or self.pilot >= self.diameter):
            raise key_error("pilot", "is the pin that guides a counterbore", "less than its diameter")
        if self.shape == "countersink" and self.point_angle is None:
            raise key_error("point_angle", "is missing", '"82 deg" for inch screws, "90 deg" for metric ones')
        if self.tip_diameter and (self.shape != "chamfer mill" or self.tip_diameter >= self.diameter):
            raise key_error("tip_diameter", "is the flat at the tip of a chamfer mill", "less than its diameter")
        if self.point_angle is not None and self.point_angle > 180.0:
            raise key_error("point_angle", "is more than flat", "at most 180 degrees")
        return self

    def tool(self, number: int) -> Tool:
        """The same as a tool of the plan, complete. Source of what is filled in: common practice."""
        drill = self.shape in ("drill", "spot drill", "countersink")
        flute_length = self.flute_length or 2.0 * self.diameter
        shank = self.shank or self.diameter
        holder_diameter, holder_length = self.holder or (max(45.0, shank + 20.0), 60.0)
        return Tool(
            number=number,
            shape=self.shape,
            diameter=self.diameter,
            flutes=self.flutes or (2 if self.shape in ("drill", "spot drill") else 4),
            flute_length=flute_length,
            shank=shank,
            reach=self.reach or flute_length + self.diameter / 2,
            holder_diameter=holder_diameter,
            holder_length=holder_length,
            material=self.material,
            centre_cutting=drill if self.centre_cutting is None else self.centre_cutting,
            corner_radius=self.diameter / 2 if self.shape == "ball end mill" else self.corner_radius,
            point_angle=self.point_angle or POINTED.get(self.shape, 180.0),
            pitch=self.pitch,
            tip_diameter=self.tip_diameter,
            lead=PLUG if self.shape == "tap" and self.lead is None else self.lead or 0.0,
        )
