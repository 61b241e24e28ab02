"""The manual machine, its actions, the route sheet, the machine card and the manual clock."""

from handwheel.hand.actions import Action
from handwheel.hand.card_by_hand import card
from handwheel.hand.card_text import card_text
from handwheel.hand.clock import clock
from handwheel.hand.execute import Done, Execution, execute
from handwheel.hand.route import actions
from handwheel.hand.sheet import sheet

__all__ = ["Action", "Done", "Execution", "actions", "card", "card_text", "clock", "execute", "sheet"]
