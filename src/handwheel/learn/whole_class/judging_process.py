"""The other end of a :class:`WatchedProcess`: reads submissions, answers with judgements."""

from __future__ import annotations

import os
import pickle
import queue
import signal
import sys
import threading
from typing import Any, Final

from handwheel.errors import HandwheelError
from handwheel.learn.whole_class.judgement import Judgement
from handwheel.learn.whole_class.watched_process import receive, send

IDLE_SECONDS: Final = 120.0
"""After so long without a submission it ends; where one comes after all, another process is started."""


def main() -> None:
    """Read the job, get ready, then judge until nobody asks any more."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is for the process that asks
    asking, answering = sys.stdin.buffer, os.fdopen(os.dup(sys.stdout.fileno()), "wb")
    os.dup2(sys.stderr.fileno(), sys.stdout.fileno())  # whatever is printed is no answer
    asked: queue.SimpleQueue[bytes] = queue.SimpleQueue()
    threading.Thread(target=_listen, args=(asking, asked), daemon=True).start()
    try:
        routes = pickle.loads(asked.get())
        _warm(routes)
    except HandwheelError as error:
        send(answering, pickle.dumps(str(error)))
        return
    send(answering, b"")
    while True:
        try:
            message = asked.get(timeout=IDLE_SECONDS)
        except queue.Empty:
            return
        kind, contents = pickle.loads(message)
        _judge(routes, kind, contents, answering)
        send(answering, b"")


def _judge(routes: Any, kind: str, contents: tuple[bytes, ...], answering: Any) -> None:
    from handwheel.learn.whole_class.kinds import KINDS

    try:
        for judged in KINDS[kind].judge(routes, contents):
            send(answering, judged.to_bytes())
    except HandwheelError as error:
        send(answering, Judgement(error=str(error)).to_bytes())
    except BrokenPipeError:
        os._exit(1)
    except MemoryError:
        send(answering, Judgement(error="the proof needs more memory than there is").to_bytes())
    except Exception as error:  # a fault of ours: it must not stop the others, and must be told
        told = f"the proof broke off: {type(error).__name__}: {error}; please report it"
        send(answering, Judgement(error=told).to_bytes())


def _warm(routes: Any) -> None:
    """Prove the job's own program: kernels are compiled or loaded, and what all proofs share is worked out."""
    from handwheel.proof import prove

    prove(routes)


def _listen(stream: Any, asked: queue.SimpleQueue[bytes]) -> None:
    while (message := receive(stream)) is not None:
        asked.put(message)
    os._exit(0)  # nobody is there any more, also in the midst of a proof


if __name__ == "__main__":
    main()
