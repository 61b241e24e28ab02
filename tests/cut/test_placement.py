import itertools

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from milling import BLOCK, Path, tool

from handwheel.cut.part import Cut, Part
from handwheel.cut.rays import Rays, left
from handwheel.path.box import Box
from handwheel.path.placement import Placement


def quarter_turns() -> list[tuple[tuple[int, int, int], ...]]:
    """Every way to stand a block on a table: 24 of them."""
    found = []
    for order in itertools.permutations(range(3)):
        for signs in itertools.product((1, -1), repeat=3):
            matrix = np.zeros((3, 3), dtype=int)
            for row, (column, sign) in enumerate(zip(order, signs, strict=True)):
                matrix[row, column] = sign
            if round(float(np.linalg.det(matrix))) == 1:
                found.append(tuple(tuple(int(n) for n in row) for row in matrix))
    return found


placements = st.builds(Placement, st.sampled_from(quarter_turns()), st.tuples(*[st.integers(-50, 50).map(float)] * 3))


def test_a_block_can_stand_in_24_ways_and_never_as_its_mirror_image() -> None:
    assert len(quarter_turns()) == 24
    with pytest.raises(ValueError, match="quarter turns"):
        Placement(((-1, 0, 0), (0, 1, 0), (0, 0, 1)))
    with pytest.raises(ValueError, match="quarter turns"):
        Placement(((1, 1, 0), (0, 1, 0), (0, 0, 1)))


@given(placements, placements, st.tuples(*[st.integers(-20, 20).map(float)] * 3))
def test_there_and_back_is_where_one_was(one: Placement, other: Placement, point: tuple[float, float, float]) -> None:
    assert one.inverse().point(one.point(point)) == point
    assert one.after(other).point(point) == one.point(other.point(point))
    assert one.after(one.inverse()).is_identity


@pytest.mark.parametrize("rotation", quarter_turns())
def test_a_slot_is_the_same_slot_however_the_block_stands(rotation: tuple) -> None:
    placement = Placement(rotation, (7.0, -3.0, 11.0))
    # a set-up's slot, and the block that stands there as the part's
    path = Path(20.0, 30.0, 5.0).to(20.0, 30.0, -6.0).to(70.0, 35.0, -6.0)
    there = Part(BLOCK, (Cut(path.moves, {1: tool()}),))
    here: Box = placement.inverse().box(BLOCK)
    part = Part(here, (Cut(path.moves, {1: tool()}, placement),))
    random = np.random.default_rng(1)
    for axis in range(3):
        other = [k for k in range(3) if k != axis]
        onto, sign = placement.axis(axis)
        placed = np.array([placement.point(tuple(point)) for point in random.uniform(here.low, here.high, (60, 3))])
        back = np.array([placement.inverse().point(tuple(point)) for point in placed])
        others = [k for k in range(3) if k != onto]
        ours = left(part, Rays(axis, back[:, other]))
        theirs = left(there, Rays(onto, placed[:, others]))
        for ray in range(60):
            expected = theirs.of(ray)
            if sign < 0:
                expected = -expected[::-1, ::-1]
            shift = placement.shift[onto] * sign
            assert ours.of(ray) == pytest.approx(expected - shift, abs=1e-9)
