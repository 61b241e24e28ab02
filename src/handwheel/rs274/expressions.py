"""Values in a block: numbers, parameters, bracketed expressions, functions.

Order: brackets and functions; ``**``; ``* / MOD``; ``+ - OR XOR AND``; left to right within a level. Angles are in
degrees. Source: NISTIR 6556, sections 3.3.2.1 to 3.3.2.4 (from memory).
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from typing import Final, NoReturn

from handwheel.rs274.faults import Fault
from handwheel.rs274.parameters import LAST, Parameters

WHOLE: Final = 1e-4
"""How far a number may be from a whole one where a whole one is wanted (NISTIR 6556, from memory)."""
DEEPEST: Final = 50
"""Brackets and parameters stand no deeper in each other: far more than a block's 256 characters have use for."""
LARGEST: Final = 1e12
"""No word holds a larger number: far beyond any machine, far within what squares without overflow."""

_NUMBER = re.compile(r"[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)")
_OPERATOR = re.compile(r"\*\*|[-+*/]|MOD|OR|XOR|AND")
_NAME = re.compile(r"[A-Z]+")
_VALUE = re.compile(r"[-+.0-9#\[]|[A-Z]+\[")


def _modulo(left: float, right: float) -> float:
    rest = math.fmod(left, right)
    return rest + abs(right) if rest < 0 else rest


_LEVELS: Final[tuple[dict[str, Callable[[float, float], float]], ...]] = (
    {
        "+": lambda left, right: left + right,
        "-": lambda left, right: left - right,
        "OR": lambda left, right: float(left != 0 or right != 0),
        "XOR": lambda left, right: float((left != 0) != (right != 0)),
        "AND": lambda left, right: float(left != 0 and right != 0),
    },
    {"*": lambda left, right: left * right, "/": lambda left, right: left / right, "MOD": _modulo},
    {"**": math.pow},
)
_POWER: Final = 2

_FUNCTIONS: Final[dict[str, Callable[[float], float]]] = {
    "ABS": abs,
    "ACOS": lambda value: math.degrees(math.acos(value)),
    "ASIN": lambda value: math.degrees(math.asin(value)),
    "COS": lambda value: math.cos(math.radians(value)),
    "EXP": math.exp,
    "FIX": lambda value: float(math.floor(value)),
    "FUP": lambda value: float(math.ceil(value)),
    "LN": math.log,
    "ROUND": lambda value: math.copysign(math.floor(abs(value) + 0.5), value),
    "SIN": lambda value: math.sin(math.radians(value)),
    "SQRT": math.sqrt,
    "TAN": lambda value: math.tan(math.radians(value)),
}


def whole(value: float) -> int | None:
    """The whole number that ``value`` stands for, or ``None``."""
    nearest = round(value) if abs(value) < LARGEST else None
    return nearest if nearest is not None and abs(value - nearest) <= WHOLE else None


