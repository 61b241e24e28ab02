"""What is said of measured parts, in the terminal and on the report."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from handwheel.learn.measure import EDITION, MeasuredSize, Measurements
from handwheel.learn.statistics import FEWEST, Interval
from handwheel.units import Units, shop_number

_DECIMALS: Final = {"in": 5, "mm": 4}


def size_as_measured(length: float, units: Units) -> str:
    """A size with a digit more than a gauge shows, since a mean has it."""
    return shop_number(length, units, _DECIMALS[units])


def index(one: Interval | None) -> str:
    """``1.21 (.87 to 1.55)``; a dash where there are too few parts."""
    return "-" if one is None else f"{one.value:.2f} ({one.low:.2f} to {one.high:.2f})"


def count_of_parts(found: Measurements) -> str:
    """``1 part``, ``2 parts``; and by which rule they are judged, where it is not the drawing's limits."""
    count = len(found.parts)
    return f"{count} part{'' if count == 1 else 's'}" + (f", decided by {EDITION}" if found.guarded else "")


def verdict_in_words(one: MeasuredSize, found: Measurements) -> Iterator[str]:
    """What is to be said of one size, a sentence each: parts that are out, that are too close to call, a trend."""
    units = found.units
    for wanted, said in (
        ("out", "out"),
        (
            "doubtful",
            "too close to call: within what the guard band leaves open"
            if found.guarded
            else f"too close to call with a {one.dimension.gauge} "
            f"(±{size_as_measured(one.uncertainty, units)} {units}): use {_better(one)}",
        ),
    ):
        parts = [part for part, verdict in zip(found.parts, one.verdicts, strict=True) if verdict == wanted]
        if parts:
            more = f" and {len(parts) - 5} more" if len(parts) > 5 else ""
            yield f"{one.name}: {', '.join(parts[:5])}{more}: {said}."
    if one.trend is not None:
        way = "larger" if one.trend > 0 else "smaller"
        step = f"{size_as_measured(abs(one.trend), units)} {units}"
        yield f"{one.name} gets {way} by {step} from part to part: look at wear, warmth and chips before you correct."
    if one.ppk is None and len(one.since) >= 2:
        yield f"{one.name}: no Pp and Ppk from {len(one.since)} parts without a correction; they need {FEWEST}."


def _better(one: MeasuredSize) -> str:
    return "a better gauge" if "micrometer" in one.dimension.gauge else "the micrometer"
