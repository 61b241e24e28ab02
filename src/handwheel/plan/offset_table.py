"""What is keyed into the control's offset table, in what it holds, and how it is said: head, sheet, card and packet
alike."""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.job.offsets import forms
from handwheel.setup import Setup, touches
from handwheel.shop.machines import CncMill
from handwheel.units import program_number, shop_number


def keyed(machine: CncMill, diameter: float) -> float:
    """A diameter, or a change of one, as the D column holds it, mm (geometry)."""
    return diameter / 2.0 if machine.offset_holds == "radius" else diameter


def planned_length(setup: Setup, number: int) -> str:
    """What H of a tool is as planned, in program decimals: negative where the tool is touched to the work."""
    return program_number(setup.control.offsets[number].length, setup.job.units)


def planned_diameter(setup: Setup, number: int) -> str:
    """What D of a tool is as planned, in program decimals: a radius where the control holds radii."""
    return program_number(keyed(setup.job.by_program, setup.control.offsets[number].diameter), setup.job.units)


def what_d_holds(setup: Setup) -> str:
    """One statement about D for the whole set-up."""
    job = setup.job
    holds = job.by_program.offset_holds
    used = {form for tool in job.tools for form in forms(setup.operations, tool.number)} or {job.compensation}
    if used == {"off"}:
        return "D is not used: nothing is compensated at the control"
    if used == {"tool-path"}:
        half = "half of " if holds == "radius" else ""
        return f"D is {half}the measured minus the nominal diameter: 0 for a cutter that measures what it is marked"
    if "tool-path" in used:
        return f"D as planned is a {holds}, or 0 where the path is the cutter's center: add what the cutter is off"
    if holds == "radius":
        return "D is a radius: half of what the cutter measures"
    return "D is a diameter: what the cutter measures"


def what_h_holds(setup: Setup) -> str:
    """What H is, and how it comes about."""
    if not touches_tools(setup):
        return "H is from gauge line to tip, as measured"
    at = touches(setup, 0.0)[2]
    return (
        f"H is negative: touch each tool to the {'raw ' if at.is_raw else ''}{at.face} of the work and set its H so "
        f"that Z reads {shop_number(at.spindle_at, setup.job.units)}. A new set-up: touch every tool again"
    )


def touches_tools(setup: Setup) -> bool:
    """Whether each tool is touched to the work."""
    return setup.job.by_program.length_offsets == "touch to work"


def where_wear_goes(setup: Setup) -> Iterator[str]:
    """What is to be done with the wear column before the first part; nothing where there is none."""
    if setup.job.by_program.wear_column:
        yield "Corrections go into the wear column. Clear it to 0 for a new cutter"


def of_size_and_depth(setup: Setup) -> tuple[str, str]:
    """What a size and a depth that are out do to the table, ``e`` being by how much (geometry)."""
    one, both = ("e", "half of e") if setup.job.by_program.offset_holds == "radius" else ("2e", "e")
    return (
        f"by e, one side cut last: D smaller by {one}; both sides by this D: smaller by {both}",
        "short by e: H smaller by e; too deep by e: H larger by e, for the next part",
    )


def column(setup: Setup, letter: str, number: int) -> str:
    """Where a correction is keyed in: ``D2 wear``, or ``D2``."""
    return f"{letter}{number}{' wear' if setup.job.by_program.wear_column else ''}"
