"""What is handed out says it as the shop does: words that once stood in its place do not come back."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import pytest

from handwheel.hand import card, card_text, sheet
from handwheel.job import read_job
from handwheel.proof import routes_of

EXAMPLES = sorted(Path(__file__).parents[2].glob("examples/*/job.toml"))
NOT_SAID = (
    r"the play\b",
    r"ought to",
    r"nose home",
    r"stands still",
    r"until it stands",
    r"(center|finder|cutter) stands",
    r"past the figure",
    r"at its figure",
    r"sets out",
    r"known here",
    r"millimetre",
    r"aluminium",
    r"\bcentre",
    r"colour",
    r"\bgrey\b",
)
"""Of no trade, or not in American spelling (common practice)."""


@cache
def handed_out(path: Path) -> str:
    texts = []
    for routes in routes_of(read_job(path)):
        setup, steps, doing = routes.setup, routes.by_hand, routes.doing
        texts += [routes.text, sheet(setup, steps, doing), card_text(card(setup, steps, doing))]
    return "\n".join(texts)


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.parent.name)
def test_sheet_and_program_speak_as_the_shop_does(path: Path) -> None:
    for words in NOT_SAID:
        found = re.search(f".*{words}.*", handed_out(path), re.IGNORECASE)
        assert found is None, found
