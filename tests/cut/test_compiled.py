"""What is compiled is never older than its sources."""

from __future__ import annotations

import ast
import shutil
from pathlib import Path
from types import SimpleNamespace

import pytest

from handwheel import tolerances
from handwheel.cut.kernels import compiled

KERNELS = [
    file
    for file in sorted(compiled.PACKAGE.rglob("*.py"))
    if "from handwheel.cut.kernels.compiled import compiled" in file.read_text(encoding="utf-8")
]


def imported(file: Path) -> set[Path]:
    """The house's own files that a module takes names from."""
    tree = ast.parse(file.read_text(encoding="utf-8"))
    names = [node.module for node in ast.walk(tree) if isinstance(node, ast.ImportFrom) and node.module]
    places = [compiled.PACKAGE.parent.joinpath(*name.split(".")) for name in names if name.startswith("handwheel.")]
    return {file for place in places for file in (place.with_suffix(".py"), place / "__init__.py") if file.is_file()}


@pytest.mark.parametrize("file", KERNELS, ids=lambda file: file.stem)
def test_all_that_a_kernel_is_made_of_counts_for_its_freshness(file: Path) -> None:
    """Of what it takes from elsewhere, only the tolerances, whose values count."""
    elsewhere = {file, *imported(file)} - set(compiled.sources())
    assert elsewhere <= {Path(tolerances.__file__), compiled.PACKAGE / "__init__.py"}


@pytest.fixture
def package(tmp_path: Path) -> Path:
    copied = tmp_path / "handwheel"
    shutil.copytree(compiled.PACKAGE, copied, ignore=shutil.ignore_patterns("__pycache__", "web"))
    assert compiled.state(copied) == compiled.state()
    return copied


@pytest.mark.parametrize(
    ("changed", "renewed"),
    [
        ("cut/kernels/outline.py", True),
        ("check/kernels/gap.py", True),
        ("show/animation/kernels/pictorial.py", True),
        ("check/meeting_work.py", False),
        ("cut/heightmap.py", False),
        ("tolerances.py", False),
    ],
)
def test_a_change_of_a_kernel_changes_the_folder_and_no_other_does(package: Path, changed: str, renewed: bool) -> None:
    """Where a kernel changes, those that call it have its old code in them (numba's documentation, on-disk caching);
    a sentence changed elsewhere costs nobody a minute of compiling."""
    file = package / changed
    file.write_text(file.read_text(encoding="utf-8") + "\n# changed\n", encoding="utf-8")
    assert (compiled.state(package) != compiled.state()) == renewed


def test_another_value_of_a_tolerance_changes_the_folder() -> None:
    values = {**vars(tolerances), "CONTACT": 2.0 * tolerances.CONTACT}
    assert compiled.state(house=SimpleNamespace(**values)) != compiled.state()


def test_compiled_code_lies_in_the_folder_of_the_state() -> None:
    from handwheel.cut.kernels.chains import cut_rays

    assert f"kernels-{compiled.state()}" in cut_rays.stats.cache_path  # type: ignore[attr-defined]
