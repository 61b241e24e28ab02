"""What an operator sees, hears and brings to the cut. Source of all of it: common practice."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from handwheel.job import Job
from handwheel.motion import Tool


@dataclass(frozen=True, slots=True)
class Cutting:
    """How a material cuts: its chips, what goes onto the cut where the job wants no coolant, and a sign of trouble;
    ``flood`` is how coolant is brought on where the job wants it, ``caution`` what to heed with either."""

    chips: str
    dry: str
    trouble: str
    flood: str = "coolant on, a steady stream at the cut, splash guards up"
    caution: str = ""


_OIL: Final = "drip cutting oil from a can where the cutter leaves the work, the hand well away"
_DRY: Final = "cut dry; keep the chips away with a brush once the spindle has stopped"

CUTTING: Final[Mapping[str, Cutting]] = {
    "aluminium": Cutting(
        "bright, short curls", _OIL, "smeared metal on the teeth: stop, pick it off the stopped cutter, more oil"
    ),
    "stainless": Cutting("tight curls, hot", _OIL, "squealing means rubbing: keep the feed up, never dwell"),
    "steel": Cutting("short curls, at most straw colored", _OIL, "dark blue chips or a blue edge: too fast"),
    "brass": Cutting("fine needles that fly far", _DRY, "a grab at the start: the tooth bites too much"),
    "cast": Cutting("grey crumbs and dust", _DRY, "a hiss and a bright edge mean a dull cutter"),
    "acetal": Cutting("soft white ribbons", _DRY, "melted edges mean too fast or a dull cutter"),
}
"""By the first word of the material's name."""

_UNBROKEN: Final = "coolant on before the cut, a full flood that never stops while it cuts, splash guards up"
_CRACKS: Final = "cut dry rather than in a broken stream: hot carbide that is cooled now and then cracks"

CARBIDE: Final[Mapping[str, Cutting]] = {
    "stainless": Cutting(
        "tight curls, straw colored to blue",
        _DRY,
        "squealing means rubbing: keep the feed up, never dwell",
        _UNBROKEN,
        _CRACKS,
    ),
    "steel": Cutting(
        "short curls, brown to blue: the chip takes the heat along",
        _DRY,
        "sparks, or a bright ring on the work: a chipped or worn edge, stop and look",
        _UNBROKEN,
        _CRACKS,
    ),
}
"""Where a carbide cutter goes otherwise than one of high-speed steel."""

_OTHER: Final = Cutting("even chips", _OIL, "chatter or a change of note: stop and look")


def cutting(job: Job, tool: Tool) -> Cutting:
    """How the job's material cuts with that cutter."""
    material = job.material_name.split("-")[0]
    usual = CUTTING.get(material, _OTHER)
    return CARBIDE.get(material, usual) if tool.material == "carbide" else usual


TAPPING_OIL: Final = "tapping oil on the tap and into each hole, from a can or a brush"

TURNED_OFF: Final[Mapping[str, str]] = {"flood": "coolant off", "mist": "mist off"}
"""What is said when the spindle stands, by the job's coolant; oil from a can is not turned off."""


def lubricant(job: Job, tool: Tool) -> str:
    """What to bring to the cut."""
    ways = cutting(job, tool)
    return {"flood": ways.flood, "mist": "mist on, aimed at the cut", "off": ways.dry}[job.coolant]
