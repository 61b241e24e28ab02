"""Threads by name: what they measure, and what is drilled for them."""

from __future__ import annotations

import pytest

from handwheel.shop import load_shop
from handwheel.shop.threads import called

THREADS = load_shop().thread
INCH = 25.4


@pytest.mark.parametrize(
    ("name", "diameter", "pitch", "drill", "percent"),
    [
        # ISO 261, ISO 2306, ASME B1.1, Machinery's Handbook, tap drill sizes (all from memory)
        ("M3", 3.0, 0.5, 2.5, 77),
        ("M4", 4.0, 0.7, 3.3, 77),
        ("M5", 5.0, 0.8, 4.2, 77),
        ("M6", 6.0, 1.0, 5.0, 77),
        ("M8", 8.0, 1.25, 6.8, 74),
        ("M10", 10.0, 1.5, 8.5, 77),
        ("M12", 12.0, 1.75, 10.2, 79),
        ("#10-24", 0.190 * INCH, INCH / 24, 0.1495 * INCH, 75),
        ("#10-32", 0.190 * INCH, INCH / 32, 0.1590 * INCH, 76),
        ("1/4-20", 0.250 * INCH, INCH / 20, 0.2010 * INCH, 75),
        ("1/4-28", 0.250 * INCH, INCH / 28, 0.2130 * INCH, 80),
        ("5/16-18", 0.3125 * INCH, INCH / 18, 0.2570 * INCH, 77),
        ("5/16-24", 0.3125 * INCH, INCH / 24, 0.2720 * INCH, 75),
        ("3/8-16", 0.375 * INCH, INCH / 16, 0.3125 * INCH, 77),
        ("1/2-13", 0.500 * INCH, INCH / 13, 27 / 64 * INCH, 78),
    ],
)
def test_a_thread_has_the_handbook_s_pitch_and_tap_drill(
    name: str, diameter: float, pitch: float, drill: float, percent: int
) -> None:
    own = called(name, THREADS)
    assert own is not None
    thread = THREADS[own]
    assert thread.diameter == pytest.approx(diameter, abs=1e-9)
    assert thread.pitch == pytest.approx(pitch, abs=1e-9)
    assert thread.tap_drill == pytest.approx(drill, abs=1e-9)
    assert round(thread.percent(thread.tap_drill)) == percent


@pytest.mark.parametrize(
    ("name", "minor", "pitch_diameter"),
    # minor diameter of the nut and pitch diameter: ISO 724 table; ASME B1.1 basic dimensions (from memory)
    [("M6", 4.917, 5.350), ("M8", 6.647, 7.188), ("M10x1.25", 8.647, 9.188), ("1/4-20", 0.1959 * INCH, 0.2175 * INCH)],
)
def test_minor_and_pitch_diameter_are_the_standard_s(name: str, minor: float, pitch_diameter: float) -> None:
    thread = THREADS[called(name, THREADS) or ""]
    assert thread.minor == pytest.approx(minor, abs=1.3e-3)
    assert thread.pitch_diameter == pytest.approx(pitch_diameter, abs=1.3e-3)


@pytest.mark.parametrize("name", THREADS)
def test_every_tap_drill_leaves_a_thread_that_holds_and_a_tap_that_turns(name: str) -> None:
    """From 60 to 90 percent of a full thread (common practice)."""
    thread = THREADS[name]
    assert 60 <= thread.percent(thread.tap_drill) <= 90
    assert called(name, THREADS) == name


@pytest.mark.parametrize("name", ["M7x0.33", "1/4-21", "1/4-20 UNF", "UNC", "", "M", "x1", "3/8"])
def test_a_thread_that_is_not_in_the_table_is_not_found(name: str) -> None:
    assert called(name, THREADS) is None
