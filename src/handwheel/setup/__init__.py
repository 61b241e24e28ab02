"""Vise, parallels, stock and table as boxes; where they stand; stick-out, grip and the choice of parallels."""

from handwheel.setup.fixture import Setup, clamp, on_parallels, set_up
from handwheel.setup.frame import lengthened
from handwheel.setup.parallels import Choice, choose_parallels, least_grip
from handwheel.setup.touch import Touch, touches
from handwheel.setup.work_stop import stop_body
from handwheel.setup.workpiece import Workpiece, workpieces

__all__ = [
    "Choice",
    "Setup",
    "Touch",
    "Workpiece",
    "choose_parallels",
    "clamp",
    "least_grip",
    "lengthened",
    "on_parallels",
    "set_up",
    "stop_body",
    "touches",
    "workpieces",
]
