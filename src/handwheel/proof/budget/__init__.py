"""The error budget of each size, by hand and by program: what every input does to it, and how many parts would fail."""

from handwheel.proof.budget.budget import budget
from handwheel.proof.budget.model import Budget, Share

__all__ = ["Budget", "Share", "budget"]
