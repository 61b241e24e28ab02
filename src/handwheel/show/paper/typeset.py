"""The page setter: sources joined, words handed over as data, fonts that travel with the drawings."""

from __future__ import annotations

import json
from collections.abc import Mapping
from importlib.resources import files
from pathlib import Path
from typing import Any, Final

from handwheel.units import Units

PAPER: Final[dict[Units, str]] = {"in": "us-letter", "mm": "a4"}


def typeset(sources: tuple[str, ...], inputs: Mapping[str, Any]) -> bytes:
    """A PDF of the sources, one after the other; ``inputs`` by the names that they read."""
    import matplotlib
    import typst

    # the drawings' own font, which travels with matplotlib: one family throughout, and none of the machine's
    folder = Path(matplotlib.get_data_path()) / "fonts" / "ttf"
    fonts = typst.Fonts(include_system_fonts=False, font_paths=[str(folder)])
    text = "\n".join(files(__package__).joinpath(name).read_text(encoding="utf-8") for name in sources)
    made = typst.compile(
        text.encode(),
        format="pdf",
        sys_inputs={name: json.dumps(value) for name, value in inputs.items()},
        font_paths=fonts,
    )
    assert isinstance(made, bytes)
    return made
