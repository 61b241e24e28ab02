"""``handwheel prove``."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import click


@click.command()
@click.argument("job_file", metavar="JOB", type=click.Path(path_type=Path))
@click.argument("programs", metavar="[PROGRAM]...", nargs=-1, type=click.Path(path_type=Path, allow_dash=True))
@click.option("--json", "as_json_text", is_flag=True, help="One JSON object a program, a line each.")
@click.option("--moves", is_flag=True, help="With --json: what each move takes off.")
@click.option("--resolution", help="Cell size of the height map, such as '0.2 mm'.")
@click.option("--strict", is_flag=True, help="Refuse inside corners with compensation on, as the standard does.")
@click.option("--shop", type=click.Path(path_type=Path), help="Your own shop file, beside the one that comes along.")
@click.pass_context
def prove(
    ctx: click.Context,
    job_file: Path,
    programs: tuple[Path, ...],
    as_json_text: bool,
    moves: bool,
    resolution: str | None,
    strict: bool,
    shop: Path | None,
) -> None:
    """Cut PROGRAM on the set-up of JOB, gauge the part, and look for trouble. Without PROGRAM: JOB's own.

    A PROGRAM that cannot be read is told, and the others are proved all the same.
    """
    from handwheel.cli.console import echo_json
    from handwheel.cli.first_run import first_run
    from handwheel.cli.progress import Progress
    from handwheel.cli.source import own_program, program_names, program_text
    from handwheel.cli.verdict import show_verdict
    from handwheel.errors import HandwheelError
    from handwheel.job import read_job
    from handwheel.proof import prove as prove_text
    from handwheel.proof.report import as_json
    from handwheel.setup import set_up
    from handwheel.units import quantity, shop_number

    job = read_job(job_file, shop)
    setup = set_up(job)[0]
    cell = None
    if resolution is not None:
        try:
            cell = quantity(resolution, "length", job.units)
        except ValueError as error:
            raise HandwheelError(f"--resolution {resolution}: {error}") from None
        if not cell > 0:
            raise HandwheelError(f"--resolution {resolution}: must be more than zero")
        width = min(setup.raw.size[:2])
        if cell > width:
            wide = f"{shop_number(width, job.units)} {job.units}"
            raise HandwheelError(
                f"--resolution {resolution}: is coarser than the stock, {wide}; give a fraction of that"
            )
    sources: Sequence[Path | None] = programs or (None,)
    names = program_names(programs) if programs else [f"{job.name}.nc"]
    failed = unread = False
    with first_run():
        for name, path in zip(names, sources, strict=True):
            try:
                text = own_program(setup) if path is None else program_text(path)
            except HandwheelError as error:
                click.echo(f"handwheel: {error}", err=True)
                unread = True
                continue
            with Progress() as progress:
                proof = prove_text(setup, text, name, strict=strict, resolution=cell, tell=progress.tell)
            failed |= proof.verdict == "fail"
            if as_json_text:
                echo_json(as_json(proof, job.units, engagement=moves))
            else:
                show_verdict(proof, job, text)
    ctx.exit(HandwheelError.exit_status if unread else 1 if failed else 0)
