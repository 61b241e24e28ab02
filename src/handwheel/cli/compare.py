"""``handwheel compare``."""

from __future__ import annotations

from pathlib import Path

import click


@click.command()
@click.argument("job_file", metavar="JOB", type=click.Path(path_type=Path))
@click.option("--slip", "slip_name", metavar="NAME", help="Make this slip and see what comes of it; 'all' makes each.")
@click.option("--json", "as_json_text", is_flag=True, help="One JSON object.")
@click.option("--csv", "as_csv", is_flag=True, help="The steps as a table for a spreadsheet.")
@click.option("--shop", type=click.Path(path_type=Path), help="Your own shop file, beside the one that comes along.")
@click.pass_context
def compare(
    ctx: click.Context, job_file: Path, slip_name: str | None, as_json_text: bool, as_csv: bool, shop: Path | None
) -> None:
    """Make JOB both ways and lay them side by side: steps, parts, clocks, and where errors come from.

    A slip is judged as the job itself is; the exit status is that of the job without slips.
    """

    from handwheel.cli.console import echo_json
    from handwheel.cli.first_run import first_run
    from handwheel.cli.progress import Progress
    from handwheel.cli.side_by_side import show_comparison, show_slips
    from handwheel.job import read_job
    from handwheel.proof import SLIPS, routes_of, slip
    from handwheel.proof import compare as lay_side_by_side
    from handwheel.proof.compare_report import comparison_csv, comparison_json

    if as_json_text and as_csv:
        raise click.UsageError("--json and --csv are two forms of the same: choose one")
    names = [] if slip_name is None else list(SLIPS) if slip_name == "all" else [slip_name]
    job = read_job(job_file, shop)
    routes, units = routes_of(job), job.units
    results = []
    with first_run(), Progress() as progress:
        for index, name in enumerate(names):
            progress.tell(name, index / (len(names) + 1))
            results.append(slip(routes, name))
        progress.tell("both ways", len(names) / (len(names) + 1))
        comparison = lay_side_by_side(routes)
    if as_json_text:
        echo_json(comparison_json(comparison, units, results))
    elif as_csv:
        click.echo(comparison_csv(comparison), nl=False)
    elif results:
        show_slips(results, units)
    else:
        show_comparison(comparison, units)
    ctx.exit(1 if "fail" in (comparison.by_hand.verdict, comparison.by_program.verdict) else 0)
