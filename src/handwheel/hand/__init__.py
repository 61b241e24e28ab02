"""The manual machine, its actions, the route sheet and the manual clock."""

from handwheel.hand.actions import Action
from handwheel.hand.clock import clock
from handwheel.hand.execute import Done, Execution, execute
from handwheel.hand.route import actions
from handwheel.hand.sheet import sheet

__all__ = ["Action", "Done", "Execution", "actions", "clock", "execute", "sheet"]
