"""Operations to steps: what is done, in which order and why, for either route."""

from handwheel.plan.correcting import Correction, correction, gives_back
from handwheel.plan.correction_words import at_stop, going_back
from handwheel.plan.model import (
    Beside,
    Cutting,
    Hole,
    InHole,
    Inner,
    Measuring,
    Plan,
    Plunge,
    Ramp,
    SideStroke,
    Skim,
    Step,
    Stroke,
)
from handwheel.plan.order import plan
from handwheel.plan.speeds import Speeds, speeds, spindle_speed, table_feed
from handwheel.plan.which_route import Route

__all__ = [
    "Beside",
    "Correction",
    "Cutting",
    "Hole",
    "InHole",
    "Inner",
    "Measuring",
    "Plan",
    "Plunge",
    "Ramp",
    "Route",
    "SideStroke",
    "Skim",
    "Speeds",
    "Step",
    "Stroke",
    "at_stop",
    "correction",
    "gives_back",
    "going_back",
    "plan",
    "speeds",
    "spindle_speed",
    "table_feed",
]
