"""The language: words, expressions, modal state, compensation, cycles. Text in, moves out; knows no job."""

from handwheel.rs274.reader import read
from handwheel.rs274.reading import Event, Note, Reading
from handwheel.rs274.validate import validate_block

__all__ = ["Event", "Note", "Reading", "read", "validate_block"]
