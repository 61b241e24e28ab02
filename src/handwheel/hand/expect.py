"""What an operator sees, hears and brings to the cut. Source of all of it: common practice."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from handwheel.job import Job


@dataclass(frozen=True, slots=True)
class Cutting:
    """How a material cuts: its chips, what goes onto the cut where the job wants no coolant, and a sign of trouble."""

    chips: str
    dry: str
    trouble: str


_OIL: Final = "drip cutting oil from a can where the cutter leaves the work, the hand well away"
_DRY: Final = "cut dry; keep the chips away with a brush once the spindle stands"

CUTTING: Final[Mapping[str, Cutting]] = {
    "aluminium": Cutting(
        "bright, short curls", _OIL, "smeared metal on the teeth: stop, pick it off the standing cutter, more oil"
    ),
    "stainless": Cutting("tight curls, hot", _OIL, "squealing means rubbing: keep the feed up, never dwell"),
    "steel": Cutting("short curls, at most straw coloured", _OIL, "dark blue chips or a blue edge: too fast"),
    "brass": Cutting("fine needles that fly far", _DRY, "a grab at the start: the tooth bites too much"),
    "cast": Cutting("grey crumbs and dust", _DRY, "a hiss and a bright edge mean a dull cutter"),
    "acetal": Cutting("soft white ribbons", _DRY, "melted edges mean too fast or a dull cutter"),
}
"""By the first word of the material's name."""

_OTHER: Final = Cutting("even chips", _OIL, "chatter or a change of note: stop and look")


def cutting(job: Job) -> Cutting:
    """How the job's material cuts."""
    return CUTTING.get(job.material_name.split("-")[0], _OTHER)


TURNED_OFF: Final[Mapping[str, str]] = {"flood": "coolant off", "mist": "mist off"}
"""What is said when the spindle stands, by the job's coolant; oil from a can is not turned off."""


def lubricant(job: Job) -> str:
    """What to bring to the cut."""
    return {
        "flood": "coolant on, a steady stream at the cut, splash guards up",
        "mist": "mist on, aimed at the cut",
        "off": cutting(job).dry,
    }[job.coolant]
