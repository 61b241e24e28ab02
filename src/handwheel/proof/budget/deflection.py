"""How far a cutter gives way under the force of its cut: Kienzle's force on a cantilever.

Kienzle's force runs along the rim. In a thin cut past a side the rim runs nearly along that side, so that most of it
bends the cutter along its path, where it does no harm; what bends it off the side is mostly the radial force.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from handwheel.plan import Cutting
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


def tangential_force(
    force: CuttingForce, feed_per_tooth: float, width: float, depth: float, diameter: float, teeth: int
) -> float:
    """The mean force along the rim while a tooth cuts, N: kc · depth · mean chip thickness · teeth in the cut, one at
    least.

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


@dataclass(frozen=True, slots=True)
class Shares:
    """What pushes the cutter square off the side that it leaves, as shares of the mean tangential force.

    ``tangential`` is that of the force along the rim itself, less than nothing where it pulls the cutter into the side;
    ``radial`` that of a force as great towards the axis.
    """

    tangential: float
    radial: float


def shares_off_the_side(width: float, diameter: float, cutting: Cutting) -> Shares:
    """The means over the arc of contact, each place weighted with its chip.

    A tooth that stands at the angle φ past the finished side cuts a chip as thick as sin φ. Its rim runs at φ to the
    side and its radius at φ to the side's normal, so that of the force along the rim sin φ, and of the force towards
    the axis cos φ, is square to the side. In a climb cut both push the cutter off; in a conventional one the rim pulls
    it in. Over the arc, ∫sin²φ = (arc − sin arc · cos arc)/2, ∫sin φ · cos φ = sin²arc/2, ∫sin φ = 1 − cos arc.

    Parameters
    ----------
    width, diameter : mm
    cutting : ``climb``, ``conventional``; ``mixed`` is no side's

    Source: geometry of the arc of contact.

    >>> half = shares_off_the_side(5.0, 10.0, "climb")
    >>> round(half.tangential, 4), round(half.radial, 4)  # a quarter of a turn: π/4 and a half
    (0.7854, 0.5)
    """
    arc = arc_of_contact(width, diameter)
    whole = 1.0 - math.cos(arc)
    if whole <= 0.0:
        return Shares(0.0, 1.0)
    along_the_rim = (arc - math.sin(arc) * math.cos(arc)) / 2.0 / whole
    towards = {"climb": 1.0, "conventional": -1.0, "mixed": 0.0}[cutting]
    return Shares(towards * along_the_rim, math.sin(arc) ** 2 / 2.0 / whole)


def deflection(force: float, lever: float, reach: float, diameter: float, elasticity: float) -> float:
    """How far the end of a round cantilever gives under a load inside its span, mm:
    F·a²·(3·L − a) / (6·E·I) with I = π·d⁴/64; with the load at the end F·L³ / (3·E·I).

    Parameters
    ----------
    force : N
    lever : a, mm, from the holder to the load
    reach : L, mm, from the holder to the end
    diameter : mm, of the round bar that is as stiff
    elasticity : N/mm²

    Source: beam theory.

    >>> round(deflection(100.0, 50.0, 50.0, 10.0, 210_000.0), 4)
    0.0404
    """
    second_moment = math.pi * diameter**4 / 64.0
    return force * lever**2 * (3.0 * reach - lever) / (6.0 * elasticity * second_moment)
