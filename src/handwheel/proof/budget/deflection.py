"""How far a cutter gives way under the force of its cut: Kienzle's force on a cantilever."""

from __future__ import annotations

import math

from handwheel.shop.materials import CuttingForce


def mean_chip(feed_per_tooth: float, width: float, diameter: float) -> float:
    """Mean thickness of the chip over the arc of contact, mm: feed · (2·width/diameter) / arc.

    Parameters
    ----------
    feed_per_tooth, width, diameter : mm; ``width`` is that of the cut, at most the diameter

    Source: geometry of the arc of contact, cos(arc) = 1 − 2·width/diameter, as in Machinery's Handbook (from memory).
    """
    return feed_per_tooth * (2.0 * width / diameter) / arc_of_contact(width, diameter)


def arc_of_contact(width: float, diameter: float) -> float:
    """The angle over which a tooth is in the work, rad."""
    return math.acos(1.0 - 2.0 * min(width, diameter) / diameter)


def cutting_force(
    force: CuttingForce, feed_per_tooth: float, width: float, depth: float, diameter: float, teeth: int
) -> float:
    """The mean force while a tooth cuts, N: kc · depth · mean chip thickness · teeth in the cut, one at least.

    It is no peak: where the chip is thickest a tooth bears up to twice as much in a thin cut.

    Parameters
    ----------
    force : the material's constants, kc = kc1.1 · h^(−m_c)
    feed_per_tooth, width, depth, diameter : mm

    Source: Kienzle (from memory); the mean over a turn is kc · removal rate / cutting speed, which the same formula
    gives where more than one tooth cuts.
    """
    if width <= 0.0 or depth <= 0.0:
        return 0.0
    width = min(width, diameter)
    chip = mean_chip(feed_per_tooth, width, diameter)
    pressure = force.kc11 * math.pow(chip, -force.m_c)
    cutting = max(1.0, teeth * arc_of_contact(width, diameter) / (2.0 * math.pi))
    return pressure * depth * chip * cutting


def deflection(force: float, reach: float, diameter: float, elasticity: float) -> float:
    """End deflection of a round cantilever, mm: F·L³ / (3·E·I) with I = π·d⁴/64.

    Parameters
    ----------
    force : N, at the tip
    reach : mm, out of the holder
    diameter : mm, of the round bar that is as stiff
    elasticity : N/mm²

    Source: beam theory.

    >>> round(deflection(100.0, 50.0, 10.0, 210_000.0), 4)
    0.0404
    """
    return force * reach**3 / (3.0 * elasticity * math.pi * diameter**4 / 64.0)
