"""Says why the first run after installing takes longer."""

from __future__ import annotations

import click

LINE = "First run after installing: the kernels of the cut are being compiled, once; this takes some 20 seconds."


def say_when_compiling() -> None:
    """From now on, print one line to standard error when a kernel has to be compiled."""
    from numba.core import event

    class Compiling(event.Listener):
        said = False

        def on_start(self, event: object) -> None:
            del event
            if not self.said:
                click.echo(LINE, err=True)
            self.said = True

        def on_end(self, event: object) -> None:
            del event

    event.register("numba:compile", Compiling())  # type: ignore[no-untyped-call]
