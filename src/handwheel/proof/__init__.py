"""One route, planned or foreign, run to a proof: pure functions, setup once for many programs.

Two routes side by side, slips and the error budget stand on it: :func:`compare` and :func:`slip`.
"""

from handwheel.proof.by_hand import prove_by_hand
from handwheel.proof.by_program import prove
from handwheel.proof.comparison import Comparison, compare
from handwheel.proof.model import Proof, Seconds
from handwheel.proof.slips import SLIPS, SlipResult, slip

__all__ = [
    "SLIPS",
    "Comparison",
    "Proof",
    "Seconds",
    "SlipResult",
    "compare",
    "prove",
    "prove_by_hand",
    "slip",
]
