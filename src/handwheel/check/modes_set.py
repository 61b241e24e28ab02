"""Does the program say that it counts from the job's zero, and in the job's units?"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from handwheel.check.finding import Finding, level_of
from handwheel.check.inspection import Inspection

UNITS: Final = {"G20": ("in", "inches"), "G21": ("mm", "millimeters")}


def findings(inspection: Inspection) -> Iterator[Finding]:
    """``other-system``, ``modes-not-set`` where no zero is called, and ``other-units``; by program only."""
    called = inspection.called
    if called is None or not len(inspection.moves):
        return
    system = inspection.setup.entry.origin
    systems = {word: line for word, line in called.items() if word not in UNITS}
    others = {word: line for word, line in systems.items() if word != system}
    if others:
        words = ", ".join(others)
        yield _told(
            inspection,
            "other-system",
            f"the program counts in {words}, but the job's zero is set in {system}: write {system}, or set the same "
            f"zero in {words}",
            min(others.values()),
        )
    elif not systems:
        message = f"the program never says which coordinate system it counts in: write {system}"
        yield _told(inspection, "modes-not-set", message, int(inspection.moves.line[0]))
    job = dict(UNITS.values())[inspection.job.units]
    for word, (units, name) in UNITS.items():
        if word in called and units != inspection.job.units:
            message = f"the program is in {name} ({word}), the job in {job}: the numbers on sheet and program differ"
            yield _told(inspection, "other-units", message, called[word])


def _told(inspection: Inspection, code: str, message: str, line: int) -> Finding:
    return Finding(level_of(code), code, inspection.setup.name, line, None, None, 1, message)
