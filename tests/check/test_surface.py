"""Gouges and uncut work on a plain block 80 × 60 × 40, its left front top corner at zero, one step wanted at the front.

The step is 10 wide and 12 deep along X: the solid that should be gone ends at Y 10 and Z −12. The job's tolerance for
gouge and left-uncut is 0.02 mm.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from plain_block import END_MILL, TURNING, inspection, joined, moves

from handwheel.check import Finding, findings
from handwheel.check.machinery.residue import off
from handwheel.cut.part import Cut, Part
from handwheel.cut.rays import Rays
from handwheel.path.box import Box
from handwheel.path.meant import Meant

STEP = Box((0.0, 0.0, -12.0), (80.0, 10.0, 0.0))


def step(wall: float = 10.0, floor: float = -12.0):  # type: ignore[no-untyped-def]
    """The step cut in one pass, its wall at that Y and its floor at that Z."""
    return moves((-20.0, wall - 10.0, floor), (100.0, wall - 10.0, floor))


def found(code: str, *tables, **known) -> Finding | None:  # type: ignore[no-untyped-def]
    known.setdefault("intended", (STEP,))
    return next((one for one in findings(inspection(joined(*tables), **known)) if one.code == code), None)


def test_the_step_as_drawn_is_neither_gouged_nor_uncut() -> None:
    assert found("gouge", step()) is None
    assert found("left-uncut", step()) is None


@pytest.mark.parametrize("off_by", [0.019, 0.021, 0.5])
def test_a_wall_is_out_exactly_where_it_is_off_by_more_than_the_tolerance(off_by: float) -> None:
    gouged, uncut = found("gouge", step(10.0 + off_by)), found("left-uncut", step(10.0 - off_by))
    assert (gouged is not None, uncut is not None) == (off_by > 0.02, off_by > 0.02)
    if off_by == 0.5:
        assert gouged is not None
        assert "too deep by 0.5 mm" in gouged.message
        assert uncut is not None
        assert "uncut by 0.5 mm" in uncut.message
        assert uncut.line is None


@pytest.mark.parametrize("off_by", [0.019, 0.021])
def test_a_floor_is_out_exactly_where_it_is_off_by_more_than_the_tolerance(off_by: float) -> None:
    gouged, uncut = found("gouge", step(floor=-12.0 - off_by)), found("left-uncut", step(floor=-12.0 + off_by))
    assert (gouged is not None, uncut is not None) == (off_by > 0.02, off_by > 0.02)


def test_a_wall_is_spoilt_over_its_length_and_height() -> None:
    """80 long and 12 high: 960 mm², less what lies beyond the last rays."""
    gouged = found("gouge", step(10.5))
    assert gouged is not None
    area = float(gouged.message.split("over about ")[1].split(" ")[0])
    assert area == pytest.approx(960.0, rel=0.02)


def test_a_floor_is_spoilt_over_its_width_and_length() -> None:
    gouged = found("gouge", step(floor=-12.4))
    assert gouged is not None
    assert "too deep by 0.4 mm" in gouged.message
    area = float(gouged.message.split("over about ")[1].split(" ")[0])
    assert area == pytest.approx(800.0, rel=0.02)


@pytest.mark.parametrize(("floor", "code", "words"), [(-14.0, "gouge", "too deep"), (-10.0, "left-uncut", "uncut")])
def test_a_narrow_ledge_is_off_by_its_depth_however_narrow_it_is(floor: float, code: str, words: str) -> None:
    """A ledge 1.5 wide, wanted 12 deep: the drawing's size is along Z, and along Z it is 2 off (geometry)."""
    one = found(code, step(1.5, floor), intended=(Box((0.0, 0.0, -12.0), (80.0, 1.5, 0.0)),))
    assert one is not None
    assert f"{words} by 2 mm" in one.message
    assert float(one.message.split("over about ")[1].split(" ")[0]) == pytest.approx(80.0 * 1.5, rel=0.04)


def test_a_wall_that_was_never_finished_is_off_by_what_stands_before_it() -> None:
    """The allowance of 0.25 before the wall, all 12 of its height: across the wall it is 0.25 (geometry)."""
    one = found("left-uncut", step(9.75))
    assert one is not None
    assert "uncut by 0.25 mm" in one.message


