"""How often the mistake that was planted is the first that is named, by kind: ``causes.py [JOBS] [KIND…]``.

``causes.py JOBS two`` plants two of different kinds together.
"""

from __future__ import annotations

import random
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "support"))

from planted import KINDS, ON_ARCS
from suspects import asked, asked_of_two, good_jobs, names_both, names_it


def main(count: int, kinds: list[str]) -> None:
    """Print a table: kind, planted, named first, names another, names none, proofs' seconds in the middle."""
    for kind in kinds or [*KINDS, *ON_ARCS]:
        right, other, none, spent = 0, [], 0, []
        for seed, good in enumerate(good_jobs(count)):
            began = time.perf_counter()
            answer = asked(kind, good, seed)
            if answer is None:
                continue
            planted, causes = answer
            spent.append(time.perf_counter() - began)
            if names_it(planted, causes):
                right += 1
            elif causes:
                other.append(
                    (
                        seed,
                        planted.line,
                        planted.right,
                        [(one.line, one.was, one.would_be, one.verdict, one.leaves) for one in causes],
                    )
                )
            else:
                none += 1
                other.append((seed, planted.line, planted.right, None))
        total = len(spent)
        middle = sorted(spent)[total // 2] if total else 0.0
        print(
            f"{kind:32} {right:4} of {total:4}   other {len(other) - none}, none {none}   "
            f"{middle:.2f} s, {sum(spent):.0f} s in all",
            flush=True,
        )
        for one in other[:6]:
            print("     ", one)


def two(count: int) -> None:
    """The same of two mistakes together."""
    right, spent, missed = 0, [], []
    for seed, good in enumerate(good_jobs(count)):
        first, second = random.Random(seed).sample(list(KINDS), 2)
        began = time.perf_counter()
        answer = asked_of_two((first, second), good, seed)
        if answer is None:
            continue
        spent.append(time.perf_counter() - began)
        if names_both(*answer):
            right += 1
        else:
            told = [(one.line, one.was, one.would_be, one.verdict) for one in answer[1]]
            missed.append((seed, first, second, [(one.line, one.right) for one in answer[0]], told))
    print(f"two together: {right} of {len(spent)}, {sorted(spent)[len(spent) // 2]:.2f} s in the middle")
    for one in missed:
        print("     ", one)


if __name__ == "__main__":
    if sys.argv[2:] == ["two"]:
        two(int(sys.argv[1]))
        sys.exit()
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 10, sys.argv[2:])
