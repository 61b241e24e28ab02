"""How a cutter gets down into the work where it cannot come in from the side."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal

from pydantic import model_validator

from handwheel.shop.quantities import Table

EntryWord = Literal["plunge", "ramp", "hole"]


class Entry(Table):
    """On either route; one word stands for both. By hand down a drilled hole or straight down, by program along a
    ramp."""

    by_hand: EntryWord = "plunge"
    by_program: EntryWord = "ramp"

    @model_validator(mode="before")
    @classmethod
    def _one_word(cls, content: Any) -> Any:
        if isinstance(content, (Mapping, Entry)):
            return content
        if content not in ("plunge", "ramp", "hole"):
            raise ValueError('is no way in; write "plunge", "ramp", "hole" or { by_hand, by_program }')
        return {"by_hand": content, "by_program": content}
