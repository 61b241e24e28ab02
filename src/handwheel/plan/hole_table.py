"""The holes of a part as a table: a letter a pattern, a number a hole, where each is, and what is made there."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from handwheel.job.hole_making import Coned, Counterbore, Countersink, Drill, HoleMaking, Ream, Spot
from handwheel.job.operations import AnyOperation
from handwheel.job.tapping import Tap
from handwheel.setup import Setup
from handwheel.setup.workpiece import workpieces
from handwheel.units import Units, shop_number

Point2 = tuple[float, float]

LETTERS: Final = "DEFGHJKLMNPRTUVW"
"""Of patterns: none that is a figure, an axis or one of the three zero faces, A, B and C (common practice)."""


@dataclass(frozen=True, slots=True)
class HoleGroup:
    """Holes that are made alike.

    ``places`` are in the set-up's frame, mm, the coordinates that its readout shows; ``surface`` is Z where they
    begin. ``callout`` is as a drawing says it, ``words`` without its signs; ``is_here``: some of it is made in this
    set-up. ``radius`` is that of the widest of it, mm.
    """

    letter: str
    name: str
    places: tuple[Point2, ...]
    surface: float
    radius: float
    callout: str
    words: str
    is_here: bool

    @property
    def rows(self) -> tuple[tuple[str, Point2], ...]:
        """Each hole by its letter and number."""
        return tuple((f"{self.letter}{number}", at) for number, at in enumerate(self.places, start=1))


def hole_groups(setup: Setup) -> tuple[HoleGroup, ...]:
    """All holes of the part that stand upright in a set-up, in the order in which they are first made."""
    found: dict[tuple[Point2, ...], list[tuple[HoleMaking, bool, float, tuple[Point2, ...]]]] = {}
    for piece in workpieces(setup.job):
        way = setup.placement.after(piece.placement.inverse())
        if way.axis(2)[0] != 2:
            continue
        for operation in piece.operations:
            if not isinstance(operation, HoleMaking) or not operation.points:
                continue
            top = operation.top(piece.work)
            there = [way.point((x, y, top)) for x, y in operation.points]
            places = tuple((x, y) for x, y, _ in there)
            key = tuple(sorted((round(x, 3), round(y, 3)) for x, y in places))
            found.setdefault(key, []).append((operation, piece.number == setup.number, there[0][2], places))
    return tuple(_group(setup, index, made) for index, made in enumerate(found.values()))


def _group(setup: Setup, index: int, made: Sequence[tuple[HoleMaking, bool, float, tuple[Point2, ...]]]) -> HoleGroup:
    operations = [one for one, _, _, _ in made]
    own = next((one for one in made if one[1]), made[0])
    places, job = own[3], setup.job
    count = f"{len(places)}X " if len(places) > 1 else ""
    tools = {tool.number: tool for tool in job.tools}
    angles = {one.tool: tools[one.tool].point_angle for one in operations}
    leads = {one.tool: tools[one.tool].lead * tools[one.tool].pitch for one in operations}
    diameters = {one.tool: tools[one.tool].diameter for one in operations}
    return HoleGroup(
        letter=LETTERS[index % len(LETTERS)] * (index // len(LETTERS) + 1),
        name=own[0].holes,
        places=places,
        surface=own[2],
        radius=max(one.diameter if isinstance(one, Coned) else diameters[one.tool] for one in operations) / 2,
        callout=count + ", ".join(_said(operations, diameters, angles, leads, job.units, _SIGNS)),
        words=count + ", ".join(_said(operations, diameters, angles, leads, job.units, _WORDS)),
        is_here=any(here for _, here, _, _ in made),
    )


@dataclass(frozen=True, slots=True)
class _Style:
    """How diameter and depth are said."""

    diameter: str
    depth: str
    through: str
    angle: str


_SIGNS: Final = _Style("∅{}", " ↧{}", " THRU", " X {:g}°")
_WORDS: Final = _Style("{} dia", " {} deep", " through", " x {:g} deg")


def _said(
    operations: Sequence[AnyOperation | HoleMaking],
    diameters: dict[int, float],
    angles: dict[int, float],
    leads: dict[int, float],
    units: Units,
    style: _Style,
) -> Iterator[str]:
    """What is made, one after the other; a spot or a drill that something else brings to size is not told.

    Source: ASME Y14.5, ISO 129-1 (from memory): ``2X ∅.201 ↧.750, 1/4-20 UNC-2B ↧.500``.
    """

    def size(diameter: float) -> str:
        return style.diameter.format(shop_number(diameter, units))

    reamed = any(isinstance(one, Ream) for one in operations)
    alone = all(isinstance(one, Spot) for one in operations)
    for one in operations:
        assert isinstance(one, HoleMaking)
        # a thread's depth is of its full threads: those of the tap's lead are not
        depth = None if one.depth is None else one.depth - (leads[one.tool] if isinstance(one, Tap) else 0.0)
        deep = style.through if depth is None else style.depth.format(shop_number(depth, units))
        match one:
            case Spot():
                if alone:
                    yield f"SPOT {size(one.diameter)}"
            case Countersink():
                yield f"CSK {size(one.diameter)}{style.angle.format(angles[one.tool])}"
            case Drill():
                if not reamed:
                    yield f"{size(diameters[one.tool])}{deep}"
            case Ream():
                yield f"{size(diameters[one.tool])} REAM{deep}"
            case Counterbore():
                yield f"CBORE {size(diameters[one.tool])}{deep}"
            case Tap():
                yield f"{one.callout}{deep}"
