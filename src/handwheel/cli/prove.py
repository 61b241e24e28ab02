"""``handwheel prove``."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from handwheel.proof import Routes


@click.command()
@click.argument("job_file", metavar="JOB", type=click.Path(path_type=Path))
@click.argument("programs", metavar="[PROGRAM]...", nargs=-1, type=click.Path(path_type=Path, allow_dash=True))
@click.option("--json", "as_json_text", is_flag=True, help="One JSON object a program, a line each.")
@click.option("--moves", is_flag=True, help="With --json: what each move takes off.")
@click.option("--why", "asks_why", is_flag=True, help="Where it fails: which known mistake, undone, makes it pass.")
@click.option("--resolution", help="Cell size of the height map, such as '0.2 mm'.")
@click.option("--setup", "setup_name", metavar="NAME", help="Of several set-ups, the one that each PROGRAM is for.")
@click.option("--in-order", is_flag=True, help="One PROGRAM a set-up, in order: together they make one part.")
@click.option("--strict", is_flag=True, help="Refuse inside corners and words beyond the standard, as it does.")
@click.option("--shop", type=click.Path(path_type=Path), help="Your own shop file, beside the one that comes along.")
@click.pass_context
def prove(
    ctx: click.Context,
    job_file: Path,
    programs: tuple[Path, ...],
    as_json_text: bool,
    moves: bool,
    asks_why: bool,
    resolution: str | None,
    setup_name: str | None,
    in_order: bool,
    strict: bool,
    shop: Path | None,
) -> None:
    """Cut PROGRAM on the set-up of JOB, gauge the part, and look for trouble. Without PROGRAM: JOB's own.

    Where JOB has several set-ups, --setup says which one each PROGRAM is for, and the others are done as planned. A
    PROGRAM that cannot be read is told, and the others are proved all the same.

    With --why a program that fails is proved again with one known mistake undone at a time, at most 300 times, and then
    with two: what is told makes the part pass, or leaves least, and was cut before it is told.
    """
    from handwheel.cli.console import echo_json
    from handwheel.cli.first_run import first_run
    from handwheel.cli.progress import Progress
    from handwheel.cli.source import program_text
    from handwheel.cli.verdict import show_verdict, show_why
    from handwheel.errors import HandwheelError
    from handwheel.job import read_job
    from handwheel.learn import why
    from handwheel.proof import Program, routes_of
    from handwheel.proof import prove as prove_part

    job = read_job(job_file, shop)
    routes = routes_of(job)
    cell = None if resolution is None else _cell(resolution, routes)
    failed = unread = False
    with first_run():
        for programs_of_part in _parts(routes, programs, setup_name, in_order=in_order):
            try:
                given = {number: Program(name, program_text(path)) for number, name, path in programs_of_part}
            except HandwheelError as error:
                click.echo(f"handwheel: {error}", err=True)
                unread = True
                continue
            with Progress() as progress:
                proof = prove_part(routes, given, strict=strict, resolution=cell, tell=progress.tell)
            failed |= proof.verdict == "fail"
            causes = None
            if asks_why:
                with Progress() as progress:
                    causes = why(routes, proof, given, strict=strict, tell=progress.tell)
            if as_json_text:
                told = {} if causes is None else {"why": [one.to_json() for one in causes]}
                echo_json(proof.to_json(engagement=moves) | told)
            else:
                texts = [
                    str(given[one.setup.number].source) if one.setup.number in given else one.text for one in routes
                ]
                show_verdict(proof, job, texts)
                if causes is not None:
                    show_why(proof, causes)
    ctx.exit(HandwheelError.exit_status if unread else 1 if failed else 0)


def _cell(resolution: str, routes: Sequence[Routes]) -> float:
    """The greatest size of a cell of the height map, mm."""
    from handwheel.errors import HandwheelError
    from handwheel.units import quantity, shop_number

    units = routes[0].setup.job.units
    try:
        cell = quantity(resolution, "length", units)
    except ValueError as error:
        raise HandwheelError(f"--resolution {resolution}: {error}") from None
    if not cell > 0:
        raise HandwheelError(f"--resolution {resolution}: must be more than zero")
    width = min(routes[0].setup.raw.size[:2])
    if cell > width:
        wide = f"{shop_number(width, units)} {units}"
        raise HandwheelError(f"--resolution {resolution}: is coarser than the stock, {wide}; give a fraction of that")
    return cell


def _parts(
    routes: Sequence[Routes], paths: tuple[Path, ...], setup_name: str | None, *, in_order: bool
) -> list[list[tuple[int, str, Path]]]:
    """For each part that is made, the programs that are not the job's own: set-up, name, file."""
    from handwheel.cli.source import program_names
    from handwheel.cli.which_setup import setup_named
    from handwheel.errors import HandwheelError

    setups = [one.setup for one in routes]
    if in_order:
        if setup_name is not None:
            raise click.UsageError("--setup and --in-order exclude one another")
        if len(paths) != len(setups):
            raise HandwheelError(
                f"--in-order takes one program a set-up: the job has {len(setups)}, and {len(paths)} are given"
            )
        numbers = [one.number for one in setups]
        return [list(zip(numbers, program_names(paths), paths, strict=True))]
    if not paths:
        if setup_name is not None:
            setup_named(setups, setup_name)
        return [[]]
    number = setup_named(setups, setup_name).number
    return [[(number, name, path)] for name, path in zip(program_names(paths), paths, strict=True)]
