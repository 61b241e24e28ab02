"""Correcting a size through D: what is keyed in at a measuring stop, and where half of it goes back.

At the stop before its last cut a side alone answers for the whole error of a size, so that D changes by twice the
error. The sides after it owe one half each: where one of them is cut with the same D, the program stops a second time
as soon as the corrected side is finished. Source: geometry; common practice.
"""

from __future__ import annotations

from handwheel.plan.model import Plan, Step


def gives_back(plan: Plan, step: Step) -> bool:
    """Whether a stop follows this step in which half of the correction goes back: it finishes a side that was measured
    and corrected, and a later step is cut with the same D."""
    return _corrected_in(plan, step) is not None and _is_used_later(plan, step)


def correction(plan: Plan, step: Step) -> tuple[str, ...]:
    """What to do at a measuring stop with the figure that was found, a sentence or two each."""
    if step.compensation == "off":
        return (
            "Measured minus wanted = too much; a minus means too small. There is no D to correct here: note it for the "
            "next part.",
        )
    held = f"D{step.tool.number}"
    finish = next(one for one in plan.steps if _corrected_in(plan, one) is step)
    after = (
        f"Note what you changed: step {finish.number} ends in a second stop, and half of it goes back there."
        if gives_back(plan, finish)
        else "No side after this one needs it: give half of it back when the part is done, for the next part."
    )
    return (
        *(["Correct once, for the size with the closest limits."] if len(step.measuring) > 1 else []),
        f"Measured minus wanted = too much: take twice that off {held}, then go on. A minus means too small: add twice "
        f"it to {held} instead.",
        after,
    )


def giving_back(plan: Plan, step: Step) -> str:
    """What to do at the second stop, after the step that finishes the corrected side."""
    measured = _corrected_in(plan, step)
    assert measured is not None
    held = f"D{step.tool.number}"
    return (
        f"Give half of what you took off {held} back now, for the sides after this one and the next part. If you added "
        f"to {held} in step {measured.number}, take half of that off. If you left it alone, leave it."
    )


def _corrected_in(plan: Plan, step: Step) -> Step | None:
    """The measuring stop that corrects D for this step; ``None`` where there is none."""
    index = plan.steps.index(step)
    before = plan.steps[index - 1] if index else None
    if step.kind != "finish" or step.compensation == "off" or before is None or before.kind != "measure":
        return None
    return before


def _is_used_later(plan: Plan, step: Step) -> bool:
    later = plan.steps[plan.steps.index(step) + 1 :]
    return any(one.passes and one.compensation != "off" and one.tool.number == step.tool.number for one in later)
