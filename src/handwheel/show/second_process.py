"""A second process for what can be made beside the rest: a computer in a classroom has two cores at least."""

from __future__ import annotations

import gc
import multiprocessing
import os
import signal
import threading
from collections.abc import Callable
from concurrent.futures import Future, ProcessPoolExecutor
from multiprocessing.process import BaseProcess
from types import TracebackType
from typing import ParamSpec, Self, TypeVar

Words = ParamSpec("Words")
Result = TypeVar("Result")


def end_with_the_first() -> None:
    """In the second process: end when the first one does, however it dies, and leave Ctrl-C to it."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    first = multiprocessing.parent_process()
    if first is not None:
        threading.Thread(target=_end_after, args=(first,), daemon=True).start()


def _end_after(first: BaseProcess) -> None:
    first.join()
    os._exit(1)


class SecondProcess:
    """Calls functions in a process of its own, one after the other, while this one goes on.

    It is started afresh and not forked, so that it is the same on every system.
    """

    def __init__(self) -> None:
        self._pool = ProcessPoolExecutor(
            max_workers=1, mp_context=multiprocessing.get_context("spawn"), initializer=end_with_the_first
        )

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._pool.shutdown(cancel_futures=error is not None)

    def call(
        self, function: Callable[Words, Result], *arguments: Words.args, **options: Words.kwargs
    ) -> Future[Result]:
        """Begin as soon as the calls before it are done; errors come with the result."""
        return self._pool.submit(function, *arguments, **options)

    def finish(self) -> None:
        """No call comes any more: it may end as soon as it has done what was asked for."""
        # what a process leaves behind when it ends need not be collected
        self.call(gc.freeze)
        self._pool.shutdown(wait=False)
