"""Quantities against pint asked directly, and against NIST SP 811."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pint
import platformdirs
import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel import units
from handwheel.units import quantity, quantity_text

REGISTRY = pint.UnitRegistry()


@pytest.mark.parametrize(
    ("text", "kind", "inside"),
    [
        # NIST SP 811, appendix B.8: inch 2.54 E−02 m (exact), foot 3.048 E−01 m (exact)
        ("1 in", "length", 25.4),
        ("1 ft", "length", 304.8),
        # horsepower (550 ft·lbf/s) 7.456999 E+02 W; pound-force 4.448222 E+00 N
        ("1 hp", "power", 745.6999),
        ("1 lbf", "force", 4.448222),
        # foot per minute 5.08 E−03 m/s (exact), here in m/min
        ("1 ft/min", "cutting speed", 0.3048),
        # psi 6.894757 E+03 Pa, here in N/mm²
        ("1 psi", "pressure", 6.894757e-3),
    ],
)
def test_conversion_factors_are_those_of_nist_sp_811(text: str, kind: str, inside: float) -> None:
    assert quantity(text, kind, "mm") == pytest.approx(inside, rel=1e-6)


@given(st.integers(0, 99), st.integers(1, 63), st.sampled_from(("in", "ft", "mm", "cm", "thou")))
def test_a_mixed_fraction_is_what_pint_makes_of_it(whole: int, top: int, unit: str) -> None:
    expected = REGISTRY.Quantity(whole + top / 64, unit).to("mm").magnitude
    assert quantity(f"{whole}-{top}/64 {unit}", "length", "mm") == pytest.approx(expected, rel=1e-12)


@given(st.decimals(-1000, 1000, allow_nan=False, places=5), st.sampled_from(("in", "mm")))
def test_a_bare_number_is_in_the_units_of_the_job(number: object, units: str) -> None:
    expected = REGISTRY.Quantity(float(number), units).to("mm").magnitude  # type: ignore[arg-type]
    assert quantity(str(number), "length", units) == pytest.approx(expected, rel=1e-12, abs=1e-12)  # type: ignore[arg-type]


@given(st.integers(1, 400))
def test_sixty_fourths_of_an_inch_are_exact_before_the_one_conversion(sixty_fourths: int) -> None:
    exact = Fraction(sixty_fourths, 64) * Fraction(254, 10)
    assert quantity(f"{sixty_fourths}/64", "length", "in") == float(exact)


@given(st.floats(1e-9, 1e4) | st.floats(-1e4, -1e-9) | st.just(0.0))
def test_a_quantity_written_with_its_unit_is_read_back_to_the_same_bits(value: float) -> None:
    assert quantity(quantity_text(value, "length"), "length", "in") == value


@pytest.mark.parametrize("kept", [b"", b"\x80\x05half of it"], ids=["empty", "half written"])
def test_unit_definitions_that_were_kept_badly_are_read_anew(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, kept: bytes
) -> None:
    monkeypatch.setattr(platformdirs, "user_cache_path", lambda *_, **__: tmp_path)
    registry = units._registry.__wrapped__
    assert registry().Quantity(1, "inch").to("mm").magnitude == pytest.approx(25.4)  # NIST SP 811
    files = list(tmp_path.rglob("*.pickle"))
    assert files
    for file in files:
        file.write_bytes(kept)
    assert registry().Quantity(1, "inch").to("mm").magnitude == pytest.approx(25.4)


def test_where_nothing_can_be_kept_units_are_known_all_the_same(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    taken = tmp_path / "a file"
    taken.write_bytes(b"")
    monkeypatch.setattr(platformdirs, "user_cache_path", lambda *_, **__: taken)
    assert units._registry.__wrapped__().Quantity(1, "inch").to("mm").magnitude == pytest.approx(25.4)
