"""``handwheel shop``."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Literal

import click

if TYPE_CHECKING:
    from handwheel.motion import Tool
    from handwheel.shop import CncMill, KneeMill, Material, Shop, SpindleSpeeds, Vise

Row = Sequence[str]


@click.command()
@click.option("--shop", "extra", type=click.Path(path_type=Path), help="Your own shop file, listed beside ours.")
@click.option("--units", type=click.Choice(["in", "mm"]), default="in", show_default=True, help="Units of the lists.")
def shop(extra: Path | None, units: Literal["in", "mm"]) -> None:
    """List what the shop holds: the names that a job file may call with like and material.

    Each entry stands with the source of its values.
    """
    from handwheel.shop import load_shop

    click.echo("\n\n".join(_lists(load_shop(extra), Writer(units))))


class Writer:
    """Writes lengths in the units asked for."""

    def __init__(self, units: Literal["in", "mm"]) -> None:
        from handwheel.units import shop_number

        self.units = units
        self._number = shop_number
        self.speed_unit = "ft/min" if units == "in" else "m/min"

    def size(self, *lengths: float) -> str:
        """Lengths as on a drawing, with × between them."""
        return " × ".join(self._number(length, self.units) for length in lengths)

    def per_minute(self, feed: float) -> str:
        """A feed, in the units asked for a minute."""
        return f"{self._number(feed, self.units, 0)} {self.units}/min"

    def cutting_speed(self, speed: float) -> str:
        """A cutting speed held in m/min, in ft/min or m/min."""
        return f"{speed / 0.3048 if self.units == 'in' else speed:.0f}"

    def power(self, watts: float) -> str:
        """In horsepower or kilowatts."""
        return f"{watts / 745.6999:.1f} hp" if self.units == "in" else f"{watts / 1000:.1f} kW"


def _lists(held: Shop, write: Writer) -> Iterator[str]:
    unit = write.units
    knee = ("name", f"travel, {unit}", "spindle, rev/min", "power", "readout", "a turn of X, Y, knee", "source")
    yield _table("KNEE MILLS", knee, (_knee_mill(name, mill, write) for name, mill in held.knee_mill.items()))
    cnc = ("name", f"travel, {unit}", "spindle, rev/min", "power", "rapid", "feed at most", "source")
    yield _table("CNC MILLS", cnc, (_cnc_mill(name, mill, write) for name, mill in held.cnc_mill.items()))
    vise = ("name", f"jaws, {unit}", "opens", "bed above table", "source")
    yield _table("VISES", vise, (_vise(name, one, write) for name, one in held.vise.items()))
    heights = ("name", f"heights, {unit}", "source")
    yield _table(
        "PARALLELS",
        heights,
        ((name, ", ".join(map(write.size, one.heights)), one.source) for name, one in held.parallels.items()),
    )
    work = (
        "name",
        "what",
        f"{write.speed_unit} HSS, carbide",
        "chip load HSS, carbide",
        "width",
        "kc1.1 N/mm²",
        "m_c",
        "g/cm³",
    )
    yield _table(
        "MATERIALS (chip load from the smallest cutter to the largest; width of cut as a share of the diameter)",
        (*work, "sources"),
        (_material(name, one, write) for name, one in held.material.items()),
    )
    cutter = ("name", "shape", f"diameter, {unit}", "flutes", "flute length", "reach", "source")
    yield _table(
        "CUTTERS",
        cutter,
        (_cutter(name, one.tool(1), one.source, write) for name, one in held.cutter.items()),
    )


def _knee_mill(name: str, mill: KneeMill, write: Writer) -> Row:
    slides = mill.slides
    turns = (slides.x.per_turn, slides.y.per_turn, slides.knee.per_turn)
    return (
        name,
        write.size(*mill.travel),
        _speeds(mill.rpm),
        write.power(mill.power),
        write.size(mill.readout_step) if mill.readout_step else "dials only",
        ", ".join(map(write.size, turns)),
        mill.source,
    )


def _cnc_mill(name: str, mill: CncMill, write: Writer) -> Row:
    return (
        name,
        write.size(*mill.travel),
        _speeds(mill.rpm),
        write.power(mill.power),
        write.per_minute(mill.rapid),
        write.per_minute(mill.feed_max),
        mill.source,
    )


def _vise(name: str, vise: Vise, write: Writer) -> Row:
    jaws = f"{write.size(vise.jaw_width)} wide, {write.size(vise.jaw_height)} high"
    return (name, jaws, write.size(vise.opening_max), write.size(vise.bed_height), vise.source)


def _material(name: str, material: Material, write: Writer) -> Row:
    data = (material.hss, material.carbide)
    loads = (f"{write.size(one.chip_load[0].load)} to {write.size(one.chip_load[-1].load)}" for one in data)
    sources = dict.fromkeys((material.source, material.force.source, *(one.source for one in data)))
    return (
        name,
        material.description,
        ", ".join(write.cutting_speed(one.cutting_speed) for one in data),
        ", ".join(loads),
        ", ".join(f"{one.width_limit:g}" for one in data),
        f"{material.force.kc11:g}",
        f"{material.force.m_c:g}",
        f"{material.density:g}",
        "; ".join(sources),
    )


def _cutter(name: str, tool: Tool, source: str, write: Writer) -> Row:
    return (
        name,
        tool.shape,
        write.size(tool.diameter),
        str(tool.flutes),
        write.size(tool.flute_length),
        write.size(tool.reach),
        source,
    )


def _speeds(speeds: SpindleSpeeds) -> str:
    if speeds.steps:
        return ", ".join(f"{step:g}" for step in speeds.steps)
    return f"{speeds.least:g} to {speeds.greatest:g}"


def _table(title: str, heads: Row, rows: Iterable[Row]) -> str:
    """Columns lined up; the last one runs free."""
    whole = [heads, *rows]
    widths = [max(map(len, column)) for column in zip(*whole, strict=True)]
    lines = ("  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip() for row in whole)
    return "\n".join((title, *(f"  {line}" for line in lines)))
