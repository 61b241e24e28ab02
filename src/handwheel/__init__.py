"""handwheel: the bridge from manual milling to CNC.

From Python: :func:`load_job`, :func:`prove`, :func:`read_program`, :func:`compare`, :func:`why`, :func:`measure`, which
do what the commands of these names do. They are loaded when they are first asked for, so that a command starts quickly.
"""

from typing import TYPE_CHECKING

from handwheel.errors import HandwheelError
from handwheel.version import __version__

if TYPE_CHECKING:
    from handwheel.from_python import compare, load_job, measure, prove, read_program, why

__all__ = ["HandwheelError", "__version__", "compare", "load_job", "measure", "prove", "read_program", "why"]


def __getattr__(name: str) -> object:
    if name in __all__:
        from handwheel import from_python

        return getattr(from_python, name)
    raise AttributeError(f"module 'handwheel' has no attribute {name!r}")
