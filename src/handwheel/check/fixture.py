"""Does flute, shank or holder run into jaws, bed, parallels, stop or table, and how much room is left?"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from handwheel.check.finding import Finding
from handwheel.check.inspection import Inspection
from handwheel.check.nearest import Hit, Nearest
from handwheel.tolerances import CONTACT, LOW_CLEARANCE

VISE_NAMES = ("fixed jaw", "movable jaw", "bed of the vise")
PARALLEL_NAMES = ("front parallel", "back parallel")
STOP_NAMES = ("work stop",)
TABLE_NAMES = ("table",)


def findings(inspection: Inspection) -> Iterator[Finding]:
    """``cutter-hits-vise``, ``holder-hits-vise``, ``cutter-hits-parallels``, ``cutter-hits-stop``,
    ``cutter-hits-table``, ``low-clearance``.

    One finding for each tool and code. The holder in parallels, stop or table counts as its cutter's hit, since it is
    the tool that is too low.
    """
    yield from _hits(inspection, inspection.near_vise, VISE_NAMES, "cutter-hits-vise", "holder-hits-vise")
    yield from _hits(inspection, inspection.near_parallels, PARALLEL_NAMES, "cutter-hits-parallels")
    yield from _hits(inspection, inspection.near_stop, STOP_NAMES, "cutter-hits-stop")
    yield from _hits(inspection, inspection.near_table, TABLE_NAMES, "cutter-hits-table")
    for near, names in (
        (inspection.near_vise, VISE_NAMES),
        (inspection.near_parallels, PARALLEL_NAMES),
        (inspection.near_stop, STOP_NAMES),
    ):
        approach = near.approach
        if approach is None or near.hits or approach.gap >= LOW_CLEARANCE - CONTACT:
            continue
        yield inspection.finding(
            "low-clearance",
            f"{_part(approach.tool, approach.part)} passes the {names[approach.box]} with only "
            f"{inspection.size(approach.gap)} of air; leave at least {inspection.size(LOW_CLEARANCE)}",
            [approach.row],
        )


def _hits(
    inspection: Inspection, near: Nearest, names: Sequence[str], cutter_code: str, holder_code: str | None = None
) -> Iterator[Finding]:
    groups: dict[tuple[int, str], list[Hit]] = {}
    for hit in near.hits:
        code = holder_code if holder_code and hit.part == "holder" else cutter_code
        groups.setdefault((hit.tool, code), []).append(hit)
    for (_, code), hits in groups.items():
        worst = max(hits, key=lambda hit: hit.lift)
        yield inspection.finding(
            code,
            f"{_part(worst.tool, worst.part)} is {inspection.size(worst.lift)} too low over the {names[worst.box]}",
            [min(hit.first for hit in hits)],
            count=max(hit.rows for hit in hits),
        )


def _part(tool: int, part: str) -> str:
    return f"tool {tool}" if part == "flutes" else f"the {part} of tool {tool}"
