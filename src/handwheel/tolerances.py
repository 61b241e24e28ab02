"""Every tolerance of the house, in one place; lengths in mm."""

from __future__ import annotations

from typing import Final

CONTACT: Final = 1e-6
"""Nearer than this is touching, not hitting."""

SNAP: Final = 1e-9
"""A number this close to a printed step stands on it."""

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

THIN_GRIP: Final = 3.0
"""The jaws hold at least this much of the work, and at least a quarter of its raw height (common practice)."""

THIN_GRIP_SHARE: Final = 0.25
"""The share of the raw height that the jaws hold at least (common practice)."""
