"""The shape of a pocket, an outline or a chamfer: a rectangle, the block, a circle, a path, or a drawing file."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Annotated, Final, Literal

from pydantic import Field, ValidationInfo, model_validator

from handwheel.path.arc import Arc, circle_meets, turn_between
from handwheel.path.box import Box
from handwheel.path.line import XY, Line
from handwheel.path.offset import Piece
from handwheel.path.outline import Outline, OutlineError, circle, rectangle
from handwheel.shop.quantities import Length, LengthOrZero, PositiveLength, Table, key_error
from handwheel.tolerances import ARC_RADII_MILLIMETRE, CONTACT
from handwheel.units import Units, shop_number

Key = tuple[str | int, ...]

MOST_STEPS: Final = 2000
"""Of a path written by hand; more than these come from a drawing file."""

FORMS: Final = ("rectangle", "block", "circle", "start", "dxf")
_GOES_WITH: Final = {
    "corner_radius": ("rectangle", "block"),
    "diameter": ("circle",),
    "path": ("start",),
    "layer": ("dxf",),
}
_NEEDS: Final = {"circle": "diameter", "start": "path", "dxf": "layer"}


class ShapeError(ValueError):
    """What is wrong with a shape: the key below it, the reason, and what would be right."""

    def __init__(self, key: Key, reason: str, wanted: str = "") -> None:
        self.key, self.reason, self.wanted = key, reason, wanted
        super().__init__(f"{reason}; {wanted}" if wanted else reason)


class Step(Table):
    """A line to a point, or an arc that turns there clockwise or anticlockwise: by its radius, then not more than half
    a circle, or by its centre."""

    to: tuple[Length, Length]
    turn: Literal["cw", "ccw"] | None = None
    radius: PositiveLength | None = None
    centre: tuple[Length, Length] | None = None

    @model_validator(mode="after")
    def _is_a_line_or_an_arc(self) -> Step:
        given = [key for key in ("radius", "centre") if getattr(self, key) is not None]
        if self.turn is None and given:
            raise key_error(given[0], "belongs to an arc", 'add turn = "cw" or "ccw", or leave it out')
        if self.turn is not None and not given:
            raise key_error("turn", "leaves open how large the arc is", "give its radius or its centre")
        if len(given) == 2:
            raise key_error("radius", "stands beside a centre", "give one of them")
        return self

    def piece(self, start: XY, units: Units) -> Piece:
        """The line or arc from a point.

        Raises
        ------
        ShapeError
            Where there is none.
        """
        chord = math.dist(start, self.to)
        if chord <= CONTACT:
            raise ShapeError(("to",), "is where the path already is", "a whole circle is circle = [x, y], diameter = d")
        if self.turn is None:
            return Line(start, self.to)
        sense = 1.0 if self.turn == "ccw" else -1.0
        centre = self._centre(start, chord, sense, units)
        return Arc(centre, start, self.to, turn_between(start, self.to, centre, sense))

    def _centre(self, start: XY, chord: float, sense: float, units: Units) -> XY:
        if self.centre is not None:
            there, here = math.dist(self.centre, start), math.dist(self.centre, self.to)
            if min(there, here) <= CONTACT or abs(there - here) > ARC_RADII_MILLIMETRE:
                sizes = f"{shop_number(there, units)} from its start and {shop_number(here, units)} from its end"
                raise ShapeError(("centre",), f"is {sizes}", "both are the radius of the arc")
            return self.centre
        assert self.radius is not None
        if chord > 2.0 * self.radius + ARC_RADII_MILLIMETRE:
            apart = f"its ends are {shop_number(chord, units)} apart"
            raise ShapeError(("radius",), f"does not reach: {apart}", f"at least {shop_number(chord / 2, units)}")
        met = circle_meets(start, self.radius, self.to, self.radius)
        if not met:
            return ((start[0] + self.to[0]) / 2, (start[1] + self.to[1]) / 2)
        return met[0] if sense > 0.0 else met[-1]


class Shape(Table):
    """One of five forms; coordinates in the set-up's frame, mm.

    ``rectangle`` is [x0, y0, x1, y1]; ``block`` the finished block; a path from ``start`` closes itself by a line;
    ``dxf`` is a drawing file beside the job, ``layer`` the one that holds one closed loop.
    """

    rectangle: tuple[Length, Length, Length, Length] | None = None
    block: Annotated[bool, Field(strict=True)] | None = None
    corner_radius: LengthOrZero | None = None
    circle: tuple[Length, Length] | None = None
    diameter: PositiveLength | None = None
    start: tuple[Length, Length] | None = None
    path: Annotated[tuple[Step, ...], Field(min_length=1, max_length=MOST_STEPS)] | None = None
    dxf: Annotated[str, Field(strict=True, min_length=1, max_length=500)] | None = None
    layer: Annotated[str, Field(strict=True, min_length=1, max_length=255)] | None = None

    @model_validator(mode="after")
    def _is_one_form(self, info: ValidationInfo) -> Shape:
        form = self._form()
        for key, forms in _GOES_WITH.items():
            if getattr(self, key) is not None and form not in forms:
                raise key_error(key, f"does not go with {form}", "leave it out")
        needed = _NEEDS.get(form)
        if needed is not None and getattr(self, needed) is None:
            raise key_error(form, f"stands without {needed}", f"give {needed} too")
        if self.block is False:
            raise key_error("block", "is not true", "leave it out, or write block = true")
        if form not in ("block", "dxf"):
            units: Units = info.context["units"] if info.context else "mm"
            try:
                self._own_outline(units)
            except ShapeError as fault:
                raise key_error(fault.key, fault.reason, fault.wanted) from None
        return self

    def _form(self) -> str:
        given = [key for key in FORMS if getattr(self, key) is not None]
        if len(given) == 1:
            return given[0]
        wanted = "give one of rectangle, block, circle, start with path, dxf with layer"
        if given:
            raise key_error(given[1], f"stands beside {given[0]}", wanted)
        raise key_error((), "says no shape", wanted)

    def outline(self, finished: Box, folder: Path, units: Units = "mm") -> Outline:
        """The shape on a set-up's work.

        Parameters
        ----------
        finished : the finished block in the set-up's frame
        folder : where the job file is
        units : the job's, for messages

        Raises
        ------
        ShapeError
            Where the block has no room for its corners, or the drawing file holds no outline.

        >>> shape = Shape(block=True, corner_radius=2.0)
        >>> shape.outline(Box((0, 0, -10), (40, 20, 0)), Path()).box2
        ((0.0, 0.0), (40.0, 20.0))
        """
        if self.block:
            (x0, y0, _), (x1, y1, _) = finished.low, finished.high
            return self._rectangle((x0, y0, x1, y1), units)
        if self.dxf is None:
            return self._own_outline(units)
        from handwheel.job.drawing_file import DrawingError, read_outline

        assert self.layer is not None
        try:
            return read_outline(folder / self.dxf, self.layer)
        except DrawingError as fault:
            raise ShapeError((fault.key,), str(fault), fault.wanted) from None

    def _own_outline(self, units: Units) -> Outline:
        """What the keys alone say."""
        if self.rectangle is not None:
            return self._rectangle(self.rectangle, units)
        if self.circle is not None:
            assert self.diameter is not None
            return circle(self.circle, self.diameter)
        assert self.start is not None
        assert self.path is not None
        pieces: list[Piece] = []
        at = self.start
        for index, step in enumerate(self.path):
            try:
                pieces.append(step.piece(at, units))
            except ShapeError as fault:
                raise ShapeError(("path", index, *fault.key), fault.reason, fault.wanted) from None
            at = step.to
        if math.dist(at, self.start) > CONTACT:
            pieces.append(Line(at, self.start))
        try:
            return Outline(tuple(pieces))
        except OutlineError as fault:
            reason = fault.said(lambda length: shop_number(length, units))
            raise ShapeError(("path",), reason, "a path goes once round and closes itself by a line") from None

    def _rectangle(self, sides: tuple[float, float, float, float], units: Units) -> Outline:
        x0, y0, x1, y1 = sides
        if x1 - x0 <= CONTACT or y1 - y0 <= CONTACT:
            raise ShapeError(("rectangle",), "has no size", "[x0, y0, x1, y1], the lower left corner first")
        radius, most = self.corner_radius or 0.0, min(x1 - x0, y1 - y0) / 2
        if radius > most + CONTACT:
            sides_text = f"{shop_number(x1 - x0, units)} by {shop_number(y1 - y0, units)}"
            raise ShapeError(
                ("corner_radius",), f"does not fit into {sides_text}", f"at most {shop_number(most, units)}"
            )
        return rectangle((x0, y0), (x1, y1), min(radius, most))
