"""Vise, parallels, stock and table as boxes; where they stand; stick-out, grip and the choice of parallels."""

from handwheel.setup.fixture import Setup, set_up
from handwheel.setup.frame import control, travel_box
from handwheel.setup.parallels import Choice, choose_parallels, least_grip
from handwheel.setup.touch import Touch, touches
from handwheel.setup.work_stop import stop_body

__all__ = [
    "Choice",
    "Setup",
    "Touch",
    "choose_parallels",
    "control",
    "least_grip",
    "set_up",
    "stop_body",
    "touches",
    "travel_box",
]
