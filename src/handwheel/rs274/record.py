"""What has been read so far: moves, events, notes and comments as they come up."""

from __future__ import annotations

from handwheel.motion import MovesBuilder
from handwheel.rs274.reading import Event, Happening, Note


class Record:
    """Collects; ``line`` is the line being executed."""

    def __init__(self) -> None:
        self.line = 0
        self.moves = MovesBuilder()
        self.events: list[Event] = []
        self.comments: list[tuple[int, str]] = []
        self.comment_moves: list[int] = []
        self.called: dict[str, int] = {}
        self._notes: dict[tuple[str, str], Note] = {}

    def note(self, code: str, message: str, line: int | None = None) -> None:
        """Say something once; said again, it is counted."""
        said = self._notes.get((code, message))
        if said is None:
            said = Note(code, self.line if line is None else line, message, 0)
        self._notes[code, message] = Note(code, said.line, message, said.count + 1)

    def call(self, word: str) -> None:
        """Keep where a word first stands."""
        self.called.setdefault(word, self.line)

    @property
    def notes(self) -> tuple[Note, ...]:
        """In the order in which they first came up."""
        return tuple(self._notes.values())

    def event(self, what: Happening, tool: int, text: str = "", line: int | None = None) -> None:
        """Something happens before the next move."""
        self.events.append(Event(self.line if line is None else line, what, len(self.moves), tool, text))
