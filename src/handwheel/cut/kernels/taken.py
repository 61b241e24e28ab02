"""The kernel that keeps apart what each row of sweeps takes from each ray, whatever others have taken there."""

from __future__ import annotations

import numpy as np

from handwheel.cut.kernels.arc_sweep import working_room
from handwheel.cut.kernels.chains import _stretches
from handwheel.cut.kernels.compiled import compiled
from handwheel.cut.kernels.rows import Floats, Sweeps


@compiled
def stretches_taken(sweeps: Sweeps, axis: int, at: Floats) -> Floats:
    """(k, 5) ray, row, which of the row's stretches on that ray, and the stretch's low and high end, mm.

    Parameters
    ----------
    axis, at : as in :class:`handwheel.cut.rays.Rays`
    """
    first_axis = 0 if axis != 0 else 1
    second_axis = 2 if axis != 2 else 1
    windows, found = working_room(sweeps.arc, sweeps.path)
    taken = np.empty((64, 5))
    count = 0
    for row in range(len(sweeps.move)):
        low, high = sweeps.low[row], sweeps.high[row]
        for ray in range(len(at)):
            a, b = at[ray, 0], at[ray, 1]
            if not (low[first_axis] < a < high[first_axis] and low[second_axis] < b < high[second_axis]):
                continue
            met = _stretches(sweeps, row, 0.0, axis, a, b, windows, found)
            for k in range(met):
                if count == len(taken):
                    longer = np.empty((2 * count, 5))
                    longer[:count] = taken
                    taken = longer
                taken[count, 0], taken[count, 1], taken[count, 2] = ray, row, k
                taken[count, 3], taken[count, 4] = found[k, 0], found[k, 1]
                count += 1
    return taken[:count].copy()
