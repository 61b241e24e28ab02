"""The error budget of each size, by hand and by program: what every input does to it, and how many parts would fail."""

from handwheel.proof.budget.budget import budget
from handwheel.proof.budget.model import BESIDE_THE_PROOF, Budget, Share

__all__ = ["BESIDE_THE_PROOF", "Budget", "Share", "budget"]
