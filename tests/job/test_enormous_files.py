"""A file that no person wrote gets a short message, soon."""

from __future__ import annotations

import time
from pathlib import Path

import pytest

from handwheel.errors import JobError
from handwheel.job.reader import read_job_text
from handwheel.shop import load_shop

DOTS = ".".join(["a"] * 901) + " = 1\n"
TEXTS = {
    "900 dots": DOTS,
    "40 KB of dots": "a." * 20_000 + "a = 1\n",
    "a heading of dots": "[" + "a." * 20_000 + "a]\n",
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
