"""Files are put in place together, or the folder says that they were not."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from handwheel.cli.output import INCOMPLETE, guard_edited, write_files
from handwheel.errors import OutputError
from handwheel.program.seal import sealed


def test_a_program_edited_while_the_new_one_is_made_is_kept(tmp_path: Path) -> None:
    program = tmp_path / "part.nc"
    program.write_text(sealed("%\nM30\n%\n"), encoding="utf-8")

    def edited_meanwhile() -> None:
        program.write_text(program.read_text(encoding="utf-8").replace("M30", "M2"), encoding="utf-8")
        guard_edited(program, force=False)

    with pytest.raises(OutputError, match="edited by hand"):
        write_files(tmp_path, {"part.nc": b"new", "sheet.txt": b"new"}, edited_meanwhile)
    assert "M2" in program.read_text(encoding="utf-8")
    assert [one.name for one in tmp_path.iterdir()] == ["part.nc"]


def test_a_run_cut_off_between_two_files_leaves_a_mark_that_the_next_one_takes_away(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    whole = Path.replace

    def killed(self: Path, target: Path) -> Path:
        if target.name == "b.txt":
            raise KeyboardInterrupt
        return whole(self, target)

    with monkeypatch.context() as patched:
        patched.setattr(Path, "replace", killed)
        with pytest.raises(KeyboardInterrupt):
            write_files(tmp_path, {"a.txt": b"1", "b.txt": b"2"})
    assert "may be mixed" in (tmp_path / INCOMPLETE).read_text(encoding="utf-8")
    abandoned = tmp_path / ".handwheel-x.part"
    abandoned.write_bytes(b"")
    os.utime(abandoned, (0, 0))
    write_files(tmp_path, {"a.txt": b"1", "b.txt": b"2"})
    assert sorted(one.name for one in tmp_path.iterdir()) == ["a.txt", "b.txt"]
