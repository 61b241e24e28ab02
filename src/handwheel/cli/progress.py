"""How far long work has got, on standard error where that is a terminal."""

from __future__ import annotations

from types import TracebackType
from typing import Self

from rich.console import Console
from rich.progress import BarColumn, TextColumn, TimeElapsedColumn
from rich.progress import Progress as Bar


class Progress:
    """``tell(what, share)`` says what is being done and how much of the whole is (0…1)."""

    def __init__(self) -> None:
        console = Console(stderr=True)
        self._bar = Bar(
            TextColumn("{task.description}"),
            BarColumn(),
            TimeElapsedColumn(),
            console=console,
            disable=not console.is_terminal,
            transient=True,
        )
        self._task = self._bar.add_task("", total=1.0)

    def __enter__(self) -> Self:
        self._bar.start()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._bar.stop()

    def tell(self, what: str, share: float) -> None:
        """Show it."""
        self._bar.update(self._task, description=what, completed=share)
