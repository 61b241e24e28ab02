"""One route, planned or foreign, run to a proof: pure functions, setup once for many programs.

Two routes side by side, slips and the error budget stand on it: :func:`compare` and :func:`slip`.
"""

from handwheel.proof.by_hand import prove_setup_by_hand
from handwheel.proof.by_program import prove_reading, prove_setup
from handwheel.proof.comparison import BothWays, Comparison, compare
from handwheel.proof.model import Proof, Seconds, SetupProof
from handwheel.proof.prove import Program, left_after, prove, prove_by_hand
from handwheel.proof.routes import Routes, routes_of
from handwheel.proof.slips import SLIPS, SlipResult, slip

__all__ = [
    "SLIPS",
    "BothWays",
    "Comparison",
    "Program",
    "Proof",
    "Routes",
    "Seconds",
    "SetupProof",
    "SlipResult",
    "compare",
    "left_after",
    "prove",
    "prove_by_hand",
    "prove_reading",
    "prove_setup",
    "prove_setup_by_hand",
    "routes_of",
    "slip",
]
