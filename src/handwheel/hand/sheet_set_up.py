"""The set-up sheet: vise, parallels, stick-out, touch-off values, tools, what to key in at the control."""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.hand.entries import Cells, Columns, Entry, Row, Subheading, Ticked
from handwheel.hand.scales import Scales
from handwheel.hand.touching import between
from handwheel.job import SideMilling
from handwheel.path.face import Face
from handwheel.plan import Plan
from handwheel.plan.hole_table import hole_groups
from handwheel.plan.offset_table import (
    of_size_and_depth,
    planned_diameter,
    planned_length,
    touches_tools,
    what_d_holds,
    what_h_holds,
    where_wear_goes,
)
from handwheel.plan.words import size_name, tool_name
from handwheel.setup import Setup, touches
from handwheel.tolerances import CONTACT

TRUE_WITHIN = {"in": ".001 in", "mm": "0.02 mm"}
"""Head and fixed jaw are indicated within this over the jaws' width (common practice)."""


def set_up_sheet(setup: Setup, plan: Plan, scales: Scales) -> Iterator[Entry]:
    """Everything that is done and known before the first step."""
    yield from _vise(setup, scales)
    yield from _stick_out(setup, scales)
    if plan.tools:
        yield from _tools(plan, scales)
        yield from _touch_off(setup, plan, scales)
        yield from _by_side(setup, scales)
        yield from _holes(setup, scales)
        yield from _control(setup, plan, scales)


def _vise(setup: Setup, scales: Scales) -> Iterator[Entry]:
    vise = setup.vise
    size = " x ".join(scales.length(length) for length in setup.raw.size)
    where = _along_jaws(setup, scales)
    stop = ", no stop" if vise.stop.side == "none" else ""
    within = TRUE_WITHIN[setup.job.units]
    if setup.before:
        yield from _turned(setup)
    yield Row("Work" if setup.before else "Stock", f"{size} (along the jaws x across x high)")
    if not setup.before:
        yield Ticked(f"Head trammed and fixed jaw indicated, both within {within} over the jaws' width; bolts tight.")
    yield Ticked("Vise bed, jaws, parallels and stock clean and deburred; no chip under anything.")
    yield Ticked(
        f"Parallels {scales.length(setup.parallel_height)} high and {scales.length(vise.parallel_thickness)} thick, "
        + (
            f"each {scales.length(vise.parallel_inset)} off its jaw."
            if vise.parallel_inset
            else "one against each jaw."
        )
    )
    raw = "raw " if setup.is_raw(Face.BACK) else ""
    back = setup.part_face(Face.BACK)
    yield Ticked(f"Work {where}{stop}, {raw}{_face_name(back)} on the fixed jaw (the far one); movable jaw in front.")
    if setup.entry.rod is not None:
        rod = scales.length(setup.entry.rod)
        yield Ticked(
            f"A soft rod {rod} across between movable jaw and work, level, at half the height of the grip: it presses "
            "the work flat against the fixed jaw."
        )
    if vise.stop.side != "none":
        height = ""
        if setup.stop is not None:
            most = "at most " if vise.stop.height is None else ""
            over = scales.length(setup.stop.high[2] - setup.jaw_top)
            height = f"; its top {most}{over} above the jaws" + (", so that every cut clears" if most else "")
        yield Ticked(f"Stop at the {vise.stop.side} end of the work, set so that the work is {where}{height}.")
    yield Ticked("Clamp; seat with a soft hammer; try both parallels: tight. Handle off the vise.")
    if vise.stop.side != "none" and setup.stop is None:
        yield Ticked("Swing the stop away after clamping: no height above the jaws is sure to clear every cut.")


def _along_jaws(setup: Setup, scales: Scales) -> str:
    at = setup.entry.at
    if at.by is not None:
        return f"with its {at.past} end {scales.length(at.by)} past the jaws"
    return {
        "centre": "in the middle of the jaws",
        "left": "flush with the jaws' left end",
        "right": "flush with the jaws' right end",
    }[at.stands]


def _turned(setup: Setup) -> Iterator[Entry]:
    """How the part comes out of the set-up before and goes into this one, by the names of its faces as drawn."""
    yield Ticked("Take the part out, deburr every edge with a file, brush jaws, bed and parallels clean.")
    faces = {face: setup.part_face(face) for face in (Face.TOP, Face.BACK, Face.LEFT)}
    yield Row(
        "Turn it",
        f"the part's {_face_name(faces[Face.TOP])} looks up, its {_face_name(faces[Face.BACK])} is on the fixed jaw, "
        f"its {_face_name(faces[Face.LEFT])} is to your left. The names are those of the drawing.",
    )


def _face_name(face: Face) -> str:
    """
    >>> _face_name(Face.LEFT), _face_name(Face.BACK), _face_name(Face.TOP)
    ('left end', 'back face', 'top')
    """
    return {0: f"{face} end", 1: f"{face} face", 2: f"{face}"}[face.axis]


