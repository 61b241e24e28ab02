"""Every operation that a job may ask for: a new one is entered here and in :mod:`handwheel.plan.order`."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Final, TypeAlias

from pydantic import Field

from handwheel.job.chamfer import Chamfer
from handwheel.job.facing import Facing
from handwheel.job.hole_making import Counterbore, Countersink, Drill, Ream, Spot
from handwheel.job.outline_milling import OutlineMilling
from handwheel.job.pocket import Pocket
from handwheel.job.side_milling import SideMilling
from handwheel.job.slot import Slot
from handwheel.job.tapping import Tap

AnyOperation: TypeAlias = (
    Facing
    | SideMilling
    | Slot
    | Pocket
    | OutlineMilling
    | Chamfer
    | Spot
    | Drill
    | Ream
    | Tap
    | Counterbore
    | Countersink
)
ByWord = Annotated[AnyOperation, Field(discriminator="do")]
"""An operation, told apart by its ``do``."""

OPERATIONS: Final[Mapping[str, type[AnyOperation]]] = {
    "face": Facing,
    "side": SideMilling,
    "slot": Slot,
    "pocket": Pocket,
    "outline": OutlineMilling,
    "chamfer": Chamfer,
    "spot": Spot,
    "drill": Drill,
    "ream": Ream,
    "tap": Tap,
    "counterbore": Counterbore,
    "countersink": Countersink,
}
