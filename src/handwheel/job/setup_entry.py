"""One set-up as the job file asks for it: how the part lies, where its zero is, what is done to it."""

from __future__ import annotations

from dataclasses import dataclass

from handwheel.job.face import Face
from handwheel.job.side import Side
from handwheel.job.tables import TouchOff
from handwheel.job.work import Zero
from handwheel.shop.vises import Vise


@dataclass(frozen=True)
class SetupEntry:
    """Complete: what the set-up leaves out is the job's. Lengths in mm, in the set-up's own frame.

    ``clear`` is the height of the level for rapids above the raw top.
    """

    name: str
    vise: Vise
    zero: Zero
    touch_off: TouchOff
    clear: float
    operations: tuple[Face | Side, ...]
