"""``handwheel sheet``."""

from __future__ import annotations

from pathlib import Path

import click


@click.command()
@click.argument("job_file", metavar="JOB", type=click.Path(path_type=Path))
@click.option("--shop", type=click.Path(path_type=Path), help="Your own shop file, beside the one that comes along.")
@click.option("--card", "as_card", is_flag=True, help="The machine card instead: what lies on the mill.")
def sheet(job_file: Path, shop: Path | None, *, as_card: bool) -> None:
    """Print the route sheet of JOB: set-up, every step by hand with its readings, inspection."""
    from handwheel import hand
    from handwheel.job import read_job
    from handwheel.plan import Route, plan
    from handwheel.setup import set_up

    pages = []
    for setup in set_up(read_job(job_file, shop)):
        steps = plan(setup, Route.BY_HAND)
        actions = hand.actions(setup, steps)
        page = hand.card_text(hand.card(setup, steps, actions)) if as_card else hand.sheet(setup, steps, actions)
        pages.append(page)
    click.echo("\n\n".join(pages), nl=False)
