"""What stands round the work, what hangs in the spindle, and how the scales are divided."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from handwheel.hand.scales import Scales
from handwheel.motion import Kind, Moves, Tool
from handwheel.path.box import Box
from handwheel.setup import Setup
from handwheel.show.draw.cutters import outline
from handwheel.show.page.packing import number
from handwheel.show.page.timeline import Span
from handwheel.units import shop_number


def boxes(setup: Setup) -> dict[str, Any]:
    """Vise, parallels and raw work, each as its two corners."""

    def corners(box: Box) -> list[list[float | None]]:
        return [[number(value) for value in corner] for corner in (box.low, box.high)]

    return {
        "work": corners(setup.raw),
        "fixedJaw": corners(setup.fixed_jaw),
        "movableJaw": corners(setup.movable_jaw),
        "bed": corners(setup.bed),
        "parallels": [corners(box) for box in setup.parallels],
        "jawTop": number(setup.jaw_top),
    }


def set_up_words(setup: Setup) -> dict[str, str]:
    """The sizes that the end view shows."""
    sizes = {
        "stickOut": setup.stick_out,
        "grip": setup.grip,
        "parallel": setup.parallel_height,
    }
    return {name: shop_number(length, setup.job.units) for name, length in sizes.items()}


def cutters(tools: Iterable[Tool]) -> dict[str, Any]:
    """Half the outline of each tool, radius and height above the tip, from the tip up; how many of the points are
    flutes is told by their length."""
    found: dict[str, Any] = {}
    for tool in tools:
        points = outline(tool)
        half = points[: len(points) // 2]
        found[str(tool.number)] = {
            "profile": [[number(radius), number(height)] for radius, height in half.tolist()],
            "flutes": tool.flutes,
            "fluteLength": number(min(tool.flute_length, tool.reach)),
            "diameter": number(tool.diameter),
        }
    return found


def finders(diameters: Mapping[int, float]) -> dict[str, Any]:
    """Edge finders: plain pins."""
    found: dict[str, Any] = {}
    for name, diameter in diameters.items():
        pin = [[0.0, 0.0], [diameter / 2, 0.0], [diameter / 2, 40.0], [0.0, 40.0]]
        found[str(name)] = {"profile": pin, "flutes": 0, "fluteLength": 0.0, "diameter": diameter}
    return found


def scales(setup: Setup) -> dict[str, Any]:
    """Graduations and decimals of dials and readout, and the level above which no dial follows the program."""
    slides, words = setup.job.by_hand.slides, Scales(setup.job)
    step = setup.job.by_hand.readout_step
    whole, half = (words.readout(at).partition(".")[2] if step else "" for at in (0.0, step / 2))
    return {
        "units": setup.job.units,
        "perUnit": 25.4 if setup.job.units == "in" else 1.0,
        "clear": number(setup.raw.high[2] + setup.clear),
        "readoutStep": number(step),
        "readoutDecimals": len(whole),
        "halfDecimals": len(half),
        "dials": [
            {"name": name, "perTurn": number(slide.per_turn), "graduation": number(slide.graduation)}
            for name, slide in (("Knee", slides.knee), ("Table", slides.x), ("Saddle", slides.y))
        ],
    }


def moves_in_page(tip: Moves) -> list[list[float | None]]:
    """A row for each move: kind, start, end, centre, turn, plane."""
    return [
        [
            int(tip.kind[row]),
            *(number(value) for value in tip.start[row].tolist()),
            *(number(value) for value in tip.end[row].tolist()),
            *(
                [
                    *(number(value) for value in tip.centre[row].tolist()),
                    number(float(tip.turn[row])),
                    int(tip.plane[row]),
                ]
                if tip.kind[row] == Kind.ARC
                else []
            ),
        ]
        for row in range(len(tip))
    ]


def spans_in_page(spans: Sequence[Span]) -> dict[str, Any]:
    """The clock of a route, a column for each thing it tells."""
    columns: dict[str, Any] = {
        "seconds": [number(span.seconds) for span in spans],
        "line": [span.line for span in spans],
        "step": [span.step for span in spans],
        "stroke": [span.stroke for span in spans],
        "row": [span.row for span in spans],
        "at": [[number(value) for value in span.at] for span in spans],
        "tool": [span.tool for span in spans],
        "rpm": [number(span.rpm) for span in spans],
    }
    if spans and spans[0].before is not None:
        # unrounded, so that the page rounds them to a graduation as the sheet does; each goes on where the last ended
        columns["scales"] = [list(spans[0].before), *(list(span.after or ()) for span in spans)]
    return columns


def colours_in_page(colours: Mapping[int, str]) -> dict[str, str]:
    """The colour of each step, by its number."""
    return {str(step): colour for step, colour in colours.items()}
