"""An arc whose radius is over 100,000 times its travel is refused with its line."""

from __future__ import annotations

import pytest

from handwheel.motion import Control
from handwheel.rs274 import read


@pytest.mark.parametrize("words", ["R200000", "I0.5 J200000"])
def test_an_arc_flatter_than_any_machine_can_tell_from_a_line_is_refused(words: str) -> None:
    reading = read(f"G21 G90 G17 G40 G94\nF100\nG2 X1 Y0 {words}\nM2\n", Control())
    assert reading.error is not None
    assert reading.error.line == 3
    assert "100,000 times" in str(reading.error)
