"""``handwheel shop``."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from handwheel.motion import Tool
    from handwheel.shop import CncMill, Gauge, KneeMill, Material, ParallelSet, Shop, SpindleSpeeds, Thread, Vise
    from handwheel.units import Units

Row = Sequence[str]


@click.command()
@click.option("--shop", "extra", type=click.Path(path_type=Path), help="Your own shop file, listed beside ours.")
@click.option("--units", type=click.Choice(["in", "mm"]), help="Units of the lists; left out: each entry in its own.")
def shop(extra: Path | None, units: Units | None) -> None:
    """List what the shop holds: the names that a job file may call with like and material.

    Each entry stands with the source of its values.
    """
    from handwheel.shop import load_shop

    click.echo("\n\n".join(_lists(load_shop(extra), units)))


class Writer:
    """Writes lengths in the units asked for; else in an entry's own, those in which its sizes are the rounder."""

    def __init__(self, asked: Units | None, sizes: Iterable[float]) -> None:
        from handwheel.units import shop_number, to_units

        def digits(units: Units) -> int:
            return sum(len(f"{to_units(size, units):.6g}".replace(".", "").strip("0")) for size in given)

        given = tuple(sizes)
        self.units: Units = asked or ("in" if digits("in") <= digits("mm") else "mm")
        self._number = shop_number

    def size(self, *lengths: float) -> str:
        """Lengths as on a drawing, with × between them."""
        return " × ".join(self._number(length, self.units) for length in lengths)

    def per_minute(self, feed: float) -> str:
        """A feed, in the units asked for a minute."""
        return f"{self._number(feed, self.units, 0)} {self.units}/min"

    def cutting_speed(self, speed: float) -> str:
        """A cutting speed held in m/min, in ft/min or m/min, without its unit."""
        return f"{speed / 0.3048 if self.units == 'in' else speed:.0f}"

    @property
    def speed_unit(self) -> str:
        """Of cutting speeds."""
        return "ft/min" if self.units == "in" else "m/min"

    def power(self, watts: float) -> str:
        """In horsepower or kilowatts."""
        return f"{watts / 745.6999:.1f} hp" if self.units == "in" else f"{watts / 1000:.1f} kW"


def _lists(held: Shop, units: Units | None) -> Iterator[str]:
    knee = ("name", "in or mm", "travel", "spindle, rev/min", "power", "readout", "a turn of X, Y, knee", "source")
    yield _table("KNEE MILLS", knee, (_knee_mill(name, mill, units) for name, mill in held.knee_mill.items()))
    cnc = ("name", "in or mm", "travel", "spindle, rev/min", "power", "rapid", "feed at most", "source")
    yield _table("CNC MILLS", cnc, (_cnc_mill(name, mill, units) for name, mill in held.cnc_mill.items()))
    vise = ("name", "in or mm", "jaws", "opens", "bed above table", "source")
    yield _table("VISES", vise, (_vise(name, one, units) for name, one in held.vise.items()))
    heights = ("name", "in or mm", "heights", "source")
    yield _table(
        "PARALLELS",
        heights,
        (_parallels(name, one, units) for name, one in held.parallels.items()),
    )
    work = (
        "name",
        "what",
        "in or mm",
        "speed HSS, carbide",
        "chip load HSS, carbide",
        "width",
        "kc1.1 N/mm²",
        "m_c",
        "g/cm³",
    )
    yield _table(
        "MATERIALS (chip load from the smallest cutter to the largest; width of cut as a share of the diameter)",
        (*work, "sources"),
        (_material(name, one, units) for name, one in held.material.items()),
    )
    cutter = ("name", "shape", "in or mm", "diameter", "flutes", "flute length", "reach", "source")
    yield _table(
        "CUTTERS",
        cutter,
        (_cutter(name, one.tool(1), one.source, units) for name, one in held.cutter.items()),
    )
    gauge = ("name", "uncertainty (k = 2) in inches", "in millimeters", "source")
    yield _table("GAUGES", gauge, (_gauge(name, one) for name, one in held.gauge.items()))

    thread = ("name", "series", "in or mm", "diameter", "pitch", "minor", "tap drill", "% of thread", "source")
    yield _table("THREADS", thread, (_thread(name, one, units) for name, one in held.thread.items()))


def _knee_mill(name: str, mill: KneeMill, units: Units | None) -> Row:
    slides = mill.slides
    turns = (slides.x.per_turn, slides.y.per_turn, slides.knee.per_turn)
    write = Writer(units, (*mill.travel, *turns))
    return (
        name,
        write.units,
        write.size(*mill.travel),
        _speeds(mill.rpm),
        write.power(mill.power),
        write.size(mill.readout_step) if mill.readout_step else "dials only",
        ", ".join(map(write.size, turns)),
        mill.source,
    )


def _cnc_mill(name: str, mill: CncMill, units: Units | None) -> Row:
    write = Writer(units, mill.travel)
    return (
        name,
        write.units,
        write.size(*mill.travel),
        _speeds(mill.rpm),
        write.power(mill.power),
        write.per_minute(mill.rapid),
        write.per_minute(mill.feed_max),
        mill.source,
    )


def _vise(name: str, vise: Vise, units: Units | None) -> Row:
    write = Writer(units, (vise.jaw_width, vise.jaw_height, vise.opening_max, vise.bed_height))
    jaws = f"{write.size(vise.jaw_width)} wide, {write.size(vise.jaw_height)} high"
    return (name, write.units, jaws, write.size(vise.opening_max), write.size(vise.bed_height), vise.source)


def _parallels(name: str, held: ParallelSet, units: Units | None) -> Row:
    write = Writer(units, held.heights)
    return (name, write.units, ", ".join(map(write.size, held.heights)), held.source)


def _material(name: str, material: Material, units: Units | None) -> Row:
    data = (material.hss, material.carbide)
    write = Writer(units, (chip.load for one in data for chip in one.chip_load))
    loads = (f"{write.size(one.chip_load[0].load)} to {write.size(one.chip_load[-1].load)}" for one in data)
    sources = dict.fromkeys((material.source, material.force.source, *(one.source for one in data)))
    return (
        name,
        material.description,
        write.units,
        f"{', '.join(write.cutting_speed(one.cutting_speed) for one in data)} {write.speed_unit}",
        ", ".join(loads),
        ", ".join(f"{one.width_limit:g}" for one in data),
        f"{material.force.kc11:g}",
        f"{material.force.m_c:g}",
        f"{material.density:g}",
        "; ".join(sources),
    )


def _cutter(name: str, tool: Tool, source: str, units: Units | None) -> Row:
    write = Writer(units, (tool.diameter, tool.flute_length, tool.reach))
    return (
        name,
        tool.shape,
        write.units,
        write.size(tool.diameter),
        str(tool.flutes),
        write.size(tool.flute_length),
        write.size(tool.reach),
        source,
    )


def _gauge(name: str, held: Gauge) -> Row:
    from handwheel.units import shop_number

    return (name, f"{shop_number(held.inch, 'in')} in", f"{shop_number(held.metric, 'mm')} mm", held.source)


def _thread(name: str, thread: Thread, units: Units | None) -> Row:
    write = Writer(units, (thread.diameter, thread.tap_drill))
    return (
        name,
        thread.series,
        write.units,
        *map(write.size, (thread.diameter, thread.pitch, thread.minor)),
        f"{thread.tap_drill_name} ({write.size(thread.tap_drill)})",
        f"{thread.percent(thread.tap_drill):.0f}",
        thread.source,
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
