"""Rapids and stopped cutters through metal thinner than any grid; what is met follows from where the wall is."""

from __future__ import annotations

import math
import random

import numpy as np
import pytest
from milling import Path, tool

from handwheel.check.machinery.thin_metal import struck
from handwheel.cut.part import Part
from handwheel.motion import Kind
from handwheel.path.box import Box

STOCK = Box((0.0, 0.0, -40.0), (240.0, 60.0, 0.0))


def last_depth(path: Path, diameter: float, stock: Box = STOCK) -> float:
    moves = path.moves
    asked = np.zeros(len(moves), dtype=bool)
    asked[-1] = True
    return float(struck(moves, {1: tool(diameter=diameter)}, Part(stock), asked)[-1])


def two_slots(wall: float, at: float, deep: float, diameter: float) -> Path:
    """Two slots along Y with a wall of that thickness between them, its middle at X = ``at``."""
    off = wall / 2.0 + diameter / 2.0
    path = Path(at - off, -20.0, 5.0)
    for x in (at - off, at + off):
        path.to(x, -20.0, 5.0).to(x, -20.0, -deep).to(x, 80.0, -deep).to(x, 80.0, 5.0)
    return path.to(at - off, 80.0, 5.0).to(at - off, 30.0, 5.0).to(at - off, 30.0, -deep)


@pytest.mark.parametrize("seed", range(60))
def test_a_rapid_through_a_wall_of_any_thickness_is_met(seed: int) -> None:
    """The wall stands across the rapid (geometry): hit where the rapid goes through it, free where it stops short."""
    pick = random.Random(seed)
    wall, diameter = math.exp(pick.uniform(math.log(0.02), math.log(1.5))), pick.choice([4.0, 10.0, 16.0])
    at, deep = pick.uniform(60.0, 180.0), pick.uniform(2.0, 20.0)
    off = wall / 2.0 + diameter / 2.0
    y, down = pick.uniform(10.0, 50.0), pick.choice([-deep, -deep / 2.0])
    through = two_slots(wall, at, deep, diameter).to(at - off, y, down)
    assert last_depth(through.to(at + off, y, down, kind=Kind.RAPID), diameter) > 0.0
    short = two_slots(wall, at, deep, diameter).to(at - off, y, down)
    assert last_depth(short.to(at - off, y - 8.0, down, kind=Kind.RAPID), diameter) == 0.0


@pytest.mark.parametrize("seed", range(40))
def test_a_slanting_rapid_in_a_slot_is_free_until_it_shaves_the_wall(seed: int) -> None:
    """A slot along X of the cutter's width: a rapid back along it is free; 0.02 mm off the middle it shaves a wall."""
    pick = random.Random(seed)
    diameter, deep = pick.choice([5.0, 12.0]), pick.uniform(1.0, 20.0)
    y, off = pick.uniform(15.0, 45.0), pick.choice([-1.0, 1.0]) * pick.uniform(0.02, 1.0)

    def slot() -> Path:
        return Path(-20.0, y, -deep).to(260.0, y, -deep)

    assert last_depth(slot().to(-20.0, y, -deep, kind=Kind.RAPID), diameter) == 0.0
    assert last_depth(slot().to(-20.0, y + off, -deep, kind=Kind.RAPID), diameter) > 0.0
    assert last_depth(slot().to(260.0, y, 5.0).to(120.0, y, 5.0).to(120.0, y, -deep, kind=Kind.RAPID), diameter) == 0.0


@pytest.mark.parametrize("thick", [0.02, 0.1, 0.5])
def test_a_round_wall_is_met(thick: float) -> None:
    """A ring left between two circles round one centre (geometry)."""
    radius, diameter = 18.0, 6.0
    inner, outer = radius - thick / 2.0 - 3.0, radius + thick / 2.0 + 3.0
    path = Path(120.0 + outer, 30.0, -5.0).round((120.0, 30.0, 0.0), 2.0 * math.pi)
    path.to(120.0 + outer, 30.0, 5.0).to(120.0 + inner, 30.0, 5.0).to(120.0 + inner, 30.0, -5.0)
    path.round((120.0, 30.0, 0.0), 2.0 * math.pi)
    assert last_depth(path.to(120.0 + outer, 30.0, -5.0, kind=Kind.RAPID), diameter) > 0.0
