"""What a size may differ by where its drawing does not say: general tolerances, ISO 2768-1, class m (medium)."""

from __future__ import annotations

from bisect import bisect_left
from typing import Final

SMALLEST: Final = 0.5
"""Below this the standard wants the tolerance written at the size itself, mm."""

_UP_TO: Final = (3.0, 6.0, 30.0, 120.0, 400.0, 1000.0, 2000.0, 4000.0)
_MEDIUM: Final = (0.1, 0.1, 0.2, 0.3, 0.5, 0.8, 1.2, 2.0)


def general_tolerance(nominal: float) -> float | None:
    """Plus and minus for a linear size, mm; ``None`` where the standard gives none.

    Source: ISO 2768-1, table 1, class m (from memory).

    >>> general_tolerance(6.0), general_tolerance(6.1), general_tolerance(0.4)
    (0.1, 0.2, None)
    """
    if not SMALLEST <= nominal <= _UP_TO[-1]:
        return None
    return _MEDIUM[bisect_left(_UP_TO, nominal)]
