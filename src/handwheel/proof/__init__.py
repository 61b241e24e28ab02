"""One route, planned or foreign, run to a proof: pure functions, prepared once for many programs."""

from handwheel.proof.by_hand import prove_by_hand
from handwheel.proof.by_program import prove
from handwheel.proof.model import Proof, Seconds
from handwheel.proof.prepare import Prepared, prepare

__all__ = ["Prepared", "Proof", "Seconds", "prepare", "prove", "prove_by_hand"]
