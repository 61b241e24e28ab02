"""What is shown when: the route's own time, with waiting shortened, laid out over the film's frames."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from handwheel.motion import Kind, Moves
from handwheel.show.page.timeline import Span

WAY_SHARE: Final = 0.3
"""A second of rapid or of winding counts as so much of a second of feed."""
WAIT_SHARE: Final = 0.1
SHORTEST_WAIT: Final = 1.0
LONGEST_WAIT: Final = 10.0
"""A wait counts as so much of its seconds, of which no less and no more than these; a block that takes no time is
still read."""
LEAST_STEP: Final = 0.4
"""Each step is shown for at least so much of an even share of the film."""
END_SHARE: Final = 0.08
"""How much of the film shows the finished part."""


@dataclass(frozen=True, slots=True)
class Instant:
    """One frame: which span of the route, how much of it is done, and both routes' clocks, s.

    ``move`` and ``done`` tell the metal: all moves before that row are made, and so much of that one.
    """

    span: int
    share: float
    move: int
    done: float
    clock: float
    other_clock: float


def instants(spans: Sequence[Span], other: Sequence[Span], moves: Moves, count: int) -> tuple[Instant, ...]:
    """One for each of ``count`` frames; the first before anything is done, the last with everything done.

    ``other`` is the other route, whose clock is told step by step, in proportion.
    """
    if not spans:
        return tuple(Instant(-1, 0.0, -1, 1.0, 0.0, 0.0) for _ in range(count))
    weights = _weights(spans, moves)
    begins = np.concatenate([[0.0], np.cumsum(weights)])
    real = np.concatenate([[0.0], np.cumsum([span.seconds for span in spans])])
    running = max(2, count - round(count * END_SHARE))
    at = np.minimum(np.arange(count) / (running - 1), 1.0) * begins[-1]
    elsewhere = _Elsewhere(spans, other)
    rows = np.maximum.accumulate([span.row for span in spans])
    shown = []
    for time in at.tolist():
        span = min(int(np.searchsorted(begins, time, side="right")) - 1, len(spans) - 1)
        share = min(1.0, (time - begins[span]) / weights[span]) if weights[span] > 0 else 1.0
        clock = float(real[span] + share * spans[span].seconds)
        moving = spans[span].row >= 0
        shown.append(
            Instant(
                span=span,
                share=float(share),
                move=int(rows[span]),
                done=float(share) if moving else 1.0,
                clock=clock,
                other_clock=elsewhere.at(spans[span].step, clock),
            )
        )
    return tuple(shown)


def _weights(spans: Sequence[Span], moves: Moves) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    weights = np.empty(len(spans))
    for index, span in enumerate(spans):
        if span.row >= 0 and moves.kind[span.row] in (Kind.FEED, Kind.ARC):
            weights[index] = span.seconds
        elif span.row >= 0:
            weights[index] = WAY_SHARE * span.seconds
        else:
            weights[index] = WAIT_SHARE * min(max(span.seconds, SHORTEST_WAIT), LONGEST_WAIT)
    weights = np.maximum(weights, 1e-6)
    steps = np.array([span.step for span in spans])
    least = LEAST_STEP * weights.sum() / len(set(steps.tolist()))
    for step in set(steps.tolist()):
        here = steps == step
        weights[here] *= max(1.0, least / weights[here].sum())
    return weights


class _Elsewhere:
    """The other route's clock: where it would be with as much of the step done."""

    def __init__(self, spans: Sequence[Span], other: Sequence[Span]) -> None:
        self._ours, self._theirs = _by_step(spans), _by_step(other)

    def at(self, step: int, clock: float) -> float:
        """Seconds, while this route's clock stands at ``clock`` in ``step``."""
        if step not in self._theirs:
            earlier = [end for number, (_, end) in self._theirs.items() if number < step]
            return max(earlier, default=0.0)
        (start, end), (their_start, their_end) = self._ours[step], self._theirs[step]
        share = (clock - start) / (end - start) if end > start else 1.0
        return their_start + share * (their_end - their_start)


def _by_step(spans: Sequence[Span]) -> dict[int, tuple[float, float]]:
    """When each step begins and ends, s."""
    found: dict[int, tuple[float, float]] = {}
    clock = 0.0
    for span in spans:
        start, _ = found.get(span.step, (clock, clock))
        clock += span.seconds
        found[span.step] = (start, clock)
    return found
