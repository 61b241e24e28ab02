"""``handwheel shop`` as somebody types it."""

from __future__ import annotations

from pathlib import Path

from click.testing import CliRunner

from handwheel.cli import main


def test_the_list_names_every_entry_with_its_source() -> None:
    from handwheel.shop import load_shop

    shown = CliRunner().invoke(main, ["shop"])
    assert shown.exit_code == 0
    held = load_shop()
    for entries in (held.knee_mill, held.cnc_mill, held.vise, held.parallels, held.material, held.cutter, held.gauge):
        for name in entries:
            (line,) = [line for line in shown.output.splitlines() if f"{line} ".lstrip().startswith(f"{name} ")]
            assert "common practice" in line or "from memory" in line


def test_the_list_in_millimeters_has_no_inches() -> None:
    shown = CliRunner().invoke(main, ["shop", "--units", "mm"]).output
    assert "12.7" in next(line for line in shown.splitlines() if "end-mill-1/2in-hss" in line)


def test_a_shop_file_that_is_not_there_is_one_message_and_status_2(tmp_path: Path) -> None:
    shown = CliRunner().invoke(main, ["shop", "--shop", str(tmp_path / "none.toml")])
    assert shown.exit_code == 2
    assert "there is no such file" in shown.stderr
    assert shown.stdout == ""
