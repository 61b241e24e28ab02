"""Slips at the handwheels."""

from __future__ import annotations

from handwheel.proof.slips.model import Slip

SLIPS: tuple[Slip, ...] = ()
