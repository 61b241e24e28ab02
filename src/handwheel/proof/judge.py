"""Moves of the true tip, from either route, to a proof."""

from __future__ import annotations

from handwheel.check import Inspection, clearances, dimensions, findings, spindle_power
from handwheel.proof.model import Proof, Seconds


def judge(inspection: Inspection, name: str, seconds: Seconds) -> Proof:
    """Gauge and check what an inspection has before it.

    Parameters
    ----------
    inspection : the moves, and all they are judged by
    name : what the program, or the route, is called in the report
    seconds : by the clock of its route

    Raises
    ------
    HandwheelError
        Where the resolution asks for more cells than there may be.
    """
    setup = inspection.setup
    return Proof(
        job=inspection.job.name,
        program=name,
        setup=setup.name,
        findings=findings(inspection),
        dimensions=dimensions(inspection),
        clearance=clearances(inspection),
        heights=inspection.heights,
        power=spindle_power(inspection),
        seconds=seconds,
        moves=inspection.moves,
        tip=inspection.tip,
        part=inspection.part,
        stick_out=setup.stick_out,
        grip=setup.grip,
        air=setup.air,
    )
