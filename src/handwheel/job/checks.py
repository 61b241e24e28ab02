"""What only shows when the tables of a job are read together, and makes no sense on any set-up.

What a proof can judge is left to the proof.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Final

from handwheel.job.assumptions import BUDGET, TIMES
from handwheel.job.hole_checks import check_holes
from handwheel.job.hole_making import HoleMaking
from handwheel.job.offsets import forms
from handwheel.job.operations import AnyOperation
from handwheel.job.parts import Parts, SetupParts
from handwheel.job.work import Work
from handwheel.motion import Tool
from handwheel.shop.reading import MISSING, Reader, nearest
from handwheel.tolerances import CONTACT
from handwheel.units import shop_number

CHIP_ROOM: Final = 0.25
"""How deep a cutter's flutes are at most, as a share of its diameter: no chip is thicker (common practice)."""


def check(parts: Parts, reader: Reader) -> None:
    """Add every such problem to the reader's."""
    _material(parts, reader)
    _assumptions(parts, reader)
    for table, key in (("tool", "number"), ("offset", "number"), ("dimension", "name"), ("setup", "name")):
        _each_once(parts.content, reader, table, key)
    for setup, work in zip(parts.setups, parts.works, strict=True):
        _vise_opens(parts, reader, setup, work)
        for table in ("operation", "holes"):
            _each_once(setup.content, reader, table, "name", setup.at)
        _tools_there(parts, reader, setup)
        _operations(parts, reader, setup, work)
    _one_form_a_tool(parts, reader)


def _operations(parts: Parts, reader: Reader, setup: SetupParts, work: Work | None) -> None:
    for index, operation in enumerate(parts.completed(setup)):
        if operation is None:
            continue
        key = f"{setup.at}operation[{index + 1}]"
        content = setup.content["operation"][index]
        _cutter(parts, reader, operation, key, content)
        if isinstance(operation, HoleMaking):
            check_holes(parts, reader, setup, index, operation, key, content)
        if work is not None:
            faults = [*operation.faults(work)]
            if not faults and (tool := _tool_of(parts, operation)) is not None:
                faults += operation.misfits(work, tool)
            for fault in faults:
                reader.add(f"{key}.{fault.key}", content.get(fault.key, MISSING), fault.reason, fault.wanted)


def _tool_of(parts: Parts, operation: AnyOperation) -> Tool | None:
    """The cutter, where it is one for this operation."""
    entry = next((one for one in parts.tools if one is not None and one.number == operation.tool), None)
    return entry.tool(entry.number) if entry is not None and entry.shape in operation.shapes else None


def _material(parts: Parts, reader: Reader) -> None:
    name = parts.content.get("material")
    if isinstance(name, str) and name not in parts.shop.material:
        reader.add("material", name, "the shop has no such material", nearest(name, parts.shop.material))


def _assumptions(parts: Parts, reader: Reader) -> None:
    """What sets an assumption that nobody makes would change nothing, and nobody would see it."""
    for table, known, what in (
        ("times", TIMES, "time of the manual clock"),
        ("budget", BUDGET, "input of the error budget"),
    ):
        content = parts.content.get(table)
        for name, value in content.items() if isinstance(content, Mapping) else ():
            if name not in known:
                reader.add(f"{table}.{name}", value, f"is no {what}", nearest(name, known, "handwheel compare"))


def _vise_opens(parts: Parts, reader: Reader, setup: SetupParts, work: Work | None) -> None:
    if work is None or setup.vise is None:
        return
    width, opening = work.raw.size[1], setup.vise.opening_max
    if width <= opening + CONTACT:
        return
    if setup.at:
        key, value = f"{setup.at}fixed_jaw", setup.content.get("fixed_jaw", MISSING)
        reason = (
            f"lays the work so that it is {work.size(width)} wide between the jaws, which open {work.size(opening)}"
        )
    else:
        key, value = "stock.size[2]", parts.content["stock"]["size"][1]
        reason = f"is wider than the vise opens, {work.size(opening)}"
    reader.add(key, value, reason, "lay the work the other way, or take a larger vise")


def _each_once(tables: Mapping[str, Any], reader: Reader, table: str, key: str, at: str = "") -> None:
    first: dict[Any, int] = {}
    for index, content in enumerate(_tables(tables, table)):
        value = content.get(key)
        if not isinstance(value, str) and not _is_whole(value):
            continue
        if value in first:
            reader.add(
                f"{at}{table}[{index + 1}].{key}",
                value,
                f"is there already, at {at}{table}[{first[value] + 1}]",
                f"give each {table} a {key} of its own",
            )
        first.setdefault(value, index)


def _tools_there(parts: Parts, reader: Reader, setup: SetupParts) -> None:
    numbers = _tool_numbers(parts)
    there = ", ".join(map(str, dict.fromkeys(filter(_is_whole, numbers))))
    for index, content in enumerate(_tables(setup.content, "operation")):
        tool = content.get("tool")
        if _is_whole(tool) and tool not in numbers:
            reader.add(
                f"{setup.at}operation[{index + 1}].tool",
                tool,
                "no [[tool]] has this number",
                f"the job's tools are {there}" if there else "the job has no tools yet",
            )


def _cutter(parts: Parts, reader: Reader, operation: AnyOperation, key: str, content: Mapping[str, Any]) -> None:
    numbers = _tool_numbers(parts)
    if operation.tool not in numbers:
        return
    entry = parts.tools[numbers.index(operation.tool)]
    if entry is None:
        return
    if entry.shape not in operation.shapes:
        reader.add(
            f"{key}.tool",
            operation.tool,
            f'is a {entry.shape}, which does not cut do = "{operation.do}"',
            f"takes one of: {', '.join(operation.shapes)}",
        )
    room = CHIP_ROOM * entry.diameter
    if operation.feed_per_tooth is not None and operation.feed_per_tooth > room + CONTACT:
        reader.add(
            f"{key}.feed_per_tooth",
            content["feed_per_tooth"],
            f"is a chip thicker than the flutes of tool {operation.tool} can be deep, "
            f"{shop_number(room, reader.units)} {reader.units}",
            "give what one tooth is fed, not the feed a minute; left out, it follows from the material",
        )


def _one_form_a_tool(parts: Parts, reader: Reader) -> None:
    """A tool has one diameter offset: it cannot be the whole cutter and the difference only."""
    before: list[AnyOperation] = []
    for setup in parts.setups:
        for index, operation in enumerate(parts.completed(setup)):
            if operation is None:
                continue
            mine, others = forms([operation], operation.tool), forms(before, operation.tool)
            if mine and others and mine != others:
                reader.add(
                    f"{setup.at}operation[{index + 1}].compensation",
                    setup.content["operation"][index].get("compensation", MISSING),
                    f"tool {operation.tool} is used as {others.pop()!r} before, and has one diameter offset",
                    "give both operations the same, or this one a tool of its own",
                )
                return
            before.append(operation)


def _tool_numbers(parts: Parts) -> list[Any]:
    return [content.get("number") for content in _tables(parts.content, "tool")]


def _is_whole(value: object) -> bool:
    return isinstance(value, int) and not isinstance(value, bool) and 1 <= value <= 999


def _tables(content: Mapping[str, Any], name: str) -> Sequence[dict[str, Any]]:
    tables = content.get(name, [])
    return [table if isinstance(table, dict) else {} for table in tables] if isinstance(tables, list) else []
