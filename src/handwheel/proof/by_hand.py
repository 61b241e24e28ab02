"""The route sheet's actions carried out, cut, gauged and checked by the same judge."""

from __future__ import annotations

from collections.abc import Sequence

from handwheel.check import Inspection
from handwheel.cut.part import Part
from handwheel.hand import Action, actions, clock, execute
from handwheel.motion import Kind, Moves
from handwheel.plan import Route, plan
from handwheel.proof.judge import came_in, judge
from handwheel.proof.model import Seconds, SetupProof
from handwheel.setup import Setup


def prove_setup_by_hand(
    setup: Setup,
    doing: Sequence[Action] | None = None,
    *,
    before: Part | None = None,
    resolution: float | None = None,
) -> SetupProof:
    """Prove the manual route of one set-up.

    Parameters
    ----------
    setup : the work as it is clamped
    doing : the actions; left out, those of the job's own route sheet
    before : the part as it came into the set-up, in the part's frame; the raw stock where left out
    resolution : of the height map, mm; from the stock where left out
    """
    if doing is None:
        doing = actions(setup, plan(setup, Route.BY_HAND))
    execution = execute(setup, doing)
    moves = execution.moves
    inspection = Inspection(
        setup=setup,
        route=Route.BY_HAND,
        moves=moves,
        tip=moves,
        tools=execution.tools,
        offsets={},
        part=came_in(setup, before).with_cut(moves, execution.tools),
        intended=setup.intended,
        elsewhere=setup.elsewhere,
        is_last=setup.is_last,
        resolution=resolution,
    )
    return judge(inspection, "by hand", _seconds(moves, sum(clock(setup.job, doing, execution).values())))


def _seconds(moves: Moves, total: float) -> Seconds:
    """The clock's total, of which the feeds; winding counts with all that is not cutting."""
    feeding = (moves.kind == Kind.FEED) | (moves.kind == Kind.ARC)
    cutting = float((moves.length[feeding] / moves.feed[feeding] * 60.0).sum())
    return Seconds(cutting, 0.0, max(0.0, total - cutting))
