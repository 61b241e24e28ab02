"""Every tolerance of the house, in one place; lengths in mm."""

from __future__ import annotations

from typing import Final

CONTACT: Final = 1e-6
"""Nearer than this is touching, not hitting."""

SNAP: Final = 1e-9
"""A number this close to a printed step stands on it."""

FIT: Final = 1e-10
"""The ends of pieces that are known to share a point agree within this, and the radii at both ends of an arc."""

DRAWING_GAP: Final = 0.01
"""Ends of lines and arcs in a drawing file that are no further apart are meant to meet (chosen: under any cut)."""

CHORD: Final = 1e-4
"""Greatest distance between a curve and the chords that stand for it, where no closed form exists."""

ARC_RADII_INCH: Final = 0.0002 * 25.4
"""Start and end radius of an arc in centre format may differ by this in an inch program (NISTIR 6556, 3.5.3.2)."""

ARC_RADII_MILLIMETRE: Final = 0.002
"""The same in a millimetre program (NISTIR 6556, 3.5.3.2)."""

CLOSED_FORM: Final = 1e-9
"""Relative error allowed to a length computed in closed form, as a share of the stock's size."""

LOW_CLEARANCE: Final = 0.5
"""Under this clearance to vise or parallels an instructor would step in (common practice)."""

HAND: Final = 100.0
"""Where the operator measures at a stop, the cutter is at least this far from the work: a hand's breadth (common
practice)."""

THIN_GRIP: Final = 3.0
"""The jaws hold at least this much of the work, and at least a quarter of its raw height (common practice)."""

THIN_GRIP_SHARE: Final = 0.25
"""The share of the raw height that the jaws hold at least (common practice)."""

ARC_CLEARANCE: Final = 1e-7
"""A clearance along an arc that is not level is found within this."""

NEAR: Final = 25.0
"""What stays further away than this has not come near (an inch, roughly; chosen for the report)."""

SMOOTH_CORNER: Final = 0.01
"""rad; a corner that turns towards the cutter by less than this counts as smooth: the ends of arcs are rounded to the
program's decimals (NISTIR 6556, appendix B, from memory)."""

PECK_BACK_OFF: Final = 0.254
"""How far above the last depth a pecking cycle's rapid ends: 0.010 in (NISTIR 6556, 3.5.16.4)."""

PROBE_LEAST: Final = 0.254
"""A probing move is at least this long: 0.01 in (NISTIR 6556, 3.5.9)."""

BESIDE: Final = 1e-5
"""How close to either side of a face rays stand that look for a shaving of it: more than contact, less than any cut."""

SEATED: Final = 0.05
"""A face that is nearer than this to a jaw or a parallel touches it, mm: steps of settings, and a soft hammer."""
