"""The job file read: TOML in, a complete :class:`Job` out, or every problem in it at once."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeVar

from handwheel.errors import MOST_PROBLEMS, JobError
from handwheel.job.checks import check
from handwheel.job.dimension import Dimension
from handwheel.job.hole_pattern import HolePattern
from handwheel.job.job import Job
from handwheel.job.names import checked_name, name_of
from handwheel.job.offsets import offset_table
from handwheel.job.operations import OPERATIONS, AnyOperation
from handwheel.job.parts import Parts, SetupParts
from handwheel.job.setup_entry import SetupEntry
from handwheel.job.setup_table import Along, SetupTable
from handwheel.job.tables import (
    FORMAT,
    RENAMED,
    Header,
    JobFile,
    Machine,
    OffsetEntry,
    Overrides,
    SetupPlan,
    ToolEntry,
    TouchOff,
)
from handwheel.job.work import Stock, Zero, too_much
from handwheel.shop import CncMill, KneeMill, Shop, Vise, load_shop
from handwheel.shop.quantities import Table
from handwheel.shop.reading import MISSING, Reader, nearest, parse_toml, read_text, shown
from handwheel.units import Units

T = TypeVar("T")


def read_job(path: Path, shop: Path | None = None) -> Job:
    """The job in a file.

    Parameters
    ----------
    path : the job file
    shop : the user's own shop file, on top of ours

    Raises
    ------
    JobError
        With everything that is wrong.
    """
    return read_job_text(read_text(path), name_of(path), shop, file=str(path))


def read_job_text(text: str, name: str, shop: Path | None = None, *, file: str | None = None) -> Job:
    """The job in a text; ``name`` is what its output is called, ``file`` what messages call it."""
    label = file or name
    checked_name(name, label)
    content = parse_toml(text, label)
    ours = load_shop(shop)
    units: Units = "in" if content.get("units") == "in" else "mm"
    reader = Reader(units)
    _refuse_newer(content, reader, label)
    parts = _parts(content, reader, ours, Path(label).parent)
    check(parts, reader)
    if reader.problems:
        raise JobError(label, reader.problems)
    return _job(parts, name, label, ours)


def _refuse_newer(content: Mapping[str, Any], reader: Reader, file: str) -> None:
    """A file of a later format is refused by its number alone: what else is in it cannot be judged."""
    number = content.get("handwheel")
    if isinstance(number, int) and not isinstance(number, bool) and number > FORMAT:
        reader.add(
            "handwheel",
            number,
            f"this file is of format {shown(number)}, and format {FORMAT} is the newest that is known here",
            "a newer handwheel reads it",
        )
        raise JobError(file, reader.problems)


def _parts(content: Mapping[str, Any], reader: Reader, shop: Shop, folder: Path) -> Parts:
    for key, value in content.items():
        if key in RENAMED:
            reader.add(key, value, "is the old name of this table", RENAMED[key])
        elif key not in JobFile.model_fields:
            # the search for what was meant is slow, and only the first problems are shown
            few = len(reader.problems) < MOST_PROBLEMS
            reader.add(key, value, "no such key", nearest(key, JobFile.model_fields) if few else "")
    machine = _machine(content, reader)
    zero = reader.table(Zero, content.get("zero", {}), "zero")
    system = "inch" if reader.units == "in" else "metric"
    return Parts(
        content=content,
        folder=folder,
        shop=shop,
        header=reader.table(Header, _keys_of(Header, content), ""),
        overrides=reader.table(Overrides, _keys_of(Overrides, content), ""),
        by_hand=reader.like(
            KneeMill, machine.get("by_hand", {}), "machine.by_hand", shop.knee_mill, f"knee-mill-{system}"
        ),
        by_program=reader.like(
            CncMill, machine.get("by_program", {}), "machine.by_program", shop.cnc_mill, f"cnc-mill-{system}"
        ),
        stock=_stock(content, reader),
        zero=zero,
        tools=tuple(reader.like(ToolEntry, table, key, shop.cutter) for key, table in _array(content, "tool", reader)),
        offsets=tuple(reader.table(OffsetEntry, table, key) for key, table in _array(content, "offset", reader)),
        setups=tuple(_setups(content, zero, reader, shop)),
        dimensions=tuple(reader.table(Dimension, table, key) for key, table in _array(content, "dimension", reader)),
    )


@dataclass(frozen=True)
class _Shared:
    """What set-ups take from the job, each read once."""

    vise: Vise | None
    zero: Zero | None
    touch_off: TouchOff | None


def _setups(content: Mapping[str, Any], zero: Zero | None, reader: Reader, shop: Shop) -> Iterator[SetupParts]:
    """Every set-up; where the job has none of its own, one with what stands at its top level."""
    vise_name = "vise-6in" if reader.units == "in" else "vise-125mm"
    shared = _Shared(
        vise=reader.like(Vise, content.get("vise", {}), "vise", shop.vise, vise_name),
        zero=zero,
        touch_off=reader.table(TouchOff, content.get("touch_off", {}), "touch_off"),
    )
    if "setup" not in content:
        operations = tuple(_operation(one, key, reader) for key, one in _array(content, "operation", reader))
        only = SetupTable(name="set-up 1")
        holes = tuple(reader.table(HolePattern, one, key) for key, one in _array(content, "holes", reader))
        yield SetupParts("", content, only, shared.vise, shared.zero, shared.touch_off, operations, holes)
        return
    if "operation" in content:
        reader.add("operation", MISSING, "stands beside [[setup]]", "write [[setup.operation]] below its set-up")
    for key, table in _array(content, "setup", reader):
        if not isinstance(table, Mapping):
            reader.add(key, table, "is no table", "write [[setup]] and its keys below")
            continue
        for name, value in table.items():
            if name not in SetupPlan.model_fields:
                reader.add(f"{key}.{name}", value, "no such key", nearest(name, SetupPlan.model_fields))

        def merged(name: str, own: Mapping[str, Any] = table) -> Any:
            """The job's table, with the keys that the set-up gives over it."""
            both = (content.get(name, {}), own[name])
            return {**both[0], **both[1]} if all(isinstance(one, Mapping) for one in both) else both[1]

        yield SetupParts(
            at=f"{key}.",
            content=table,
            table=reader.table(SetupTable, _keys_of(SetupTable, table), key),
            vise=reader.like(Vise, merged("vise"), f"{key}.vise", shop.vise, vise_name)
            if "vise" in table
            else shared.vise,
            zero=reader.table(Zero, merged("zero"), f"{key}.zero") if "zero" in table else shared.zero,
            touch_off=reader.table(TouchOff, merged("touch_off"), f"{key}.touch_off")
            if "touch_off" in table
            else shared.touch_off,
            operations=tuple(
                _operation(one, place, reader) for place, one in _array(table, "operation", reader, f"{key}.")
            ),
            holes=tuple(
                reader.table(HolePattern, one, place) for place, one in _array(table, "holes", reader, f"{key}.")
            ),
        )


