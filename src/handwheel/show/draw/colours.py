"""Colour has one meaning, which step; it is always doubled by the step's number.

The palette is safe for colour-blind readers. Source: M. Okabe and K. Ito, *Color Universal Design* (2008), without its
black, which is ink here, and its yellow, which is lost on white paper.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Final

from handwheel.show.draw.lines import FEEDS, LineKind

STEP_COLOURS: Final = ("#0072B2", "#D55E00", "#009E73", "#CC79A7", "#E69F00", "#56B4E9")
"""Blue, vermilion, bluish green, reddish purple, orange, sky blue."""
NO_STEP: Final = "#555555"
"""For what belongs to no step."""


def by_step(steps: Iterable[int]) -> Mapping[int, str]:
    """A colour for each step number, in the order of the steps; they start again after the sixth.

    >>> by_step([5, 2])
    {2: '#0072B2', 5: '#D55E00'}
    """
    return {step: STEP_COLOURS[index % len(STEP_COLOURS)] for index, step in enumerate(sorted(set(steps)))}


def feed_by_step(steps: Iterable[int]) -> Mapping[int, LineKind]:
    """The line for each step's feeds: steps of one colour differ in it.

    >>> [line.width for line in feed_by_step(range(1, 8)).values()]
    [0.4, 0.4, 0.4, 0.4, 0.4, 0.4, 0.9]
    """
    return {step: FEEDS[index // len(STEP_COLOURS) % len(FEEDS)] for index, step in enumerate(sorted(set(steps)))}
