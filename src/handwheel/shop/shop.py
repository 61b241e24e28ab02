"""What the shop holds, by name: our own data and, over it, the user's."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields
from functools import cache
from importlib import resources
from pathlib import Path
from typing import Any, Final

from handwheel.errors import JobError, Problem
from handwheel.shop.cutters import Cutter
from handwheel.shop.gauges import Gauge
from handwheel.shop.machines import CncMill, KneeMill
from handwheel.shop.materials import Material
from handwheel.shop.quantities import Table
from handwheel.shop.reading import MISSING, Reader, nearest, parse_toml, read_text
from handwheel.shop.threads import Thread
from handwheel.shop.vises import ParallelSet, Vise
from handwheel.units import Units


@dataclass(frozen=True)
class Shop:
    """Every entry by its name; the tables of a shop file bear these fields' names."""

    knee_mill: Mapping[str, KneeMill]
    cnc_mill: Mapping[str, CncMill]
    vise: Mapping[str, Vise]
    parallels: Mapping[str, ParallelSet]
    material: Mapping[str, Material]
    cutter: Mapping[str, Cutter]
    gauge: Mapping[str, Gauge]
    thread: Mapping[str, Thread]

    def parallel_set(self, units: Units) -> tuple[float, ...]:
        """Heights of the parallels for a job in these units, mm, rising."""
        return tuple(sorted(self.parallels["parallels-inch" if units == "in" else "parallels-metric"].heights))


MODELS: Final[dict[str, type[Table]]] = {
    "knee_mill": KneeMill,
    "cnc_mill": CncMill,
    "vise": Vise,
    "parallels": ParallelSet,
    "material": Material,
    "cutter": Cutter,
    "gauge": Gauge,
    "thread": Thread,
}


def load_shop(extra: Path | None = None) -> Shop:
    """Our shop, with the entries of the user's file added or in place of ours.

    Raises
    ------
    JobError
        With everything that is wrong in the user's file.
    """
    shop = _own()
    return shop if extra is None else read_shop(read_text(extra), str(extra), shop)


def read_shop(text: str, file: str, start: Shop) -> Shop:
    """A shop file's entries on top of ``start``.

    Its tables are ``[knee_mill.NAME]``, ``[cnc_mill.NAME]``, ``[vise.NAME]``, ``[parallels.NAME]``,
    ``[material.NAME]``, ``[cutter.NAME]``, ``[gauge.NAME]`` and ``[thread.NAME]``; ``units`` at the top says what bare
    numbers are in (``"mm"``); ``like`` starts from an entry that is there already.
    """
    content = parse_toml(text, file)
    units = content.pop("units", "mm")
    if units not in ("in", "mm"):
        raise JobError(file, [Problem("units", str(units), "is no system of units here", 'write "in" or "mm"')])
    reader = Reader(units)
    entries: dict[str, dict[str, Any]] = {field.name: dict(getattr(start, field.name)) for field in fields(Shop)}
    for kind, named in content.items():
        if kind not in MODELS:
            reader.add(kind, MISSING, "no such table in a shop file", nearest(kind, MODELS))
        elif not isinstance(named, Mapping):
            reader.add(kind, named, "is no table", f"write [{kind}.NAME]")
        else:
            for name, table in named.items():
                entry = reader.like(MODELS[kind], table, f"{kind}.{name}", entries[kind])
                if entry is not None:
                    entries[kind][name] = entry
    if reader.problems:
        raise JobError(file, reader.problems)
    return Shop(**entries)


@cache
def _own() -> Shop:
    shop = Shop(**{field.name: {} for field in fields(Shop)})
    for name in ("machines", "vises", "materials", "cutters", "hole_cutters", "gauges", "threads"):
        file = resources.files("handwheel.shop") / "data" / f"{name}.toml"
        shop = read_shop(file.read_text(encoding="utf-8"), f"{name}.toml", shop)
    return shop
