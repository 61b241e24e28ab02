"""A file that no person wrote gets a short message, soon."""

from __future__ import annotations

import time
from pathlib import Path

import pytest

from handwheel.errors import JobError
from handwheel.job.reader import read_job_text
from handwheel.plan import Route, plan
from handwheel.setup import set_up
from handwheel.shop import load_shop

DOTS = ".".join(["a"] * 901) + " = 1\n"
TEXTS = {
    "900 dots": DOTS,
    "40 KB of dots": "a." * 20_000 + "a = 1\n",
    "a heading of dots": "[" + "a." * 20_000 + "a]\n",
    "quoted keys": '"a b".' * 900 + "a = 1\n",
    "a long key": "k" * 1_000_000 + " = 1\n",
    "many keys": "".join(f"u{number} = {number}\n" for number in range(20_000)),
}


@pytest.mark.parametrize("text", TEXTS.values(), ids=TEXTS.keys())
@pytest.mark.parametrize("kind", ["job", "shop"])
def test_an_enormous_key_or_very_many_get_a_short_message_soon(text: str, kind: str, tmp_path: Path) -> None:
    load_shop()
    file = tmp_path / "shop.toml"
    file.write_text(text, encoding="utf-8")
    start = time.process_time()
    with pytest.raises(JobError) as error:
        read_job_text(text, "part") if kind == "job" else load_shop(file)
    assert time.process_time() - start < 2.0
    assert len(str(error.value)) < 20_000


PLATE = (
    """handwheel = 1
title = "Plate"
units = "in"
material = "aluminium-6061"
notes = """
    + '"""'
    + """
hole list . . . . . . . . . . . . . . . . . . . . . . . . . . . see drawing
deburr ..................................................... both sides
"""
    + '"""'
    + """
[stock]
size = [6.0, 4.0, 1.0]
[[holes]]
name = "row"
at = [
    [0.5, 0.5], [0.7, 0.5], [0.9, 0.5], [1.1, 0.5], [1.3, 0.5], [1.5, 0.5], [1.7, 0.5], [1.9, 0.5],
    [2.1, 0.5], [2.3, 0.5], [2.5, 0.5], [2.7, 0.5], [2.9, 0.5], [3.1, 0.5], [3.3, 0.5], [3.5, 0.5],
]
[[tool]]
number = 1
like = "drill-1/4in-hss"
[[operation]]
do = "drill"
name = "row of holes"
tool = 1
holes = "row"
depth = 0.5
"""
)


def test_many_points_in_a_line_and_leader_dots_in_a_note_are_no_key() -> None:
    job = read_job_text(PLATE, "plate")
    assert "see drawing" in job.notes
    (drilling,) = plan(set_up(job)[0], Route.BY_PROGRAM).steps[-1:]
    assert len(drilling.holes) == 16
