import math

import pytest
from milling import Path, cut, tool

from handwheel.cut.heightmap import height_map


def test_a_slot_is_cut_over_the_cutters_whole_width() -> None:
    path = Path(-20.0, 30.0, -4.0).to(40.0, 30.0, -4.0).to(120.0, 30.0, -4.0)
    engaged = height_map(cut(path, tool()), 0.2).engagement
    assert engaged.depth == pytest.approx([4.0, 4.0])
    assert engaged.width == pytest.approx([10.0, 10.0], abs=engaged.width_error)
    # the first move also cuts half the cutter's circle at its end
    assert engaged.volume[0] == pytest.approx(4.0 * (40.0 * 10.0 + math.pi * 25.0 / 2.0), rel=0.01)
    assert engaged.volume.sum() == pytest.approx(4.0 * 100.0 * 10.0, rel=0.01)


def test_a_side_is_cut_over_the_width_that_the_cutter_overlaps_it() -> None:
    path = Path(-20.0, -3.0, -8.0).to(120.0, -3.0, -8.0).to(120.0, -2.5, -8.0).to(-20.0, -2.5, -8.0)
    engaged = height_map(cut(path, tool()), 0.1).engagement
    assert engaged.depth == pytest.approx([8.0, 0.0, 8.0])
    assert engaged.width == pytest.approx([2.0, 0.0, 0.5], abs=engaged.width_error)
    assert engaged.volume == pytest.approx([1600.0, 0.0, 400.0], rel=0.01)


def test_a_pass_over_air_or_over_what_is_already_cut_has_nothing_in_the_cut() -> None:
    path = Path(-20.0, 30.0, -4.0).to(120.0, 30.0, -4.0).to(120.0, 30.0, 10.0).to(-20.0, 30.0, 10.0)
    engaged = height_map(cut(path.to(-20.0, 30.0, -4.0).to(120.0, 30.0, -4.0), tool()), 0.5).engagement
    assert engaged.volume[1:] == pytest.approx([0.0] * 4)
    assert engaged.width[1:] == pytest.approx([0.0] * 4)
    assert engaged.depth[1:] == pytest.approx([0.0] * 4)


@pytest.mark.parametrize("turn", [math.pi, -math.pi])
def test_round_a_boss_the_width_is_measured_square_to_the_arc(turn: float) -> None:
    # half round the end of a tongue 30 wide left by a first cut, 1.5 mm deeper into it
    first = Path(70.0, 30.0, -4.0).round((50.0, 30.0, 0.0), turn)
    both = first.to(68.5 if turn == 0 else 31.5, 30.0, -4.0).round((50.0, 30.0, 0.0), turn)
    engaged = height_map(cut(both, tool()), 0.1).engagement
    assert engaged.width[0] == pytest.approx(10.0, abs=engaged.width_error)


def test_a_plunge_is_as_wide_as_the_cutter_and_as_deep_as_it_goes() -> None:
    engaged = height_map(cut(Path(50.0, 30.0, 5.0).to(50.0, 30.0, -7.0), tool()), 0.1).engagement
    assert engaged.depth == pytest.approx([7.0])
    assert engaged.width == pytest.approx([10.0], abs=2.0 * engaged.width_error)
    assert engaged.volume == pytest.approx([7.0 * math.pi * 25.0], rel=0.01)
