"""What is said of a submission: its proof, why it failed, the path of its cutter, or why there is no proof."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

FORM: Final = 1
"""Of a judgement as it is kept; another one is not read."""


@dataclass(frozen=True)
class Judgement:
    """One submission, judged; names of files and of people are not in it.

    Attributes
    ----------
    proof : as ``prove --json`` tells it; ``None`` where there is none
    why : as ``prove --why --json`` tells it; ``None`` where nobody looked
    paths : where the cutter went in each set-up, as :func:`handwheel.learn.whole_class.cutter_path.trace` gives it
    error : why there is no proof, or why it says less than it might
    """

    proof: Mapping[str, Any] | None = None
    why: tuple[Mapping[str, Any], ...] | None = None
    paths: tuple[Any, ...] = ()
    error: str | None = None

    @property
    def verdict(self) -> str | None:
        """``pass`` or ``fail``; ``None`` without a proof."""
        return None if self.proof is None else str(self.proof["verdict"])

    @property
    def findings(self) -> Counter[str]:
        """How often each thing was found, by its code."""
        found: Counter[str] = Counter()
        for one in self.proof["findings"] if self.proof else ():
            found[one["code"]] += one["count"]
        return found

    @property
    def out(self) -> tuple[str, ...]:
        """The names of the sizes that are out."""
        return tuple(one["name"] for one in (self.proof["dimensions"] if self.proof else ()) if not one["ok"])

    @property
    def seconds(self) -> float | None:
        """By the machine's clock, all set-ups together."""
        return None if self.proof is None else float(sum(one["seconds"]["total"] for one in self.proof["setups"]))

    def entry(self, name: str) -> dict[str, Any]:
        """Its object in ``class.json``."""
        told: dict[str, Any] = {
            "name": name,
            "verdict": self.verdict,
            "findings": dict(self.findings),
            "out": list(self.out),
            "seconds": self.seconds,
        }
        if self.why is not None:
            told["why"] = [dict(one) for one in self.why]
        if self.error is not None:
            told["error"] = self.error
        return told

    def to_bytes(self) -> bytes:
        """As it is kept and sent."""
        told = {"form": FORM, "proof": self.proof, "why": self.why, "paths": self.paths, "error": self.error}
        return json.dumps(told, ensure_ascii=False, allow_nan=False, separators=(",", ":")).encode()

    @staticmethod
    def from_bytes(kept: bytes) -> Judgement:
        """The judgement that was kept; ValueError where it is none."""
        told = json.loads(kept)
        if not isinstance(told, dict) or told.get("form") != FORM:
            raise ValueError("no judgement of this form")
        why = told["why"]
        return Judgement(told["proof"], None if why is None else tuple(why), tuple(told["paths"]), told["error"])
