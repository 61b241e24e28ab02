"""Operations to steps: what is done, in which order and why, for either route."""

from handwheel.plan.correcting import correction, gives_back, giving_back
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
    "correction",
    "gives_back",
    "giving_back",
    "plan",
    "speeds",
    "spindle_speed",
    "table_feed",
]
