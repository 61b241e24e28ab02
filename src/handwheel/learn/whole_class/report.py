"""A whole class: every submission judged, what most got wrong, and each one's entry."""

from __future__ import annotations

import pickle
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Executor
from contextlib import AbstractContextManager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from handwheel.check import level_of
from handwheel.errors import HandwheelError
from handwheel.learn.whole_class.judgement import Judgement
from handwheel.learn.whole_class.kept_judgements import Kept
from handwheel.learn.whole_class.submissions import Submission
from handwheel.learn.whole_class.watched_process import Bounds
from handwheel.learn.whole_class.workers import Task, judged, version
from handwheel.proof import Routes
from handwheel.units import Units

Tell = Callable[[str, float], None]


@dataclass(frozen=True)
class ClassReport:
    """What is said of a class. The judgements stay on disk and are read one at a time: there may be thousands.

    ``keys`` are those of the kept judgements, in the submissions' order; ``None`` where a submission has but its error.
    """

    job: str
    units: Units
    submissions: tuple[Submission, ...]
    keys: tuple[str | None, ...]
    kept: Kept

    def each(self) -> Iterator[tuple[Submission, Judgement]]:
        """Every submission and its judgement, in order."""
        for one, key in zip(self.submissions, self.keys, strict=True):
            judgement = Judgement(error=one.error) if key is None else self.kept.get(key)
            if judgement is None:
                raise HandwheelError(f"{one.name}: its proof was deleted meanwhile; run it again")
            yield one, judgement

    def to_json(self) -> dict[str, Any]:
        """The object that ``class --json`` prints."""
        entries = [judgement.entry(one.name) for one, judgement in self.each()]
        return {
            "handwheel": 1,
            "job": self.job,
            "units": self.units,
            "submissions": entries,
            "common": [{"code": code, "submissions": count} for code, count in common(entries)],
        }


def common(entries: Sequence[dict[str, Any]]) -> list[tuple[str, int]]:
    """The codes of what was found, other than notes, with how many submissions have each; the most first."""
    found = Counter(code for one in entries for code in one["findings"] if level_of(code) != "note")
    return sorted(found.items(), key=lambda item: (-item[1], item[0]))


def judge_class(
    routes: tuple[Routes, ...],
    submissions: Sequence[Submission],
    folder: Path,
    run: AbstractContextManager[tuple[Executor, int]],
    *,
    address: str = "",
    bounds: Bounds = Bounds(),  # noqa: B008 (frozen)
    tell: Tell = lambda what, share: None,  # noqa: ARG005
) -> ClassReport:
    """Judge what is not judged yet, and keep it at once.

    Parameters
    ----------
    routes : the job's own two routes in every set-up
    submissions : what was handed in
    folder : of the report; judgements are kept in it
    run : where it is done: :func:`handwheel.learn.whole_class.workers.on_this_machine` or ``on_cluster``
    address : of the cluster, for messages
    bounds : for each submission
    tell : is told how far it is, and the share of the whole that is done
    """
    job = routes[0].setup.job
    kept = Kept(folder, job, bounds)
    for one in routes:
        _ = one.text, one.by_program  # worked out once, and sent along
    sent = pickle.dumps(routes)
    found: list[Submission] = []
    keys: list[str | None] = []
    asked: set[str] = set()
    done = 0

    def missing() -> Iterator[tuple[str, Task]]:
        """What has to be proved; two with the same content are proved once."""
        nonlocal done
        for one in submissions:
            try:
                contents = () if one.error else one.contents()
            except HandwheelError as error:
                found.append(Submission(one.name, one.kind, one.files, str(error)))
                keys.append(None)
                done += 1
                continue
            found.append(one)
            if one.error:
                keys.append(None)
                done += 1
                continue
            key = kept.key(one.kind, contents)
            keys.append(key)
            if key in asked or kept.get(key) is not None:
                done += 1
                continue
            asked.add(key)
            yield key, Task(version(), sent, bounds, one.kind, contents)

    with run as (executor, most):
        for key, answer in judged(missing(), executor, most, address):
            kept.put(key, answer)
            done += 1
            tell(f"{done} of {len(submissions)} submissions", done / len(submissions))
    return ClassReport(job.name, job.units, tuple(found), tuple(keys), kept)
