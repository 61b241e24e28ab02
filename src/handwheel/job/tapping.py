"""A thread cut in a hole that is there already."""

from __future__ import annotations

from collections.abc import Iterator
from typing import ClassVar, Literal

from pydantic import Field, model_validator

from handwheel.job.hole_making import BELOW, HoleMaking
from handwheel.job.operation import Fault, Name
from handwheel.job.work import Work
from handwheel.motion.tables import Shape, Tool
from handwheel.path.meant import Meant
from handwheel.shop.quantities import key_error
from handwheel.shop.threads import CLASS, Thread

SAME: float = 0.001
"""A tap is that of its thread where size and pitch agree within this, mm."""


class Tap(HoleMaking):
    """A thread by its name, ``M6`` or ``1/4-20 UNC``; ``depth`` is the travel of the tap's tip, mm.

    ``form`` is the thread that the shop has under that name. A tap takes nothing away that is drawn or gauged: threads
    are judged by hole, depth and pitch.
    """

    shapes: ClassVar[tuple[Shape, ...]] = ("tap",)

    do: Literal["tap"] = "tap"
    thread: Name
    form: Thread | None = Field(default=None, exclude=True, repr=False)

    @model_validator(mode="after")
    def _goes_down_in_one(self) -> Tap:
        for key in ("peck", "dwell"):
            if getattr(self, key):
                raise key_error(key, "does not go with a tap, which turns in and out in one", "leave the key out")
        return self

    @property
    def callout(self) -> str:
        """The thread as a drawing says it: ``1/4-20 UNC-2B``, ``M6x1-6H``."""
        return self.thread if self.form is None else f"{self.thread.removesuffix(_class(self.form))}{_class(self.form)}"

    def tip(self, work: Work, tool: Tool) -> float:
        """Z of the tap's tip at the bottom, mm: through, its whole lead is below the work."""
        if self.depth is None:
            return work.raw.low[2] - BELOW[work.units] - tool.lead * tool.pitch
        return self.top(work) - self.depth

    def full_depth(self, work: Work, tool: Tool) -> float:
        """Z down to which the thread is full, mm: the threads of the lead are not."""
        return self.tip(work, tool) + tool.lead * tool.pitch

    def removes(self, work: Work, tool: Tool) -> tuple[Meant, ...]:
        """Nothing."""
        del work, tool
        return ()

    def misfits(self, work: Work, tool: Tool) -> Iterator[Fault]:
        del work
        form = self.form
        if form is None:
            return
        if abs(tool.diameter - form.diameter) > SAME or abs(tool.pitch - form.pitch) > SAME:
            yield Fault("tool", f"is no tap for {self.thread}", f"take one with this diameter and pitch: {self.thread}")
        elif self.depth is not None and self.depth <= tool.lead * tool.pitch:
            yield Fault(
                "depth",
                f"leaves no full thread: the tap's lead is {tool.lead:g} threads long",
                "depth is the travel of the tap's tip, its lead and the full threads",
            )


def _class(form: Thread) -> str:
    return CLASS[form.series]
