"""What a check says: findings, their codes and their levels, all in this one file."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final, Literal

Level = Literal["stop", "reject", "warn", "note"]
Point = tuple[float, float, float]

RANK: Final[Mapping[str, int]] = MappingProxyType({"stop": 0, "reject": 1, "warn": 2, "note": 3})

_CODES: Final[Mapping[Level, str]] = MappingProxyType(
    {
        # would hurt somebody, the tool, the vise or the machine
        "stop": """cutter-hits-vise cutter-hits-parallels cutter-hits-stop cutter-hits-table holder-hits-work
            holder-hits-vise
            shank-rubs-work rapid-through-work plunge-not-centre-cutting deeper-than-flutes spindle-stopped
            spindle-reversed no-feed no-tool no-length-offset wrong-length-offset beyond-travel bad-block
            feed-far-too-high speed-far-too-high not-held no-hole
            tap-feed-not-pitch tap-bottoms""",
        # the part would not pass
        "reject": "dimension-out gouge left-uncut",
        # an instructor would step in
        "warn": """low-clearance thin-grip overload feed-too-high feed-too-low speed-too-high
            climb-with-backlash wrong-diameter-offset beyond-machine dog-leg low-rapid inside-corner modes-not-set
            other-system shank-beside-wall raw-in-jaws no-rod unspotted-hole
            deep-without-pecks beyond-standard long-dwell compensation-left-on increments-in-force""",
    }
)

LEVELS: Final[Mapping[str, Level]] = MappingProxyType(
    {code: level for level, codes in _CODES.items() for code in codes.split()}
)
"""The level of every code that is more than a note."""


def level_of(code: str) -> Level:
    """The level of a code; whatever is not in the table is a note.

    >>> level_of("gouge"), level_of("a stop for lunch")
    ('reject', 'note')
    """
    return LEVELS.get(code, "note")


@dataclass(frozen=True, slots=True)
class Finding:
    """One cause of trouble.

    ``line`` is the first block concerned (by hand: the action), ``step`` the plan's step, ``at`` the place in the job's
    frame in mm, each ``None`` where there is none; ``count`` how often it happens; ``message`` one sentence for a
    trainee, in the job's units. ``share`` is the part of that block's move (0…1) that is made by then: of several
    bodies that one move runs into, the nearest comes first.
    """

    level: Level
    code: str
    setup: str
    line: int | None
    step: int | None
    at: Point | None
    count: int
    message: str
    share: float = 0.0


CAUSES: Final = (
    "bad-block",
    "increments-in-force",
    "no-tool",
    "other-units",
    "other-system",
    "no-length-offset",
    "wrong-length-offset",
    "wrong-diameter-offset",
)
"""What leads to other trouble from its block on: it is told before what follows from it, whatever its level."""


def in_order(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """A cause before what may follow from it; else the gravest first, by block and along its move; no block last."""
    told = sorted(
        findings,
        key=lambda one: (RANK[one.level], one.line is None, one.line or 0, one.share, one.code, one.message),
    )
    for cause in [one for one in told if one.code in CAUSES]:
        for place, other in enumerate(told):
            if other is cause:
                break
            if other.code not in CAUSES and _may_follow(other, cause):
                told.remove(cause)
                told.insert(place, cause)
                break
    return tuple(told)


def _may_follow(other: Finding, cause: Finding) -> bool:
    """Whether it is trouble, and in a later block than the cause, in the same one, or in none."""
    grave = other.level in ("stop", "reject")
    return grave and (other.line is None or cause.line is None or other.line >= cause.line)