def _stick_out(setup: Setup, scales: Scales) -> Iterator[Entry]:
    length, high = scales.length, setup.raw.size[2]
    yield Subheading("Stick-out")
    yield Row(
        "Stick-out",
        f"parallels {length(setup.parallel_height)} + work {length(high)} - jaws "
        f"{length(setup.vise.jaw_height)} = {length(setup.stick_out)} above the jaws",
    )
    yield Row("Grip", f"work {length(high)} - {length(setup.stick_out)} = {length(high - setup.stick_out)} is held")
    if setup.grip < high - setup.stick_out - CONTACT:
        yield Row("", f"both jaws touch it over {length(setup.grip)} of that: a step keeps them off the rest")
    if setup.air is not None and setup.lowest is not None:
        depth = setup.raw.high[2] - setup.lowest
        yield Row(
            "Air",
            f"stick-out {length(setup.stick_out)} - lowest cut {length(depth)} below the raw top = {length(setup.air)}",
        )
    yield Row("Parallels", setup.parallel_reason)


def _tools(plan: Plan, scales: Scales) -> Iterator[Entry]:
    yield Subheading("Tools")
    rows: list[Cells] = [("tool", "number", "flute length", "out of holder", "steps")]
    for tool in plan.tools:
        steps = [step.number for step in plan.steps if step.tool.number == tool.number]
        rows.append(
            (
                tool_name(tool, scales.job.units),
                str(tool.number),
                scales.length(tool.flute_length),
                scales.length(tool.reach),
                f"{steps[0]}-{steps[-1]}" if len(steps) > 1 else str(steps[0]),
            )
        )
    yield Columns(tuple(rows))


def _touch_off(setup: Setup, plan: Plan, scales: Scales) -> Iterator[Entry]:
    length = scales.length
    probes = touches(setup, plan.tools[0].diameter)
    state = "raw " if all(touch.is_raw for touch in probes) or not setup.before else ""
    yield Subheading(f"Touch off the {state}work (step 1, tool {plan.tools[0].number})")
    rows: list[Cells] = [(f"{state}face", "is at", "touched with", "radius", "between", "spindle's center, tip at")]
    for axis, touch in zip("xyz", probes, strict=True):
        probe = getattr(setup.touch_off, axis)
        diameter = probe.diameter or plan.tools[0].diameter
        rows.append(
            (
                touch.face if state or not touch.is_raw else f"raw {touch.face}",
                f"{axis.upper()} {length(touch.face_at)}",
                touch.with_,
                length(diameter / 2) if axis != "z" else "",
                length(between(probe)) if between(probe) else "",
                f"{axis.upper()} {length(touch.spindle_at)}",
            )
        )
    yield Columns(tuple(rows))
    zero = f"X {setup.zero.x}, Y {setup.zero.y}, Z {setup.zero.z}"
    yield Row("Zero", f"{zero} of the finished work; radius and allowance are counted outwards from it")


def _by_side(setup: Setup, scales: Scales) -> Iterator[Entry]:
    """Where the spindle's center stands when a cutter just touches the side that it finishes."""
    sides = [operation for operation in setup.operations if isinstance(operation, SideMilling)]
    if not sides:
        return
    yield Subheading("Readings with a cutter at the finished sides")
    rows: list[Cells] = [("side", "cutter", "radius R", "finished at", "spindle's center at")]
    for side in sides:
        tool = setup.job.tool(side.tool)
        axis = "X" if side.edge.axis == 0 else "Y"
        outwards = side.edge.outwards
        rows.append(
            (
                side.edge,
                f"{tool.number}, {size_name(tool.diameter, setup.job.units)}",
                scales.length(tool.diameter / 2),
                f"{axis} {scales.length(side.to)}",
                f"{axis} {'+' if outwards > 0 else '-'} R = {scales.length(side.to + outwards * tool.diameter / 2)}",
            )
        )
    yield Columns(tuple(rows))


def _holes(setup: Setup, scales: Scales) -> Iterator[Entry]:
    """Where every hole of this set-up is, as the readout shows it."""
    groups = [group for group in hole_groups(setup) if group.is_here]
    if not groups:
        return
    yield Subheading("Holes: where the spindle's center is")
    for group in groups:
        yield Row(group.letter, f"{group.name}: {group.words}")
    rows: list[Cells] = [("hole", "X", "Y")]
    rows += [(name, *map(scales.length, at)) for group in groups for name, at in group.rows]
    yield Columns(tuple(rows))


def _control(setup: Setup, plan: Plan, scales: Scales) -> Iterator[Entry]:
    number = scales.length
    yield Subheading("The same at the control, for the program")
    rows: list[Cells] = [("offset table", "length H", f"{setup.job.by_program.offset_holds} D")]
    for tool in plan.tools:
        rows.append(
            (
                f"tool {tool.number}",
                planned_length(setup, tool.number),
                planned_diameter(setup, tool.number),
            )
        )
    yield Columns(tuple(rows))
    x, y, z = touches(setup, plan.tools[0].diameter)
    touched = "; ".join(
        f"{touch.axis.upper()} reads {number(touch.spindle_at)} with the {'raw ' if touch.is_raw else ''}{touch.face} "
        "touched"
        for touch in ((x, y) if touches_tools(setup) else (x, y, z))
    )
    how = "; Z is 0" if touches_tools(setup) else " (the length offset in force for Z)"
    yield Row("Zero table", f"set {setup.entry.origin} so that {touched}{how}.")
    yield Row("H", f"{what_h_holds(setup)}.")
    yield Row("D", f"{what_d_holds(setup)}.")
    for text in where_wear_goes(setup):
        yield Row("Wear", f"{text}.")
    size, depth = of_size_and_depth(setup)
    yield Row("Oversize", f"{size}. Undersize: stop and tell the instructor; D larger by as much is for the next part.")
    yield Row("Depth", f"{depth}.")
