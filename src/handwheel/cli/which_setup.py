"""Which of a job's set-ups a command is about."""

from __future__ import annotations

from collections.abc import Sequence

from handwheel.errors import HandwheelError
from handwheel.setup import Setup


def setup_named(setups: Sequence[Setup], asked: str | None, option: str = "--setup") -> Setup:
    """The set-up of that name, else of that number; the only one where none is asked for. ``option`` asks for it.

    Raises
    ------
    HandwheelError
        Where the job has none such, or several and none was asked for; the message names them.
    """
    names = ", ".join(f"{one.number} ({one.name})" for one in setups)
    if asked is None:
        if len(setups) == 1:
            return setups[0]
        raise HandwheelError(f"the job has {len(setups)} set-ups; say which with {option}: {names}")
    for one in setups:
        if one.name == asked:
            return one
    for one in setups:
        if str(one.number) == asked:
            return one
    raise HandwheelError(f"{option} {asked}: the job has no such set-up; it has {names}")
