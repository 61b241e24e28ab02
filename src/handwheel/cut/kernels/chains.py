"""The kernel that cuts rays: each ray keeps a chain of what is left of it, and every row of sweeps shortens chains.

Memory is bounded by what is left, whatever the number of moves.
"""

from __future__ import annotations

import numpy as np

from handwheel.cut.kernels.arc_sweep import arc_against_level, arc_against_vertical, working_room
from handwheel.cut.kernels.compiled import compiled
from handwheel.cut.kernels.line_sweep import line_against_level, line_against_vertical
from handwheel.cut.kernels.rows import Floats, Ints, Sweeps
from handwheel.tolerances import SNAP


@compiled
def cut_rays(
    sweeps: Sweeps,
    axis: int,
    at: Floats,
    bins: Floats,
    starts: Ints,
    order: Ints,
    head: Ints,
    chain: Ints,
    ends: Floats,
) -> tuple[Ints, Floats]:
    """Cut every ray by every row; the chains as they are then.

    Parameters
    ----------
    axis, at : as in :class:`handwheel.cut.rays.Rays`
    bins : (2, 3) lowest coordinate, one over the width, and number of bins along both coordinates
    starts, order : (bins + 1,) and (n,) the rays in each bin
    head : (n,) first link of each ray's chain, −1 for none; changed in place
    chain : (links + 1,) next link of each link, −1 at the end; the last entry is the first link that is free
    ends : (links, 2) low and high end of each link's stretch
    """
    first_axis = 0 if axis != 0 else 1
    second_axis = 2 if axis != 2 else 1
    windows, found = working_room(sweeps.arc, sweeps.path)
    across, up = int(bins[0, 2]), int(bins[1, 2])
    for row in range(len(sweeps.move)):
        low, high = sweeps.low[row], sweeps.high[row]
        u0 = max(int((low[first_axis] - bins[0, 0]) * bins[0, 1]), 0)
        u1 = min(int((high[first_axis] - bins[0, 0]) * bins[0, 1]), across - 1)
        v0 = max(int((low[second_axis] - bins[1, 0]) * bins[1, 1]), 0)
        v1 = min(int((high[second_axis] - bins[1, 0]) * bins[1, 1]), up - 1)
        if high[first_axis] < bins[0, 0] or high[second_axis] < bins[1, 0] or v0 > v1:
            continue
        for u in range(u0, u1 + 1):
            for k in range(starts[u * up + v0], starts[u * up + v1 + 1]):
                ray = order[k]
                a, b = at[ray, 0], at[ray, 1]
                if not (low[first_axis] < a < high[first_axis] and low[second_axis] < b < high[second_axis]):
                    continue
                if not _reaches(head[ray], chain, ends, low[axis], high[axis]):
                    continue
                count = _stretches(sweeps, row, 0.0, axis, a, b, windows, found)
                chain, ends = _take(sweeps, row, axis, a, b, windows, found, count, ray, head, chain, ends)
    return chain, ends


@compiled
def _reaches(link: int, chain: Ints, ends: Floats, low: float, high: float) -> bool:
    while link >= 0:
        if ends[link, 0] < high and ends[link, 1] > low:
            return True
        link = chain[link]
    return False


@compiled
def _take(
    sweeps: Sweeps,
    row: int,
    axis: int,
    a: float,
    b: float,
    windows: Floats,
    found: Floats,
    count: int,
    ray: int,
    head: Ints,
    chain: Ints,
    ends: Floats,
) -> tuple[Ints, Floats]:
    """Take the found stretches off a ray's chain, unless the row only touches the ray."""
    sure = False
    for k in range(count):
        low, high = found[k, 0], found[k, 1]
        if not _reaches(head[ray], chain, ends, low, high):
            continue
        if not sure:
            sure = _stretches(sweeps, row, SNAP, axis, a, b, windows, np.empty((len(found), 2))) > 0
            if not sure:
                break
        chain, ends = _shorten(ray, low, high, head, chain, ends)
    return chain, ends


@compiled
def _shorten(ray: int, low: float, high: float, head: Ints, chain: Ints, ends: Floats) -> tuple[Ints, Floats]:
    """Take one stretch off a ray's chain; room is made where a stretch falls in two."""
    before, link = -1, head[ray]
    while link >= 0 and ends[link, 0] < high:
        after = chain[link]
        if ends[link, 1] > low:
            if ends[link, 0] < low and ends[link, 1] > high:
                chain, ends = _with_room(chain, ends)
                new = chain[-1]
                chain[-1] = chain[new]
                ends[new, 0], ends[new, 1] = high, ends[link, 1]
                ends[link, 1] = low
                chain[new], chain[link] = after, new
                return chain, ends
            if ends[link, 0] < low:
                ends[link, 1] = low
                before = link
            elif ends[link, 1] > high:
                ends[link, 0] = high
                return chain, ends
            else:
                if before < 0:
                    head[ray] = after
                else:
                    chain[before] = after
                chain[link] = chain[-1]
                chain[-1] = link
        else:
            before = link
        link = after
    return chain, ends


@compiled
def _with_room(chain: Ints, ends: Floats) -> tuple[Ints, Floats]:
    """The same chains with at least one free link."""
    if chain[-1] >= 0:
        return chain, ends
    links = len(ends)
    longer = np.empty(2 * links + 1, dtype=np.int64)
    wider = np.empty((2 * links, 2))
    for link in range(links):
        longer[link] = chain[link]
        wider[link, 0], wider[link, 1] = ends[link, 0], ends[link, 1]
    for link in range(links, 2 * links):
        longer[link] = link + 1
    longer[2 * links - 1] = -1
    longer[2 * links] = links
    return longer, wider


@compiled
def _stretches(
    sweeps: Sweeps, row: int, less: float, axis: int, a: float, b: float, windows: Floats, found: Floats
) -> int:
    """The stretches that a row removes from a ray, with the piece ``less`` smaller and higher; their number."""
    piece = sweeps.pieces[sweeps.piece[row]]
    if less > 0.0:
        piece = _smaller(piece, less)
    path = sweeps.path[row]
    if sweeps.arc[row]:
        if axis == 2:
            return arc_against_vertical(piece, path, sweeps.plane[row], a, b, windows, found)
        return arc_against_level(piece, path, sweeps.plane[row], axis, a, b, windows, found)
    if axis == 2:
        hit, found[0, 0], found[0, 1] = line_against_vertical(piece, path, a, b)
    else:
        hit, found[0, 0], found[0, 1] = line_against_level(piece, path, axis, a, b)
    return 1 if hit else 0


@compiled
def _smaller(piece: Floats, less: float) -> Floats:
    """A piece that lies inside the given one, but for its top, so that two pieces that meet there still meet."""
    inside = piece.copy()
    if piece[0] == 1.0:
        inside[1] += less
        inside[2] -= less
        inside[5] -= less
    else:
        inside[1] += less
        inside[2] += less
        inside[3] -= less
        inside[4] -= less
    return inside


@compiled
def gather(head: Ints, chain: Ints) -> tuple[Ints, Ints]:
    """First entry of each ray and one past the last, and the links in the rays' order."""
    first = np.zeros(len(head) + 1, dtype=np.int64)
    links = np.empty(len(chain), dtype=np.int64)
    count = 0
    for ray in range(len(head)):
        link = head[ray]
        while link >= 0:
            links[count] = link
            count += 1
            link = chain[link]
        first[ray + 1] = count
    return first, links[:count]
