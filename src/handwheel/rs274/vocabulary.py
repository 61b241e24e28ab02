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
LETTERS: Final = frozenset("ABCDFGHIJKLMNPQRSTUXYZ")
MOST_M_WORDS: Final = 4

G_CODES: Final = (
    *("G0", "G1", "G2", "G3", "G38.2", "G80", "G81", "G82", "G83", "G84", "G85", "G86", "G87", "G88", "G89"),
    *("G4", "G10", "G28", "G30", "G53", "G92", "G92.1", "G92.2", "G92.3"),
    *("G17", "G18", "G19", "G20", "G21", "G40", "G41", "G42", "G43", "G49"),
    *("G54", "G55", "G56", "G57", "G58", "G59", "G59.1", "G59.2", "G59.3"),
    *("G61", "G61.1", "G64", "G90", "G91", "G93", "G94", "G98", "G99"),
)
M_CODES: Final = ("M0", "M1", "M2", "M30", "M60", "M3", "M4", "M5", "M6", "M7", "M8", "M9", "M48", "M49")

CYCLES: Final = frozenset({"G73", *(f"G{number}" for number in range(81, 90))})
SYSTEMS: Final = ("G54", "G55", "G56", "G57", "G58", "G59", "G59.1", "G59.2", "G59.3")
AXIS_USERS: Final = frozenset({"G10", "G28", "G30", "G52", "G92"})
"""Codes outside the motion group that use axis words."""
HOMES: Final = frozenset({"G28", "G30"})

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


class Beyond(NamedTuple):
    """A word that many controls take and the standard does not have."""

    word: str
    group: str
    what: str


_NEVER_ON = "the end of {}, which is never on here"

BEYOND: Final = (
    Beyond("G9", "exact stop", "an exact stop for one block"),
    Beyond("G52", "once", "a shift of the coordinate systems"),
    Beyond("G54.1", "system", "coordinate systems after the ninth"),
    Beyond("G73", "motion", "a cycle that pecks without leaving the hole"),
    Beyond("M19", "spindle", "the spindle stops at an angle"),
    Beyond("M98", "stop", "the call of a subprogram"),
    Beyond("M99", "stop", "the end of a subprogram"),
    Beyond("G15", "polar end", _NEVER_ON.format("polar coordinates")),
    Beyond("G50", "scaling end", _NEVER_ON.format("scaling")),
    Beyond("G50.1", "mirror end", _NEVER_ON.format("the mirror image")),
    Beyond("G69", "rotation end", _NEVER_ON.format("the rotation")),
    Beyond("G97", "speed mode", "a spindle speed in rev/min, as always here"),
)
"""Everyday words beyond the standard (common practice). They are read with a warning, and refused under ``strict``."""

CYCLE_END: Final = "cycle end"
"""The group of a G80 that stands beside another motion word."""
RETURN_BESIDE: Final = "return beside a motion word"
"""The group that says that G28 or G30 stands beside G0 or G1."""

_BEFORE: Final = {
    "path": tuple(beyond.group for beyond in BEYOND if beyond.group not in ORDER),
    "once": (RETURN_BESIDE,),
    "motion": (CYCLE_END,),
}
OBEYED: Final = tuple(one for group in ORDER for one in (*_BEFORE.get(group, ()), group))
"""All groups in the order in which they are obeyed: the standard's, and between them those of what it does not have."""

OTHERS: Final = {
    "G16": "polar coordinates",
    "G31": "a move that stops at a signal",
    "G44": "a length offset that is subtracted",
    "G51": "scaling",
    "G51.1": "a mirror image",
    "G65": "a macro call",
    "G66": "a macro call",
    "G67": "the end of a macro call",
    "G68": "a rotation of the coordinates",
    "G74": "left-hand tapping",
    "G76": "fine boring",
    "G95": "a feed per revolution",
    "G96": "a constant surface speed",
    "M29": "rigid tapping",
    "M97": "the call of a subprogram by its line",
}
"""Words of other controls that are not taken here, and what they are (common practice)."""

_INSTEAD: Final = {
    "G16": "write each point in X and Y",
    "G44": "write G43 with a length of the other sign in the table",
    "G51": "write the sizes themselves",
    "G51.1": "write the mirrored path itself",
    "G65": "write the moves themselves",
    "G66": "write the moves themselves",
    "G68": "write the turned path itself",
    "G95": "write G94 and F in length a minute: feed per revolution times rev/min",
    "G96": "write S in rev/min",
    "M97": "give the subprogram an O number and call it with M98 P…",
}


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


UNKNOWN: Final = frozenset(one.word for one in DIFFERENCES if one.reason == _UNKNOWN)
"""Words of the standard that pygcode does not know."""


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


@cache
def all_groups() -> dict[str, str]:
    """:func:`groups`, and those of the words beyond the standard."""
    return {**groups(), **{beyond.word: beyond.group for beyond in BEYOND}}


def code(letter: str, value: float) -> str:
    """The G or M word as this room spells it: ``code("G", 1.0)`` is ``"G1"``.

    Raises :class:`Fault` where there is no such word here; a word of other controls is named by what it is.
    """
    tenths = round(value * 10.0) if abs(value) < 1e6 else -1
    whole, rest = divmod(tenths, 10)
    word = f"{letter}{whole}.{rest}" if rest else f"{letter}{whole}"
    exact = abs(value * 10.0 - tenths) <= 1e-3
    if exact and word in OTHERS:
        raise Fault(letter, f"{word} is {OTHERS[word]} on other controls; it is not taken here", _INSTEAD.get(word, ""))
    if not exact or word not in all_groups():
        raise Fault(letter, f"{letter}{value:g} is no word of the language that is known here")
    return word
