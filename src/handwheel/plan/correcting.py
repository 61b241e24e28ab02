"""Correcting a size through D: what is keyed in at a measuring stop, and where half of it goes back.

At the stop before its last cut a side alone answers for the whole error of a size, so that D changes by twice the
error. Where the opposite side was cut with the same D, half of the error was that side's, and the sides that follow owe
one half each: where one of them is cut with that D, the program stops a second time as soon as the corrected side is
finished. Where it was not, the whole error was this D's, and the change stays. Source: geometry; common practice.
"""

from __future__ import annotations

from typing import Final

from handwheel.plan.model import Plan, Step

OPPOSITE: Final = {"front": "back", "back": "front", "left": "right", "right": "left", "top": "bottom"}


def gives_back(plan: Plan, step: Step) -> bool:
    """Whether a stop follows this step in which half of the correction goes back: it finishes a side that was measured
    and corrected, the side opposite to it was cut with the same D, and a later step is cut with it too."""
    return _corrected_in(plan, step) is not None and _is_second_side(plan, step) and _is_used_later(plan, step)


def correction(plan: Plan, step: Step) -> tuple[str, ...]:
    """What to do at a measuring stop with the figure that was found, a sentence or two each."""
    following = plan.steps[plan.steps.index(step) + 1]
    if following.kind == "face":
        return (
            "Measured minus wanted = too thick: take that off Z of the zero table, then go on. A minus means too thin: "
            "stop and tell the instructor.",
        )
    if step.compensation == "off":
        return (
            "Measured minus wanted = too much; a minus means too small. There is no D to correct here: note it for the "
            "next part.",
        )
    held = f"D{step.tool.number}"
    finish = next(one for one in plan.steps if _corrected_in(plan, one) is step)
    if not finish.sides:
        return _of_walls(step, held)
    if not _is_second_side(plan, finish):
        after = f"The side opposite was not cut with {held}: leave the change in, for what follows and the next part."
    elif gives_back(plan, finish):
        after = f"Note what you changed: step {finish.number} ends in a second stop, and half of it goes back there."
    else:
        after = "No side after this one needs it: give half of it back when the part is done, for the next part."
    return (
        *(["Correct once, for the size with the closest limits."] if len(step.measuring) > 1 else []),
        f"Measured minus wanted = too much: take twice that off {held}, then go on. A minus means too small: add twice "
        f"it to {held} instead.",
        after,
    )


def _of_walls(step: Step, held: str) -> tuple[str, ...]:
    """A size between two walls: where the last cut makes both, each moves by half of what D changes, else one by half
    of it. A gap grows as metal comes off."""
    both = step.measuring[0].walls == 2
    take, add = ("take that off", "add it to") if both else ("take twice that off", "add twice it to")
    said = (
        ("Wanted minus measured = too small", "too large")
        if step.measuring[0].is_gap
        else ("Measured minus wanted = too much", "too small")
    )
    return (
        *(["Correct once, for the size with the closest limits."] if len(step.measuring) > 1 else []),
        f"{said[0]}: {take} {held}, then go on. A minus means {said[1]}: {add} {held} instead.",
        "Leave the change in, for what follows and the next part.",
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


def _is_second_side(plan: Plan, step: Step) -> bool:
    """Whether the side opposite to the one that this step finishes was cut before it with the same D."""
    opposite = {OPPOSITE[one.edge] for one in step.sides}
    earlier = plan.steps[: plan.steps.index(step)]
    return any(_uses(one, step.tool.number) and opposite & {side.edge for side in one.sides} for one in earlier)


def _uses(step: Step, number: int) -> bool:
    return bool(step.strokes) and step.compensation != "off" and step.tool.number == number


def _is_used_later(plan: Plan, step: Step) -> bool:
    later = plan.steps[plan.steps.index(step) + 1 :]
    return any(_uses(one, step.tool.number) for one in later)
