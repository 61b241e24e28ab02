"""Root-sum-square of the causes, and simulated parts through the same geometry."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np
from numpy.typing import NDArray

from handwheel.job import Dimension
from handwheel.plan import Plan, Route
from handwheel.proof.arithmetic import Leg, measured
from handwheel.proof.budget.causes import Cause, causes_by_hand, causes_by_program
from handwheel.proof.budget.inputs import Inputs
from handwheel.proof.budget.model import Budget, Share
from handwheel.proof.legs import is_reckoned, legs_by_hand, legs_by_program, strokes_only
from handwheel.proof.routes import Routes
from handwheel.setup import Setup
from handwheel.tolerances import CONTACT

Floats = NDArray[np.float64]

PARTS: Final = 20_000
"""So many parts are simulated: shares out of limits to about a third of a per cent."""

AT_ONCE: Final = 2_000
SEED: Final = 20_000_131
PROBE: Final = 1e-3
"""A cause is moved by so much, mm, to see what a size does, where it has no width of its own."""


def budget(setup: Setup) -> tuple[Budget, ...]:
    """The errors of every size that arithmetic reckons, by hand and by program, in the order of the job's dimensions.

    Every input is taken to lie anywhere within its limits alike, so that its standard uncertainty is its half-width by
    the root of 3 (JCGM 100:2008, 4.3.7, from memory). The blank is taken to be as the job says.
    """
    routes, inputs = Routes(setup), Inputs(setup.job)
    by_hand = strokes_only(legs_by_hand(routes))
    by_program = legs_by_program(routes)
    made = (
        _Parts(setup, Route.BY_HAND, by_hand, tuple(causes_by_hand(routes, inputs, by_hand))),
        _Parts(setup, Route.BY_PROGRAM, by_program, tuple(causes_by_program(routes, inputs, by_program))),
    )
    plans = {Route.BY_HAND: routes.by_hand, Route.BY_PROGRAM: routes.by_program}
    return tuple(
        _budget(parts, index, size, plans[parts.route])
        for index, size in enumerate(setup.dimensions)
        if is_reckoned(routes, size)
        for parts in made
    )


def _budget(parts: _Parts, index: int, size: Dimension, plan: Plan) -> Budget:
    shares = _shares(parts, size)
    found = parts.simulated[:, index]
    planned = float(parts.sizes(size, np.zeros((1, len(parts.causes))))[0])
    taken = (step.number for step in plan.steps if any(one.dimension == size.name for one in step.measuring))
    measured_in = next(taken, None)
    corrected = found - float(found.mean()) + planned
    return Budget(
        dimension=size.name,
        route=parts.route,
        planned=planned,
        lower=size.lower,
        upper=size.upper,
        shares=shares,
        shift=sum(share.shift for share in shares),
        spread=math.hypot(*(share.spread for share in shares)),
        simulated_spread=float(np.std(found)),
        out_of_limits=_out(size, found),
        out_if_corrected=None if measured_in is None else _out(size, corrected),
        measured_in=measured_in,
    )


def _out(size: Dimension, found: Floats) -> float:
    """The share of parts out of limits."""
    return 1.0 - float(((found >= size.lower - CONTACT) & (found <= size.upper + CONTACT)).mean())


def _shares(parts: _Parts, size: Dimension) -> tuple[Share, ...]:
    """The causes of a size, those with one name together."""
    means = np.array([cause.mean for cause in parts.causes])
    steps = np.array([cause.given.value or PROBE for cause in parts.causes])
    off = np.diag(steps)
    enters = (parts.sizes(size, means + off) - parts.sizes(size, means - off)) / (2 * steps)
    groups: dict[str, list[int]] = {}
    for index, cause in enumerate(parts.causes):
        groups.setdefault(cause.given.name, []).append(index)
    shares = []
    for name, group in groups.items():
        counted = [index for index in group if abs(enters[index]) > 1e-9]
        widest = max(counted or group, key=lambda index: abs(parts.causes[index].given.value))
        shares.append(
            Share(
                name=name,
                value=parts.causes[widest].given.value,
                enters=tuple(float(enters[index]) for index in counted),
                shift=sum(float(enters[index]) * parts.causes[index].mean for index in counted),
                spread=math.hypot(
                    *(float(enters[index]) * parts.causes[index].width / math.sqrt(3) for index in counted)
                ),
                source=parts.causes[widest].given.source,
            )
        )
    return tuple(shares)


@dataclass(frozen=True)
class _Parts:
    """Parts made by one route, each with its own errors."""

    setup: Setup
    route: Route
    legs: Sequence[Leg]
    causes: tuple[Cause, ...]

    @cached_property
    def simulated(self) -> Floats:
        """(PARTS, d) mm; every dimension of every simulated part."""
        return np.concatenate(list(self._some()))

    def _some(self) -> Iterator[Floats]:
        random = np.random.default_rng(SEED)
        means = np.array([cause.mean for cause in self.causes])
        widths = np.array([cause.width for cause in self.causes])
        for _ in range(0, PARTS, AT_ONCE):
            errors = means + widths * random.uniform(-1.0, 1.0, (AT_ONCE, len(self.causes)))
            low, high, zero = self._corners(errors)
            yield np.column_stack([self._measured(size, low, high, zero) for size in self.setup.dimensions])

    def sizes(self, size: Dimension, errors: Floats) -> Floats:
        """(n,) mm; one dimension of n parts with the (n, c) errors of their causes."""
        return self._measured(size, *self._corners(errors))

    def _measured(self, size: Dimension, low: Floats, high: Floats, zero: Floats) -> Floats:
        return measured(size, self.setup.raw, low, high, zero["xyz".index(size.axis)])

    def _corners(self, errors: Floats) -> tuple[Floats, Floats, Floats]:
        """(n, m, 3) corners of what each of m strokes clears, and (3, n) where the faces that make zero stand."""
        count = len(self.legs)
        moves = np.array([cause.moves for cause in self.causes]).reshape(len(self.causes), count * 4)
        by = (errors @ moves).reshape(len(errors), count, 4)
        corners = [leg.cleared() for leg in self.legs]
        low = np.array([one for one, _ in corners]).reshape(count, 3) + by[:, :, :3]
        high = np.array([one for _, one in corners]).reshape(count, 3) + by[:, :, :3]
        for index, leg in enumerate(self.legs):
            if leg.edge is not None:
                across = 1 - leg.axis
                low[:, index, across] -= by[:, index, 3]
                high[:, index, across] += by[:, index, 3]
        zero = np.array([self._zero(axis, low, high) for axis in (0, 1, 2)])
        return low, high, zero

    def _zero(self, axis: int, low: Floats, high: Floats) -> Floats:
        """Where the face that makes an axis' zero stands: a step is measured from the face itself."""
        face = getattr(self.setup.zero, "xyz"[axis])
        edge = None if axis == 2 else face
        corner = high if face in ("left", "front") else low
        corners = [leg.cleared() for leg in self.legs]
        meant = [(one if corner is low else other)[axis] for one, other in corners]
        makers = [i for i, leg in enumerate(self.legs) if leg.edge == edge and abs(meant[i]) <= CONTACT]
        if face in ("centre", "bottom") or not makers:
            return np.zeros(len(low))
        # of several strokes at one figure the deepest counts
        stands = corner[:, makers, axis]
        return np.asarray(stands.max(axis=1) if corner is high else stands.min(axis=1))
