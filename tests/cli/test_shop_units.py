"""What the shop holds, each entry in the units it was made in."""

from __future__ import annotations

import re

import pytest
from click.testing import CliRunner

from handwheel.cli import main
from handwheel.shop import load_shop


def _line(name: str, *options: str) -> str:
    shown = CliRunner().invoke(main, ["shop", *options]).output
    return next(line for line in shown.splitlines() if line.split()[:1] == [name])


@pytest.mark.parametrize(
    ("name", "said"),
    [
        # metric screws have whole millimeters a turn, inch screws fifths and tenths (common practice)
        ("knee-mill-metric", "5, 5, 2"),
        ("knee-mill-inch", ".200, .200, .100"),
        ("vise-125mm", "125 wide, 40 high"),
        ("vise-6in", "6.000 wide"),
        ("end-mill-20mm-hss", "20 "),
        ("end-mill-1in-carbide", "1.000"),
        ("parallels-metric", "10, 12, 14"),
        ("steel-s235", "m/min"),
    ],
)
def test_each_entry_is_listed_in_its_own_units(name: str, said: str) -> None:
    assert said in _line(name)


def test_every_entry_named_for_its_unit_is_listed_in_it() -> None:
    held = load_shop()
    named = [name for kind in (held.vise, held.cutter) for name in kind if re.search(r"\d(in|mm)\b", name)]
    assert len(named) > 50
    for name in named:
        unit = "mm" if re.search(r"\dmm\b", name) else "in"
        assert f" {unit} " in _line(name), name


def test_the_units_asked_for_are_everybodys() -> None:
    assert ".1969" in _line("knee-mill-metric", "--units", "in")