TOP = Box((0.0, 0.0, -3.0), (80.0, 60.0, 0.0))
"""What facing ought to take off; the even rays are 80/96 = 0.83 apart."""


def rows(*between: float, low: float = -3.0):  # type: ignore[no-untyped-def]
    """The top milled down in rows of a cutter of 20; each pair of numbers is a strip that is left between two rows."""
    tables, at = [], -1.0
    for start, end in [*zip(between[::2], between[1::2], strict=True), (61.0, 0.0)]:
        while at < start:
            at = min(at + 15.0, start)
            tables.append(moves((-20.0, at - 10.0, low), (100.0, at - 10.0, low)))
        tables.append(moves((-20.0, end + 10.0, low), (100.0, end + 10.0, low)))
        at = end + 20.0
    return tables[:-1]


@pytest.mark.parametrize("wide", [0.03, 0.1, 0.5])
@pytest.mark.parametrize("at", [20.0, 20.2, 20.4, 20.6, 20.8])
def test_a_rib_between_two_rows_is_left_uncut_however_thin_it_is(wide: float, at: float) -> None:
    one = found("left-uncut", *rows(at, at + wide), intended=(TOP,))
    assert one is not None
    assert one.count == 1
    assert one.at is not None
    assert one.at[1] == pytest.approx(at + wide / 2.0, abs=wide / 2.0)


def test_rows_that_overlap_leave_no_rib() -> None:
    assert found("left-uncut", *rows(), intended=(TOP,)) is None


@pytest.mark.parametrize("at", [20.0, 20.2, 20.4, 20.6, 20.8])
@pytest.mark.parametrize("intended", [(TOP,), ()], ids=["a milled top", "a raw top beside the step"])
def test_a_groove_between_two_rays_is_a_gouge(at: float, intended: tuple[Box, ...]) -> None:
    """An engraver of 0.4 mm run 0.1 deep across the top."""
    fine = replace(END_MILL, number=2, diameter=0.4)
    low = -3.0 if intended else 0.0
    line = moves((at, -5.0, low - 0.1), (at, 65.0, low - 0.1), modal=replace(TURNING, tool=2))
    before = rows() if intended else [step()]
    one = found("gouge", *before, line, intended=intended or (STEP,), tools=[END_MILL, fine])
    assert one is not None
    assert "too deep by 0.1 mm" in one.message


def test_the_first_block_that_gouges_is_named_and_the_places_are_counted() -> None:
    hole = moves((40.0, 40.0, 5.0), (40.0, 40.0, -3.0), (40.0, 40.0, 5.0))
    gouged = found("gouge", step(), hole, step(10.1))
    assert gouged is not None
    assert (gouged.line, gouged.count) == (2, 2)
    assert gouged.at is not None
    assert gouged.at[0] == pytest.approx(40.0, abs=10.0)
    assert gouged.at[2] == pytest.approx(-1.5, abs=1e-3)


def test_the_fillet_of_a_corner_radius_is_not_uncut_work_but_a_taller_one_is() -> None:
    """A cutter with a corner radius of 3 leaves a fillet of 3 at the foot of the wall; one of 4 leaves more."""
    stock = Box((0.0, 0.0, -40.0), (80.0, 60.0, 0.0))
    across = Rays(2, [[40.0, 10.0 - 0.3], [40.0, 10.0 - 1.0], [40.0, 10.0 - 3.5]])
    for corner, uncut in ((3.0, False), (4.0, True)):
        bull = replace(END_MILL, shape="corner-radius end mill", corner_radius=corner)
        part = Part(stock, (Cut(step(), {1: bull}),))
        missing, spare = off(part, across, (Meant(STEP, 3.0),))
        assert missing.thickness.max() < 1e-6
        assert (spare.thickness.max() > 0.02) == uncut
        # without a fillet allowed, 0.3 from the wall a radius of 3 stands 3 − √(3² − 2.7²) = 1.6923 high
        _, bare = off(part, across, (Meant(STEP, 0.0),))
        if corner == 3.0:
            assert bare.thickness[0] == pytest.approx(1.6923, abs=1e-4)
            assert bare.thickness[2] == pytest.approx(0.0, abs=1e-9)


def test_a_job_that_plans_nothing_has_no_surface_to_judge() -> None:
    assert found("gouge", step(), intended=()) is None
    assert found("left-uncut", step(), intended=()) is None
