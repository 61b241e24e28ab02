"""What holds the work, on a plain block 80 × 60 × 40 in the 125 mm vise on parallels; and what the reader noted."""

from __future__ import annotations

from dataclasses import replace

import pytest
from plain_block import END_MILL, codes, inspection, moves

from handwheel.check import clearances, findings
from handwheel.errors import ProgramError
from handwheel.rs274 import Note

OFF = (200.0, -200.0, 40.0)
SLIM = replace(END_MILL, shape="drill", diameter=4.0, shank=4.0, flute_length=60.0, reach=90.0, holder_diameter=30.0)


def test_a_drill_that_runs_on_below_the_work_is_found_in_the_parallels() -> None:
    """Beside the block, over the end of the front parallel: 2 mm below its top."""
    setup = inspection(moves(OFF, OFF)).setup
    front = setup.parallels[0]
    x, y = front.low[0] + 5.0, front.centre[1]
    down = moves((x, y, 10.0), (x, y, front.high[2] - 2.0))
    of = inspection(down, tools=(SLIM,))
    (one,) = (found for found in findings(of) if found.level == "stop" and found.code != "wrong-length-offset")
    assert (one.code, one.line, one.count) == ("cutter-hits-parallels", 1, 1)
    assert one.message == "tool 1 is 2 mm too low over the front parallel"
    assert clearances(of).parallels == pytest.approx(-2.0, abs=1e-9)


def test_a_tool_driven_into_the_table_is_found() -> None:
    table = inspection(moves(OFF, OFF)).setup.table
    down = moves(OFF, (200.0, -200.0, table.high[2] - 1.0))
    assert codes(inspection(down)) == ["cutter-hits-table"]
    assert clearances(inspection(down)).table == pytest.approx(-1.0, abs=1e-9)


def test_a_holder_in_the_vise_is_told_apart_from_the_cutter() -> None:
    """The cutter passes 15 before the fixed jaw's end, the holder, 50 wide, reaches 10 over it and 3 below its top."""
    jaw = inspection(moves(OFF, OFF)).setup.fixed_jaw
    x, z = jaw.low[0] - 15.0, jaw.high[2] - 3.0 - END_MILL.reach
    of = inspection(moves((x, jaw.centre[1], z + 60.0), (x, jaw.centre[1], z)))
    (one,) = (found for found in findings(of) if found.code == "holder-hits-vise")
    assert one.message == "the holder of tool 1 is 3 mm too low over the fixed jaw"
    assert "cutter-hits-vise" not in codes(of)


def test_each_tool_is_a_cause_of_its_own_and_its_moves_are_counted() -> None:
    jaw = inspection(moves(OFF, OFF)).setup.fixed_jaw
    z, y = jaw.high[2] - 1.0, jaw.centre[1]
    through = moves((0.0, y, z), (10.0, y, z), (20.0, y, z - 1.0), (20.0, y, z + 30.0))
    (one,) = (found for found in findings(inspection(through)) if found.code == "cutter-hits-vise")
    assert (one.count, one.line) == (3, 1)
    assert "2 mm too low over the fixed jaw" in one.message


def test_what_the_reader_noted_is_handed_on_with_its_level() -> None:
    notes = (Note("modes-not-set", 3, "units were never set", 2), Note("empty-slot", 4, "D9 has no entry"))
    error = ProgramError(9, 5, "G2 X1", "an arc needs its centre or its radius")
    of = replace(inspection(moves(OFF, OFF)), notes=notes, error=error)
    told = [(one.level, one.code, one.line, one.count) for one in findings(of)]
    assert told == [("stop", "bad-block", 9, 1), ("warn", "modes-not-set", 3, 2), ("note", "empty-slot", 4, 1)]


def test_of_two_bodies_met_on_one_way_down_the_nearer_is_told_first() -> None:
    """Straight down through the front parallel to the table: the parallel stands on it (geometry)."""
    setup = inspection(moves(OFF, OFF)).setup
    front = setup.parallels[0]
    x, y = front.low[0] + 5.0, front.centre[1]
    of = inspection(moves((x, y, 10.0), (x, y, setup.table.high[2] - 1.0)), tools=(SLIM,))
    told = [one for one in findings(of) if one.code in ("cutter-hits-parallels", "cutter-hits-table")]
    assert [one.code for one in told] == ["cutter-hits-parallels", "cutter-hits-table"]
    length = 10.0 - setup.table.high[2] + 1.0
    assert told[0].share == pytest.approx((10.0 - front.high[2]) / length, abs=1e-6)
