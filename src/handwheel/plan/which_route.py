"""The two ways of making the part."""

from __future__ import annotations

from enum import StrEnum


class Route(StrEnum):
    """The two ways of making the part."""

    BY_HAND = "by hand"
    BY_PROGRAM = "by program"
