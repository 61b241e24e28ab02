"""A slip: one thing done wrong, carried out and judged as the right thing would be."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from handwheel.hand import Action
from handwheel.plan import Route
from handwheel.proof.arithmetic import Leg
from handwheel.proof.model import Proof
from handwheel.proof.routes import Routes
from handwheel.setup import Setup


@dataclass(frozen=True)
class Mistake:
    """A slip as it happens in one job.

    ``sentence`` says what is done wrong, with the job's numbers; ``reckoning`` the arithmetic of what comes of it;
    ``notice`` how a trainee would see it in time. ``legs`` are the strokes that arithmetic expects, ``codes`` the
    findings. ``ways_clear`` is false where the cutter meets the work on its way to the strokes, so that these alone do
    not make the sizes. What is carried out are the actions ``doing``, or else the program ``text``, on ``setup``.
    """

    sentence: str
    reckoning: str
    notice: str
    legs: tuple[Leg, ...]
    setup: Setup
    doing: Sequence[Action] | None = None
    text: str | None = None
    ways_clear: bool = True
    codes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Impossible:
    """The slip cannot happen in this job; ``why`` is one sentence."""

    why: str


@dataclass(frozen=True, slots=True)
class Slip:
    """``name`` in kebab-case; ``what`` one sentence that holds for any job; ``make`` makes it in one."""

    name: str
    route: Route
    what: str
    make: Callable[[Routes], Mistake | Impossible]


@dataclass(frozen=True, slots=True)
class Expected:
    """What arithmetic says before anything is cut.

    ``sizes`` by dimension, mm (``None``: nothing is left there to measure), empty where the way over the work goes
    through it and no size can be reckoned; ``lift`` how far the cutter is below the jaws' top over the jaws, mm, 0
    where it clears them; ``codes`` of the findings that must come up.
    """

    reckoning: str
    sizes: Mapping[str, float | None]
    lift: float
    codes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SlipResult:
    """What came of a slip, in the ``setup`` in which it was made. Where it ``cannot`` happen that says why, and there
    is nothing expected, no set-up and no proof."""

    name: str
    route: Route
    what: str
    notice: str
    cannot: str | None
    expected: Expected | None
    setup: Setup | None
    proof: Proof | None

    def outcome(self, sound: Proof) -> str:
        """What came of it, in a few words: sizes that hold make no sound job where an instructor would step in.

        Parameters
        ----------
        sound : the job's own proof, by this slip's route: what it carries itself is not the slip's doing
        """
        if self.proof is None:
            return "not in this job"
        if self.proof.struck is not None:
            return f"struck: {self.proof.struck.code}"
        before, after = _grave(sound), _grave(self.proof)
        new = ", ".join(code for code, count in after.items() if count > before[code])
        if self.proof.verdict == "fail":
            return f"fail: {new}" if new else "fail"
        return f"sizes hold; {new}: unsafe" if new else "pass"


def _grave(proof: Proof) -> Counter[str]:
    """How often each code comes up for which an instructor would step in, the gravest first."""
    found: Counter[str] = Counter()
    for one in proof.findings:
        if one.level != "note":
            found[one.code] += one.count
    return found
