"""What the sheet says of chips and coolant, against what every lab tells its trainees. Source: common practice."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from jobs import Draft, sides

from handwheel.hand.expect import cutting, lubricant
from handwheel.job import Job
from handwheel.motion import Tool


def _with(material: str, cutter: str, coolant: str = "flood") -> tuple[Job, Tool]:
    draft: Draft = sides("front")
    tool: dict[str, Any] = {**draft.tools[0], "material": cutter}
    job = replace(draft, material=material, tools=(tool,), extra=f'coolant = "{coolant}"').job()
    return job, job.tool(1)


@pytest.mark.parametrize("material", ["steel-s235", "steel-4140", "stainless-304"])
def test_blue_chips_are_as_they_should_be_for_carbide_in_steel(material: str) -> None:
    said = cutting(*_with(material, "carbide"))
    assert "blue" in said.chips
    assert "blue" not in said.trouble


def test_blue_chips_are_too_fast_for_high_speed_steel() -> None:
    said = cutting(*_with("steel-s235", "HSS"))
    assert "blue" not in said.chips
    assert "blue chips" in said.trouble


@pytest.mark.parametrize("material", ["steel-s235", "stainless-304"])
def test_carbide_in_steel_is_cut_dry_or_in_a_flood_that_never_breaks_off(material: str) -> None:
    """Cooled now and then, the hot edges crack: a milling cut is broken as it is."""
    assert "never stops" in lubricant(*_with(material, "carbide"))
    assert "cut dry" in cutting(*_with(material, "carbide")).caution
    assert lubricant(*_with(material, "carbide", "off")).startswith("cut dry")


def test_high_speed_steel_in_steel_gets_oil_where_there_is_no_coolant() -> None:
    assert "cutting oil" in lubricant(*_with("steel-s235", "HSS", "off"))
    assert "steady stream" in lubricant(*_with("steel-s235", "HSS"))
