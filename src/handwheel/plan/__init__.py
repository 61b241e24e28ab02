"""Operations to steps: what is done, in which order and why, for either route."""

from handwheel.plan.correcting import correction, gives_back, giving_back
from handwheel.plan.model import Cutting, Hole, Measuring, Pass, Plan, Route, Step
from handwheel.plan.order import plan
from handwheel.plan.speeds import Speeds, speeds, spindle_speed, table_feed

__all__ = [
    "Cutting",
    "Hole",
    "Measuring",
    "Pass",
    "Plan",
    "Route",
    "Speeds",
    "Step",
    "correction",
    "gives_back",
    "giving_back",
    "plan",
    "speeds",
    "spindle_speed",
    "table_feed",
]
