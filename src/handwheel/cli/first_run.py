"""The first run after installing compiles its kernels: it says so, and puts a second core to work on it."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager

import click

LINE = "First run after installing: the kernels of the cut are being compiled, once; this takes some 20 seconds."


@contextmanager
def first_run() -> Iterator[None]:
    """While it lasts: where a kernel must be compiled, print one line to standard error.

    Those of the cut are then compiled in a process beside this one, which starts with the checks'.
    """
    from numba.core import event

    class Compiling(event.Listener):
        beside: subprocess.Popen[bytes] | None = None

        def on_start(self, event: object) -> None:
            del event
            if self.beside is None:
                click.echo(LINE, err=True)
                words = [sys.executable, "-m", "handwheel.cut.warm"]
                self.beside = subprocess.Popen(words, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)

        def on_end(self, event: object) -> None:
            del event

    compiling = Compiling()
    event.register("numba:compile", compiling)  # type: ignore[no-untyped-call]
    try:
        yield
    finally:
        event.unregister("numba:compile", compiling)  # type: ignore[no-untyped-call]
        if compiling.beside is not None:
            compiling.beside.wait()
