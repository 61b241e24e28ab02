"""``handwheel write``."""

from __future__ import annotations

from pathlib import Path

import click


@click.command()
@click.argument("job_file", metavar="JOB", type=click.Path(path_type=Path))
@click.option("-o", "--output", type=click.Path(path_type=Path), help="File to write; left out: the terminal.")
@click.option("--force", is_flag=True, help="Write over a file that is not as handwheel wrote it.")
@click.option("--setup", "setup_name", metavar="NAME", help="Of several set-ups, this one.")
@click.option("--shop", type=click.Path(path_type=Path), help="Your own shop file, beside the one that comes along.")
def write(job_file: Path, output: Path | None, force: bool, setup_name: str | None, shop: Path | None) -> None:
    """Write the RS-274 program of JOB, unproved; `make` writes it proved."""
    from handwheel.cli.output import guard_edited, write_files
    from handwheel.cli.which_setup import setup_named
    from handwheel.job import read_job
    from handwheel.plan import Route, plan
    from handwheel.program import write_program
    from handwheel.setup import set_up

    setup = setup_named(set_up(read_job(job_file, shop)), setup_name)
    text = write_program(setup, plan(setup, Route.BY_PROGRAM))
    if output is None:
        click.echo(text, nl=False)
        return
    guard_edited(output, force=force)
    write_files(output.parent, {output.name: text.encode()}, lambda: guard_edited(output, force=force))
