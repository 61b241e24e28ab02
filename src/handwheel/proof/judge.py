"""Moves of the true tip, from either route, to a proof."""

from __future__ import annotations

from handwheel.check import Inspection, clearances, dimensions, findings, spindle_power
from handwheel.cut.part import Part
from handwheel.proof.model import Seconds, SetupProof
from handwheel.setup import Setup


def judge(inspection: Inspection, name: str, seconds: Seconds) -> SetupProof:
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
    return SetupProof(
        job=inspection.job.name,
        program=name,
        setup=inspection.setup,
        findings=findings(inspection),
        dimensions=dimensions(inspection),
        clearance=clearances(inspection),
        heights=inspection.heights,
        power=spindle_power(inspection),
        seconds=seconds,
        moves=inspection.moves,
        tip=inspection.tip,
        part=inspection.part,
    )


def came_in(setup: Setup, before: Part | None) -> Part:
    """The part as it came into a set-up, seen from there; the raw stock where nothing was cut before.

    Parameters
    ----------
    setup : the work as it is clamped
    before : the part after the set-ups before, in the part's frame
    """
    return Part(setup.stock) if before is None else before.seen_from(setup.placement)
