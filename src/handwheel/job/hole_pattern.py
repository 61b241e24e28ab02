"""Where holes are: a list, a bolt circle or a grid, under one name."""

from __future__ import annotations

import math
from typing import Annotated

from pydantic import Field, model_validator

from handwheel.job.operation import Name
from handwheel.shop.quantities import Length, Number, PositiveLength, Table, Whole, key_error

Point2 = tuple[float, float]
MOST = 1000


class Circle(Table):
    """Evenly round a circle; ``first`` in degrees, anticlockwise from X."""

    centre: tuple[Length, Length]
    diameter: PositiveLength
    count: Annotated[int, Whole(1, MOST)]
    first: Annotated[float, Number(least=-360.0, greatest=360.0, what="an angle in degrees")] = 0.0


class Grid(Table):
    """In rows and columns."""

    first: tuple[Length, Length]
    pitch: tuple[Length, Length]
    count: tuple[Annotated[int, Whole(1, MOST)], Annotated[int, Whole(1, MOST)]]


class HolePattern(Table):
    """One of ``at``, ``circle`` and ``grid``; coordinates in the set-up's frame, mm."""

    name: Name
    at: Annotated[tuple[tuple[Length, Length], ...], Field(max_length=MOST)] | None = None
    circle: Circle | None = None
    grid: Grid | None = None

    @model_validator(mode="after")
    def _is_one_of_three(self) -> HolePattern:
        given = [key for key in ("at", "circle", "grid") if getattr(self, key) is not None]
        if len(given) != 1:
            key = given[1] if given else "at"
            raise key_error(key, "is one of three ways to say where holes are", "give at, circle or grid, one of them")
        return self

    @property
    def points(self) -> tuple[Point2, ...]:
        """Every hole, in the order in which they are made.

        >>> pattern = HolePattern(name="rim", circle={"centre": (0, 0), "diameter": 20, "count": 4})
        >>> [(round(x, 9) + 0.0, round(y, 9) + 0.0) for x, y in pattern.points]
        [(10.0, 0.0), (0.0, 10.0), (-10.0, 0.0), (0.0, -10.0)]
        """
        if self.at is not None:
            return self.at
        if self.circle is not None:
            x, y = self.circle.centre
            turns = (
                math.radians(self.circle.first + 360.0 * index / self.circle.count)
                for index in range(self.circle.count)
            )
            radius = self.circle.diameter / 2
            return tuple((x + radius * math.cos(turn), y + radius * math.sin(turn)) for turn in turns)
        assert self.grid is not None
        (x, y), (dx, dy), (columns, rows) = self.grid.first, self.grid.pitch, self.grid.count
        return tuple((x + column * dx, y + row * dy) for row in range(rows) for column in range(columns))
