"""Which parallels the work stands on, and why."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from handwheel.errors import JobError, Problem
from handwheel.setup.workpiece import Workpiece
from handwheel.tolerances import CONTACT, THIN_GRIP, THIN_GRIP_SHARE
from handwheel.units import shop_number

NO_CUT_KNOWN: Final = (
    "the job plans no cut, so nothing is known here of how deep the program goes: "
    "see that its lowest cut stays above the jaws, or give the parallels"
)
"""What goes with the reason where a job has no operation."""


@dataclass(frozen=True, slots=True)
class Choice:
    """The height of the parallels in mm, and the reason in one sentence."""

    height: float
    reason: str


def least_grip(raw_height: float) -> float:
    """How much of the work the jaws ought to hold, mm.

    Source: at least a quarter of the height or 3 mm, whichever is more: common practice.

    >>> least_grip(40.0), least_grip(8.0)
    (10.0, 3.0)
    """
    return max(THIN_GRIP, THIN_GRIP_SHARE * raw_height)


def choose_parallels(piece: Workpiece) -> Choice:
    """The lowest parallels that bring the lowest cut clear of the jaws and still leave the grip.

    Raises
    ------
    JobError
        Where none fits; the message shows the arithmetic.
    """
    vise, raw_height, lowest = piece.vise, piece.raw.size[2], piece.lowest

    def size(length: float) -> str:
        return f"{shop_number(length, piece.job.units)} {piece.job.units}"

    if 2 * (vise.parallel_thickness + vise.parallel_inset) > piece.raw.size[1] + CONTACT:
        off = f" that stand {size(vise.parallel_inset)} off the jaws" if vise.parallel_inset else ""
        raise _problem(
            piece,
            None,
            f"two parallels {size(vise.parallel_thickness)} thick{off} do not fit under work {size(piece.raw.size[1])} "
            "wide",
            "vise.parallel_inset" if vise.parallel_inset else "vise.parallels",
        )
    if vise.parallels is not None:
        if vise.parallels >= vise.jaw_height - CONTACT:
            raise _problem(
                piece,
                size(vise.parallels),
                f"the jaws are {size(vise.jaw_height)} high, so nothing of the work is held",
            )
        return Choice(vise.parallels, f"{size(vise.parallels)} as the job file says")

    depth = piece.raw.high[2] - lowest if lowest is not None else 0.0
    stick_out = depth + vise.air
    grip = least_grip(raw_height)
    lowest_height = stick_out + vise.jaw_height - raw_height
    highest_height = vise.jaw_height - grip
    if highest_height < -CONTACT:
        raise JobError(
            piece.job.file,
            [
                Problem(
                    "vise.jaw_height",
                    size(vise.jaw_height),
                    f"work {size(raw_height)} high needs {size(grip)} of grip, so the jaws are "
                    f"{size(grip)} − {size(vise.jaw_height)} = {size(-highest_height)} too low, even without parallels",
                    "take a vise with higher jaws, or lay the work down",
                )
            ],
        )
    need = (
        f"stick-out needed {size(stick_out)} ({size(depth)} of cut + {size(vise.air)} of air), "
        f"so parallels of at least {size(stick_out)} + {size(vise.jaw_height)} (jaws) − {size(raw_height)} (work) = "
        f"{size(lowest_height)}; grip needed {size(grip)}, so at most {size(vise.jaw_height)} − {size(grip)} = "
        f"{size(highest_height)}"
    )
    unknown = "" if lowest is not None else f"; {NO_CUT_KNOWN}"
    for height in sorted(piece.job.parallel_set):
        if lowest_height - CONTACT <= height <= highest_height + CONTACT:
            return Choice(height, f"{size(height)}, the lowest in the set that fits: {need}{unknown}")
    in_set = ", ".join(shop_number(height, piece.job.units) for height in sorted(piece.job.parallel_set))
    raise _problem(piece, None, f"no parallels in the set fit: {need}; the set has {in_set} {piece.job.units}")


def _problem(piece: Workpiece, value: str | None, reason: str, key: str = "vise.parallels") -> JobError:
    wanted = "give less depth, taller stock, another vise, or parallels of your own"
    return JobError(piece.job.file, [Problem(key, value, reason, wanted)])
