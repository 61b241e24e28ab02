"""What is compiled is never older than its sources."""

from __future__ import annotations

import ast
import importlib.util
import shutil
from pathlib import Path

import pytest

from handwheel.cut import compiled

KERNELS = [
    file
    for file in sorted(compiled.PACKAGE.rglob("*.py"))
    if "from handwheel.cut.compiled import compiled" in file.read_text(encoding="utf-8")
]


def imported(file: Path) -> set[Path]:
    """The house's own files that a module takes names from."""
    tree = ast.parse(file.read_text(encoding="utf-8"))
    names = [node.module for node in ast.walk(tree) if isinstance(node, ast.ImportFrom) and node.module]
    specs = [importlib.util.find_spec(name) for name in names if name.startswith("handwheel.")]
    return {Path(spec.origin) for spec in specs if spec is not None and spec.origin is not None}


@pytest.mark.parametrize("file", KERNELS, ids=lambda file: file.stem)
def test_all_that_a_kernel_is_made_of_counts_for_its_freshness(file: Path) -> None:
    assert {file, *imported(file)} <= set(compiled.sources())


@pytest.mark.parametrize("changed", ["tolerances.py", "cut/outline.py", "check/gap.py"])
def test_a_change_of_any_of_them_changes_the_folder(tmp_path: Path, changed: str) -> None:
    """Where a kernel changes, those that call it have its old code in them (numba's documentation, on-disk caching)."""
    package = tmp_path / "handwheel"
    shutil.copytree(compiled.PACKAGE, package, ignore=shutil.ignore_patterns("__pycache__", "web"))
    assert compiled.state(package) == compiled.state()
    file = package / changed
    file.write_text(file.read_text(encoding="utf-8") + "\n# changed\n", encoding="utf-8")
    assert compiled.state(package) != compiled.state()


def test_compiled_code_lies_in_the_folder_of_the_state() -> None:
    from handwheel.cut.ray_kernel import cut_rays

    assert f"kernels-{compiled.state()}" in cut_rays.stats.cache_path  # type: ignore[attr-defined]
