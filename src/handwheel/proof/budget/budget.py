"""Root-sum-square and simulated parts."""

from __future__ import annotations

from handwheel.proof.budget.model import Budget
from handwheel.proof.prepare import Prepared


def budget(prepared: Prepared) -> tuple[Budget, ...]:
    """The errors of every size, by hand and by program."""
    del prepared
    return ()
