"""A process of its own in which submissions are judged one after another, bounded in time and memory.

It is watched from outside, the same on every system: who takes too long or grows too large is ended, and the next
submission has a fresh one. It ends by itself when nobody is left to read its answers.
"""

from __future__ import annotations

import contextlib
import pickle
import queue
import subprocess
import sys
import threading
import time
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any, BinaryIO, Final

import psutil

from handwheel.errors import HandwheelError
from handwheel.learn.whole_class.judgement import Judgement

MOST_SECONDS: Final = 60.0
"""So long may one submission take."""
MOST_BYTES: Final = 1_000_000_000
"""So large may the process grow."""
GET_READY_SECONDS: Final = 600.0
"""So long may it take to get ready: where kernels must be compiled, on a slow machine."""
LOOK_EVERY: Final = 0.05
"""Time and size are looked at so often, seconds."""
FRESH_BYTES: Final = 400_000_000
"""A process that is larger after a submission is not used for the next, which would be blamed for it."""
TRIES: Final = 3
"""A process that ends without an answer, because somebody ended it, is started again so often."""
HEAD: Final = 8
"""Bytes that say how long a message is."""


@dataclass(frozen=True)
class Bounds:
    """How long a submission may take, and how large its process may grow."""

    seconds: float = MOST_SECONDS
    size: int = MOST_BYTES


class NotReadyError(HandwheelError):
    """The process cannot be started, or cannot prove anything."""


class WatchedProcess:
    """Judges submissions to one job in a process of its own.

    Parameters
    ----------
    job : the job's routes, pickled
    bounds : for each submission
    """

    def __init__(self, job: bytes, bounds: Bounds) -> None:
        self.job = job
        self.bounds = bounds
        self._process: subprocess.Popen[bytes] | None = None
        self._stopped = False
        self._answers: queue.SimpleQueue[Any] = queue.SimpleQueue()

    def judge(self, kind: str, contents: Sequence[bytes]) -> Judgement:
        """What is said of a submission of a kind, of which these are the files' bytes."""
        for _ in range(TRIES):
            try:
                self.get_ready()
                judged = self._judge(kind, contents)
            except (EOFError, OSError):
                judged = None
            if judged is not None:
                self._renew_if_large()
                return judged
            self.close()
        return Judgement(error=f"the proof ended without an answer, {TRIES} times")

    def close(self) -> None:
        """End the process."""
        process, self._process = self._process, None
        if process is None:
            return
        process.kill()
        for stream in (process.stdin, process.stdout):
            with contextlib.suppress(OSError):
                stream.close()  # type: ignore[union-attr]
        process.wait()

    def get_ready(self) -> None:
        """Start the process if it is not there; it has proved the job's own program then.

        Raises
        ------
        NotReadyError
            Where it cannot.
        """
        if self._stopped:
            raise NotReadyError("stopped")
        if self._process is not None and self._process.poll() is None:
            return
        self.close()
        self._answers = queue.SimpleQueue()
        # by its words and not by multiprocessing: a worker of a cluster may not start processes with that
        self._process = subprocess.Popen(
            [sys.executable, "-m", "handwheel.learn.whole_class.judging_process"],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
        )
        threading.Thread(target=_listen, args=(self._process.stdout, self._answers), daemon=True).start()
        self._send(self.job)
        try:
            answer = self._answers.get(timeout=GET_READY_SECONDS)
        except queue.Empty:
            raise NotReadyError("a process for the proofs is not ready after ten minutes") from None
        if answer is None:
            raise EOFError
        if answer:
            raise NotReadyError(pickle.loads(answer))

    def stop(self) -> None:
        """End the process from another thread; none is started any more."""
        self._stopped = True
        process = self._process
        if process is not None:
            process.kill()

    def _judge(self, kind: str, contents: Sequence[bytes]) -> Judgement | None:
        """The judgement; ``None`` where the process ended."""
        assert self._process is not None
        watched = psutil.Process(self._process.pid)
        self._send(pickle.dumps((kind, tuple(contents))))
        end = time.monotonic() + self.bounds.seconds
        early: Judgement | None = None
        while True:
            with contextlib.suppress(queue.Empty):
                answer = self._answers.get(timeout=LOOK_EVERY)
                if answer is None:
                    return None
                if not answer:
                    return early
                early = Judgement.from_bytes(answer)
                continue
            over = self._over(watched, end)
            if over is not None:
                self.close()
                return (
                    replace(early, error=f"the search for the mistake {over}")
                    if early
                    else Judgement(error=f"the proof {over}")
                )

    def _over(self, watched: psutil.Process, end: float) -> str | None:
        """Which bound is passed, in words."""
        if time.monotonic() > end:
            return f"took longer than {self.bounds.seconds:g} s and was stopped"
        try:
            size = watched.memory_info().rss
        except psutil.Error:
            return None  # it has just ended
        if size > self.bounds.size:
            return f"took more than {self.bounds.size / 1e9:g} GB of memory and was stopped"
        return None

    def _renew_if_large(self) -> None:
        if self._process is None:
            return
        try:
            large = psutil.Process(self._process.pid).memory_info().rss > FRESH_BYTES
        except psutil.Error:
            large = True
        if large:
            self.close()

    def _send(self, message: bytes) -> None:
        assert self._process is not None
        assert self._process.stdin is not None
        send(self._process.stdin, message)


def send(stream: BinaryIO | Any, message: bytes) -> None:
    """Write a message with its length before it."""
    stream.write(len(message).to_bytes(HEAD, "little"))
    stream.write(message)
    stream.flush()


def receive(stream: BinaryIO | Any) -> bytes | None:
    """The next message; ``None`` where none comes any more."""
    head = stream.read(HEAD)
    if len(head) < HEAD:
        return None
    size = int.from_bytes(head, "little")
    message: bytes = stream.read(size)
    return message if len(message) == size else None


def _listen(stream: BinaryIO | Any, answers: queue.SimpleQueue[Any]) -> None:
    try:
        while (message := receive(stream)) is not None:
            answers.put(message)
    except (OSError, ValueError):
        pass  # closed from this side
    answers.put(None)
