"""What a handwheel move and a program block have in common, and where either one's error comes from."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from handwheel.hand import Action
from handwheel.hand.actions import Wind
from handwheel.plan import Step


@dataclass(frozen=True, slots=True)
class Idea:
    """One idea in its two forms. ``error_by_hand`` and ``error_by_program`` say what makes it come out wrong."""

    name: str
    by_hand: str
    by_program: str
    error_by_hand: str
    error_by_program: str


WORK_ZERO = Idea(
    "where the work is",
    "readout zero: each face is touched once, its setting keyed in or set on the dial",
    "work offset G54: the same touches, stored in the control once for every part",
    "the feel of each touch; the side that the cutter is on",
    "the feel of the touches at set-up; a figure keyed in wrongly",
)
CUTTER_LENGTH = Idea(
    "tool length",
    "the knee dial is set anew at a touch of the top, for each cutter",
    "G43 H: the cutter's length is in a table",
    "the feel of the touch; a zero kept from the cutter before",
    "the length as measured; another cutter's H",
)
DEPTH = Idea(
    "how deep",
    "knee dial: turns and graduations, set raising",
    "Z word",
    "graduation; a turn miscounted; backlash of the knee",
    "a sign or a digit of the word",
)


def depth_as_set(step: int) -> Idea:
    """The depth of a cut before which nobody touches the knee: it was set in an earlier step."""
    return Idea(
        "how deep",
        f"the knee stays locked as set in step {step}",
        "Z word",
        "that setting's error is in this cut too; a knee not locked",
        "a sign or a digit of the word",
    )


SKIM = Idea(
    "the finished top is Z zero",
    "the knee dial is zeroed after the skim",
    "Z of the work offset allows for the skim, set once",
    "the zeroing forgotten: depths count from the raw top",
    "the touch on the raw top",
)
CUTTER_SIDE = Idea(
    "which side the cutter is on",
    "the setting is the face plus or minus half the cutter",
    "G41 or G42, and the diameter in D: the control keeps the cutter off",
    "marked size for true size; plus taken for minus",
    "diameter in the table; G41 taken for G42",
)
CUTTER_DIFFERENCE = Idea(
    "which side the cutter is on",
    "the setting is the face plus or minus half the cutter",
    "G41 or G42 along the cutter's own path; D holds actual minus nominal diameter, 0 when new",
    "marked size for true size; plus taken for minus",
    "the whole diameter keyed in where the difference is meant",
)
CUTTER_PATH = Idea(
    "where the cutter's center runs",
    "the setting is the face plus or minus half the cutter",
    "X and Y words with half the cutter worked in; no correction at the control",
    "marked size for true size; plus taken for minus",
    "the true cutter is not the planned one",
)
STRAIGHT = Idea(
    "a straight cut",
    "one slide locked, the other fed",
    "a block with one axis word",
    "a slide left unlocked creeps; the backlash, if the cut is climb",
    "how well the axes hold still",
)
ROUND = Idea(
    "over the whole top",
    "table and saddle by turns, the other one locked",
    "blocks with X and Y words by turns",
    "the two slides' order; a lock forgotten at a corner",
    "how square the head stands",
)
PLACES = Idea(
    "where each hole is",
    "table and saddle wound to the hole's X and Y, both locked",
    "a block with the hole's X and Y words",
    "a turn miscounted; X and Y taken for one another; a slide not locked",
    "a digit of the word; a point left out",
)
STRAIGHT_DOWN = Idea(
    "straight down to a depth",
    "the quill's stop is set, its lever fed down to it, hole after hole",
    "one canned cycle with Z, R and F; it is repeated at each place until G80",
    "the stop set from the wrong surface; the drill's point forgotten",
    "Z with the point forgotten; R below what stands there; G80 forgotten",
)
MEASURE = Idea(
    "cut the difference",
    "measured minus wanted is what the last setting moves by",
    "M0; the table at the stop gives the change of D for each reading; what goes back, and when, is said there",
    "the gauge's feel; the wrong way round",
    "the gauge's feel; a radius taken for a diameter",
)
MEASURE_ONLY = Idea(
    "cut the difference",
    "measured minus wanted is what the last setting moves by",
    "M0; nothing to key in here: the program follows the cutter's center",
    "the gauge's feel; the wrong way round",
    "what is found too large stays so until the program is changed",
)


def ideas(step: Step, *, first: bool, knee_set_in: int | None = None) -> tuple[Idea, ...]:
    """The ideas of a step, the chief one first.

    Parameters
    ----------
    step : the step
    first : whether it is the job's first
    knee_set_in : the earlier step that set the knee for this one's cuts (:func:`knee_set_before`)
    """
    return tuple(_ideas(step, first=first, depth=DEPTH if knee_set_in is None else depth_as_set(knee_set_in)))


def knee_set_before(steps: Sequence[Step], doing: Sequence[Action]) -> Mapping[int, int]:
    """Which earlier step set the knee, for each step by hand that finds it set and leaves it alone.

    Parameters
    ----------
    steps : of the plan by hand
    doing : the route sheet's actions
    """
    wound = [act.step for act in doing if isinstance(act, Wind) and act.slide == "knee"]
    found = {}
    for step in steps:
        before = [number for number in wound if number < step.number]
        if before and step.number not in wound:
            found[step.number] = before[-1]
    return found


def _ideas(step: Step, *, first: bool, depth: Idea) -> Iterator[Idea]:
    if step.kind == "load":
        if first:
            yield WORK_ZERO
        yield CUTTER_LENGTH
    elif step.kind == "measure":
        yield MEASURE_ONLY if step.compensation == "off" else MEASURE
    elif step.kind == "hole":
        yield PLACES
        yield STRAIGHT_DOWN
    elif step.kind == "face":
        if "z" in step.zeroes:
            yield SKIM
        yield depth
        yield ROUND
    else:
        yield {"material-edge": CUTTER_SIDE, "tool-path": CUTTER_DIFFERENCE, "off": CUTTER_PATH}[step.compensation]
        yield STRAIGHT
        if step.kind == "rough":
            yield depth