def _keys_of(model: type[Table], content: Mapping[str, Any]) -> dict[str, Any]:
    return {key: content[key] for key in model.model_fields if key in content}


def _machine(content: Mapping[str, Any], reader: Reader) -> Mapping[str, Any]:
    machine = content.get("machine", {})
    if not isinstance(machine, Mapping):
        reader.add("machine", machine, "is no table", "write [machine.by_hand] and [machine.by_program]")
        return {}
    for key, value in machine.items():
        if key not in Machine.model_fields:
            reader.add(f"machine.{key}", value, "no such key", nearest(key, Machine.model_fields))
    return machine


def _stock(content: Mapping[str, Any], reader: Reader) -> Stock | None:
    if "stock" not in content:
        reader.add("stock", MISSING, "is missing", "write [stock] and in it size = [x, y, z], the raw block")
        return None
    stock = reader.table(Stock, content["stock"], "stock")
    if stock is None:
        return None
    spare = too_much(stock)
    for axis in spare:
        reader.add(
            "stock.allowance",
            content["stock"]["allowance"],
            f"leaves nothing of the work along {axis}",
            f"the two allowances together stay under the stock's {axis}",
        )
    return None if spare else stock


def _array(content: Mapping[str, Any], name: str, reader: Reader, at: str = "") -> Iterator[tuple[str, Any]]:
    tables = content.get(name, [])
    if not isinstance(tables, list):
        wanted = f"write [[{name}]], with two brackets, before each"
        reader.add(f"{at}{name}", tables, "there can be several of these", wanted)
        return
    for index, table in enumerate(tables):
        yield f"{at}{name}[{index + 1}]", table


def _operation(content: object, key: str, reader: Reader) -> AnyOperation | None:
    if not isinstance(content, Mapping):
        reader.add(key, content, "is no table", "write [[operation]] and its keys below")
        return None
    do = content.get("do", MISSING)
    if not isinstance(do, str) or do not in OPERATIONS:
        words = " or ".join(f'"{word}"' for word in OPERATIONS)
        reader.add(f"{key}.do", do, "is missing" if do is MISSING else "is no operation", f"write do = {words}")
        return None
    return reader.table(OPERATIONS[do], content, key)


def _job(parts: Parts, name: str, file: str, shop: Shop) -> Job:
    """The parts, all of them good, as one job."""
    header, overrides = _there(parts.header), _there(parts.overrides)
    entries = tuple(_entry(parts, setup, header) for setup in parts.setups)
    operations = [one for entry in entries for one in entry.operations]
    tools = tuple(entry.tool(entry.number) for entry in parts.tools if entry)
    material = shop.material[header.material]
    return Job(
        file=file,
        name=name,
        title=header.title,
        part_number=header.part_number,
        units=header.units,
        material_name=header.material,
        material=material,
        compensation=header.compensation,
        coolant=header.coolant or material.coolant,
        tolerance=header.tolerance,
        notes=header.notes,
        by_hand=_there(parts.by_hand),
        by_program=_there(parts.by_program),
        parallel_set=shop.parallel_set(header.units),
        stock=_there(parts.stock),
        zero=_there(parts.zero),
        tools=tools,
        offsets=offset_table([entry for entry in parts.offsets if entry], tools, operations, header.compensation),
        setups=entries,
        dimensions=tuple(size for size in parts.dimensions if size),
        times=overrides.times,
        budget=overrides.budget,
    )


def _entry(parts: Parts, setup: SetupParts, header: Header) -> SetupEntry:
    table = _there(setup.table)
    return SetupEntry(
        name=table.name,
        vise=_there(setup.vise),
        zero=_there(setup.zero),
        touch_off=_there(setup.touch_off),
        clear=header.clear if table.clear is None else table.clear,
        operations=tuple(one for one in parts.completed(setup) if one is not None),
        up=table.up,
        fixed_jaw=table.fixed_jaw,
        at=Along(stands=_there(parts.stock).at) if table.at is None else table.at,
        rod=table.rod or None,
        origin=table.origin,
    )


def _there(part: T | None) -> T:
    """A part that cannot be missing, since it would have left a problem behind."""
    if part is None:
        raise AssertionError("a table is missing, and nobody said so")
    return part
