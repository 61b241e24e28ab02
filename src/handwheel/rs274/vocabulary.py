"""The words of the language: which G and M codes there are, and which of them exclude each other in a block.

pygcode supplies codes, modal groups and order; where the standard says otherwise, :data:`DIFFERENCES` says so and why.
Source: NISTIR 6556, section 3.4, table 4 (groups) and section 3.8, table 8 (order).
"""

from __future__ import annotations

from functools import cache
from typing import Final, NamedTuple

from handwheel.rs274.faults import Fault

AXES: Final = ("X", "Y", "Z")
ROTARY: Final = frozenset("ABC")
LETTERS: Final = frozenset("ABCDFGHIJKLMNPQRSTXYZ")
MOST_M_WORDS: Final = 4

G_CODES: Final = (
    *("G0", "G1", "G2", "G3", "G38.2", "G80", "G81", "G82", "G83", "G84", "G85", "G86", "G87", "G88", "G89"),
    *("G4", "G10", "G28", "G30", "G53", "G92", "G92.1", "G92.2", "G92.3"),
    *("G17", "G18", "G19", "G20", "G21", "G40", "G41", "G42", "G43", "G49"),
    *("G54", "G55", "G56", "G57", "G58", "G59", "G59.1", "G59.2", "G59.3"),
    *("G61", "G61.1", "G64", "G90", "G91", "G93", "G94", "G98", "G99"),
)
M_CODES: Final = ("M0", "M1", "M2", "M30", "M60", "M3", "M4", "M5", "M6", "M7", "M8", "M9", "M48", "M49")

CYCLES: Final = frozenset(f"G{number}" for number in range(81, 90))
SYSTEMS: Final = ("G54", "G55", "G56", "G57", "G58", "G59", "G59.1", "G59.2", "G59.3")
AXIS_USERS: Final = frozenset({"G10", "G28", "G30", "G92"})
"""Codes outside the motion group that use axis words."""

_GROUP_NAMES: Final = {
    "motion": "motion",
    "plane_selection": "plane",
    "distance": "distance",
    "feed_rate_mode": "feed mode",
    "units": "units",
    "cutter_diameter_comp": "compensation",
    "tool_length_offset": "length offset",
    "canned_cycles_return": "return",
    "coordinate_system": "system",
    "control_mode": "path",
    "stopping": "stop",
    "spindle": "spindle",
    "coolant": "coolant",
    "override_switches": "overrides",
}


ORDER: Final = (
    *("feed mode", "tool change", "spindle", "coolant", "overrides", "plane", "units", "compensation"),
    *("length offset", "system", "path", "distance", "return", "once", "motion", "stop"),
)
"""The order in which the groups of a block are obeyed (table 8); a dwell, though in group ``once``, comes before the
plane. F, S and T follow the feed mode."""


class Difference(NamedTuple):
    """A word for which the standard's group is not pygcode's."""

    word: str
    group: str
    reason: str


_UNKNOWN = "the standard's motion group has this cycle; pygcode does not know the word"
_ONCE = "the standard's non-modal group: one of them in a block; pygcode gives it no group"

DIFFERENCES: Final = (
    Difference("G80", "motion", "the standard counts it among the motion words; pygcode gives it no group"),
    *(Difference(word, "motion", _UNKNOWN) for word in ("G84", "G86", "G87", "G88")),
    *(Difference(word, "once", _ONCE) for word in ("G4", "G10", "G28", "G30", "G53", "G92", "G92.1", "G92.2", "G92.3")),
    Difference("M6", "tool change", "the standard gives it a group of its own; pygcode gives it none"),
)


@cache
def groups() -> dict[str, str]:
    """The modal group of each word that is supported, by the word: ``{"G1": "motion", …}``."""
    from pygcode.gcodes import MODAL_GROUP_MAP, word_gcode_class
    from pygcode.words import Word

    named = {number: _GROUP_NAMES[name] for name, number in MODAL_GROUP_MAP.items() if name in _GROUP_NAMES}
    corrected = {difference.word: difference.group for difference in DIFFERENCES}
    found = {}
    for word in (*G_CODES, *M_CODES):
        kind = word_gcode_class(Word(word[0], float(word[1:])))
        found[word] = corrected[word] if word in corrected else named[kind.modal_group]
    return found


def code(letter: str, value: float) -> str:
    """The G or M word as this room spells it: ``code("G", 1.0)`` is ``"G1"``.

    Raises :class:`Fault` where there is no such word.
    """
    tenths = round(value * 10.0) if abs(value) < 1e6 else -1
    whole, rest = divmod(tenths, 10)
    word = f"{letter}{whole}.{rest}" if rest else f"{letter}{whole}"
    if word not in groups() or abs(value * 10.0 - tenths) > 1e-3:
        raise Fault(letter, f"{letter}{value:g} is no word of the language that is known here")
    return word