class Values:
    """Reads values out of a block's compact text: capitals, no blanks, no comments.

    ``columns`` gives the column in the block of each character; ``position`` is where reading goes on.
    """

    def __init__(self, text: str, columns: list[int], parameters: Parameters) -> None:
        self.text = text
        self.columns = columns
        self.position = 0
        self._parameters = parameters
        self._depth = 0

    def at_value(self) -> bool:
        """Whether something that may be a value stands at the present place."""
        return _VALUE.match(self.text, self.position) is not None

    def value(self, word: str) -> float:
        """The value at the present place, which belongs to ``word``."""
        number = self._number()
        if number is not None:
            return number
        sign = self._sign()
        return sign * self._operand(word)

    def parameter_number(self) -> int:
        """The number of the parameter whose ``#`` was just passed."""
        start = self.position
        value = self.value("#")
        number = whole(value)
        if number is None or not 1 <= number <= LAST:
            self.fault(f"parameters are numbered from 1 to {LAST}; there is no #{value:g}", start=start)
        return number

    def fault(self, reason: str, instead: str = "", *, start: int | None = None) -> NoReturn:
        """Refuse what stands at ``start`` (default: the present place)."""
        begin = self.position if start is None else start
        end = max(self.position, begin + 1)
        text = self.text[begin:end][:40]
        raise Fault("", reason, instead, column=self._column(begin), text=text if text.isprintable() else ascii(text))

    def _column(self, position: int) -> int:
        if position < len(self.columns):
            return self.columns[position]
        return self.columns[-1] + 1 if self.columns else 1

    def _number(self) -> float | None:
        match = _NUMBER.match(self.text, self.position)
        if match is None:
            return None
        self.position = match.end()
        return float(match.group())

    def _sign(self) -> float:
        character = self.text[self.position : self.position + 1]
        if character not in ("-", "+"):
            return 1.0
        self.position += 1
        return -1.0 if character == "-" else 1.0

    def _operand(self, word: str) -> float:
        self._depth += 1
        if self._depth > DEEPEST:
            self.fault(f"brackets and parameters stand more than {DEEPEST} deep in each other here", "compute in steps")
        value = self._operand_within(word)
        self._depth -= 1
        return value

    def _operand_within(self, word: str) -> float:
        character = self.text[self.position : self.position + 1]
        if character == "[":
            return self._bracket(word)
        if character == "#":
            self.position += 1
            return self._parameters[self.parameter_number()]
        name = _NAME.match(self.text, self.position)
        if name and self.text[name.end() : name.end() + 1] == "[":
            return self._function(name.group())
        return self.fault(f"{word} has no value" if word != "#" else "# has no parameter number")

    def _bracket(self, word: str) -> float:
        opened = self.position
        if self.text[opened : opened + 1] != "[":
            self.fault("a [ is missing here")
        self.position += 1
        value = self._expression(0, word)
        if self.text[self.position : self.position + 1] != "]":
            if self.position >= len(self.text):
                self.fault("this [ is never closed", "write ] at the end of the expression", start=opened)
            self.fault("this is no operator, and ] is missing")
        self.position += 1
        return value

    def _function(self, name: str) -> float:
        start = self.position
        self.position += len(name)
        if name == "ATAN":
            return self._arc_tangent()
        function = _FUNCTIONS.get(name)
        if function is None:
            self.fault(f"there is no function {name}", start=start)
        argument = self._bracket(name)
        return self._computed(start, f"{name} has no value for {argument:g}", lambda: function(argument))

    def _arc_tangent(self) -> float:
        rise = self._bracket("ATAN")
        if self.text[self.position : self.position + 1] != "/":
            self.fault("ATAN wants two values", "write ATAN[y]/[x]")
        self.position += 1
        return math.degrees(math.atan2(rise, self._bracket("ATAN")))

    def _expression(self, level: int, word: str) -> float:
        """Precedence climbing: everything that binds at ``level`` or tighter."""
        start = self.position
        left = self._factor(word)
        while True:
            match = _OPERATOR.match(self.text, self.position)
            if match is None:
                return left
            tight = next(n for n, operators in enumerate(_LEVELS) if match.group() in operators)
            if tight < level:
                return left
            self.position = match.end()
            operator = match.group()
            right = self.value(operator) if tight == _POWER else self._expression(tight + 1, operator)
            left = self._combined(start, operator, tight, left, right)

    def _factor(self, word: str) -> float:
        """A value; the sign before one that is no plain number stands for ``0-…``, so powers bind before it."""
        number = self._number()
        if number is not None:
            return number
        start, sign = self.position, self._sign()
        value = self._operand(word)
        while sign < 0.0 and self.text.startswith("**", self.position):
            self.position += 2
            value = self._combined(start, "**", _POWER, value, self.value("**"))
        return sign * value

    def _combined(self, start: int, operator: str, level: int, left: float, right: float) -> float:
        reason = f"{left:g} {operator} {right:g} has no value"
        if right == 0 and operator in ("/", "MOD"):
            reason = f"{operator} by zero"
        return self._computed(start, reason, lambda: _LEVELS[level][operator](left, right))

    def _computed(self, start: int, reason: str, compute: Callable[[], float]) -> float:
        try:
            result = compute()
        except (ValueError, ZeroDivisionError, OverflowError):
            self.fault(reason, start=start)
        if not math.isfinite(result):
            self.fault(reason, start=start)
        return result
