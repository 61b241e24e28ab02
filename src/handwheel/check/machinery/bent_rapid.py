"""A rapid as some controls make it: every axis at its own greatest rate, so that the path is bent like a dog's leg."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from handwheel.motion import Kind, Moves
from handwheel.tolerances import CONTACT


def legs(moves: Moves) -> tuple[Moves, Moves, Moves]:
    """The three legs of each rapid, as tables with the same rows.

    All axes start together at the same rate and each stops when it is there: first all, then two, then the last. What
    is no rapid, or runs along one axis alone or all evenly, stands still in these tables.
    """
    way = moves.end - moves.start
    longest = np.sort(np.abs(way), axis=1)
    shorter, longer = longest[:, :2], longest[:, 2:]
    bent = (moves.kind == Kind.RAPID) & ((longer - shorter > CONTACT) & (shorter > CONTACT)).any(axis=1)
    kind = np.where(bent, Kind.RAPID, Kind.DWELL).astype(np.int8)
    points = [moves.start]
    points += [moves.start + np.sign(way) * np.minimum(np.abs(way), longest[:, leg : leg + 1]) for leg in range(3)]
    points[-1] = moves.end
    first, second, third = (
        replace(moves, kind=kind, start=points[leg].copy(), end=points[leg + 1].copy()) for leg in range(3)
    )
    return first, second, third
