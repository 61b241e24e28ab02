"""Judging many submissions: in processes on this machine, or by the workers of a Dask scheduler that is already there.

Both run the same function, so that what they say is the same byte for byte.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import threading
import warnings
from collections.abc import Iterable, Iterator
from concurrent.futures import FIRST_COMPLETED, CancelledError, Executor, Future, ThreadPoolExecutor, wait
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, Final, TypeVar

from handwheel.errors import HandwheelError
from handwheel.learn.whole_class.watched_process import Bounds, WatchedProcess
from handwheel.version import __version__

Key = TypeVar("Key")

CONNECT_SECONDS: Final = 20.0
"""So long is waited for a scheduler, and then for its first worker."""
LOST: Final = 10
"""A submission whose workers were lost is given out again so often."""


@dataclass(frozen=True)
class Task:
    """A submission as it is given to a worker: the version it is for, the job, the kind and the files' bytes."""

    version: str
    job: bytes
    bounds: Bounds
    kind: str
    contents: tuple[bytes, ...]


class ClusterError(HandwheelError):
    """The scheduler or its workers cannot do the work."""


@cache
def version() -> str:
    """Changes with the version and with any source of the package, so that nobody tells old results as new."""
    package = Path(__file__).parents[1]
    digest = hashlib.sha256(__version__.encode())
    for file in sorted(package.rglob("*")):
        if file.suffix in (".py", ".toml"):
            digest.update(file.relative_to(package).as_posix().encode())
            digest.update(file.read_bytes().replace(b"\r\n", b"\n"))
    return f"{__version__}-{digest.hexdigest()[:16]}"


_HERE = threading.local()
_PROCESSES: list[WatchedProcess] = []
_FIRST: Final = threading.Lock()


def judge_here(task: Task) -> bytes | str:
    """Judge a submission in a process beside this thread; in another version of handwheel: that version's name.

    Whoever is first gets ready alone: where kernels must be compiled it is done once.
    """
    if task.version != version():
        return version()
    process: WatchedProcess | None = getattr(_HERE, "process", None)
    if process is None or process.job != task.job or process.bounds != task.bounds:
        if process is not None:
            process.close()
            _PROCESSES.remove(process)
        process = _HERE.process = WatchedProcess(task.job, task.bounds)
        _PROCESSES.append(process)
        with _FIRST:
            process.get_ready()
    return process.judge(task.kind, task.contents).to_bytes()


@contextlib.contextmanager
def on_this_machine(workers: int) -> Iterator[tuple[Executor, int]]:
    """So many processes on this machine, and how many submissions are given out at a time."""
    executor = ThreadPoolExecutor(workers, thread_name_prefix="process")
    try:
        yield executor, 2 * workers
    except BaseException:
        executor.shutdown(wait=False, cancel_futures=True)
        raise
    finally:
        # whoever is in the midst of a proof is stopped: what is finished is kept
        for process in _PROCESSES:
            process.stop()
        executor.shutdown(cancel_futures=True)
        _PROCESSES.clear()


@contextlib.contextmanager
def on_cluster(address: str) -> Iterator[tuple[Executor, int]]:
    """The workers of a Dask scheduler, and how many submissions are given out at a time.

    Raises
    ------
    ClusterError
        Where the extra is not installed, no scheduler answers there, or it has no workers.
    """
    try:
        import distributed
    except ImportError:
        raise ClusterError("--cluster needs the extra: pip install 'handwheel[cluster]'") from None
    try:
        connect: Any = distributed.Client
        client = connect(address, timeout=CONNECT_SECONDS, set_as_default=False)
    except (OSError, ValueError, TypeError) as error:
        raise ClusterError(
            f"--cluster {address}: no scheduler answers there; start one with: dask scheduler"
        ) from error
    with client:
        try:
            client.wait_for_workers(1, timeout=CONNECT_SECONDS)
        except TimeoutError:
            raise ClusterError(f"--cluster {address}: has no workers; start one with: dask worker {address}") from None
        threads = sum(one["nthreads"] for one in client.scheduler_info(n_workers=-1)["workers"].values())
        yield client.get_executor(pure=False, retries=LOST), max(4 * threads, 16)


def judged(
    tasks: Iterable[tuple[Key, Task]], executor: Executor, most: int, address: str = ""
) -> Iterator[tuple[Key, bytes]]:
    """Each submission's judgement as it is ready, as bytes; so many are given out at a time, whatever their number.

    Raises
    ------
    ClusterError
        Where a worker runs another version, or the scheduler is gone.
    """
    waiting: dict[Future[Any], tuple[Key, Task, int]] = {}

    def give(key: Key, task: Task, tries: int) -> None:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", UserWarning)  # a program of a million blocks is a large message
            waiting[executor.submit(judge_here, task)] = key, task, tries

    def taken() -> Iterator[tuple[Key, bytes]]:
        for one in wait(waiting, return_when=FIRST_COMPLETED).done:
            key, task, tries = waiting.pop(one)
            answer = _answer(one, address, last=tries + 1 >= LOST)
            if answer is None:
                give(key, task, tries + 1)
            else:
                yield key, answer

    for key, task in tasks:
        give(key, task, 0)
        while len(waiting) >= most:
            yield from taken()
    while waiting:
        yield from taken()


def _answer(one: Future[Any], address: str, *, last: bool) -> bytes | None:
    """What a worker answered; ``None`` where it was lost and another is to be asked."""
    try:
        answer = one.result()
    except HandwheelError:
        raise
    except ModuleNotFoundError as error:
        raise ClusterError(f"--cluster {address}: a worker has no {error.name}; install handwheel there") from error
    except (CancelledError, Exception) as error:
        if not address:
            raise
        if not _lost(error) or last:
            raise ClusterError(f"--cluster {address}: cannot go on: {type(error).__name__}; start it again") from error
        return None
    if isinstance(answer, str):
        raise ClusterError(f"--cluster {address}: a worker runs handwheel {answer}, and this is {version()}")
    return bytes(answer)


def _lost(error: BaseException) -> bool:
    """Whether it says that a worker died under its work."""
    from distributed.scheduler import KilledWorker

    return isinstance(error, KilledWorker)


def cores() -> int:
    """How many processes work at a time where nothing else is asked for."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
