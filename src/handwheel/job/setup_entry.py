"""One set-up as the job file asks for it: how the part lies, where its zero is, what is done to it."""

from __future__ import annotations

from dataclasses import dataclass

from handwheel.job.operations import AnyOperation
from handwheel.job.setup_table import Along, System
from handwheel.job.tables import TouchOff
from handwheel.job.work import Zero
from handwheel.path.face import Face
from handwheel.shop.vises import Vise


@dataclass(frozen=True)
class SetupEntry:
    """Complete: what the set-up leaves out is the job's. Lengths in mm, in the set-up's own frame.

    ``up`` and ``fixed_jaw`` are faces of the part; ``rod`` is the diameter of a soft rod at the movable jaw (``None``:
    none); ``origin`` the work offset that the program calls; ``clear`` the height of the level for rapids above the raw
    top.
    """

    name: str
    vise: Vise
    zero: Zero
    touch_off: TouchOff
    clear: float
    operations: tuple[AnyOperation, ...]
    at: Along
    up: Face = Face.TOP
    fixed_jaw: Face = Face.BACK
    rod: float | None = None
    origin: System = "G54"
