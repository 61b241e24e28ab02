"""Work materials: how fast, how much a tooth, how wide, and what it costs in force."""

from __future__ import annotations

from bisect import bisect_left
from typing import Annotated, Literal

from pydantic import Field, model_validator

from handwheel.shop.quantities import CuttingSpeed, Density, Number, PositiveLength, Pressure, Share, Table, key_error

CutterMaterial = Literal["HSS", "carbide"]
Coolant = Literal["flood", "mist", "off"]


class ChipLoad(Table):
    """The feed a tooth, mm, for a cutter of this diameter, mm."""

    diameter: PositiveLength
    load: PositiveLength


class CuttingData(Table):
    """What cutters of one material stand in this work: speed in m/min, chip load by diameter, the width of cut as a
    share of the diameter."""

    cutting_speed: CuttingSpeed
    chip_load: Annotated[tuple[ChipLoad, ...], Field(min_length=1)]
    width_limit: Share
    source: str = ""

    @model_validator(mode="after")
    def _rising(self) -> CuttingData:
        diameters = [row.diameter for row in self.chip_load]
        if diameters != sorted(set(diameters)):
            raise key_error("chip_load", "the diameters must rise, each once")
        return self

    def load_at(self, diameter: float) -> float:
        """The chip load for any diameter, mm: between two rows in proportion, outside them the nearest row."""
        rows = self.chip_load
        above = bisect_left([row.diameter for row in rows], diameter)
        if above == 0:
            return rows[0].load
        if above == len(rows):
            return rows[-1].load
        low, high = rows[above - 1], rows[above]
        share = (diameter - low.diameter) / (high.diameter - low.diameter)
        return low.load + share * (high.load - low.load)


class CuttingForce(Table):
    """Kienzle's two constants: kc = kc1.1 · h^(−m_c), with kc1.1 in N/mm² and the mean chip thickness h in mm."""

    kc11: Pressure
    m_c: Annotated[float, Number("zero or more", greatest=1.0)]
    source: str = ""


class Material(Table):
    """A work material; ``density`` in g/cm³, ``coolant`` what it is usually cut with."""

    description: str
    density: Density
    coolant: Coolant = "flood"
    source: str = ""
    force: CuttingForce
    hss: CuttingData
    carbide: CuttingData

    def cutting(self, cutter: CutterMaterial) -> CuttingData:
        """What cutters of that material stand."""
        return self.hss if cutter == "HSS" else self.carbide

    def cutting_speed(self, cutter: CutterMaterial) -> float:
        """m/min."""
        return self.cutting(cutter).cutting_speed

    def chip_load(self, cutter: CutterMaterial, diameter: float) -> float:
        """Feed a tooth in mm for a cutter of ``diameter`` mm."""
        return self.cutting(cutter).load_at(diameter)

    def width_limit(self, cutter: CutterMaterial) -> float:
        """Greatest width of cut as a share of the cutter's diameter."""
        return self.cutting(cutter).width_limit
