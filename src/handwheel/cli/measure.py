"""``handwheel measure``."""

from __future__ import annotations

from pathlib import Path

import click


@click.command()
@click.argument("job_file", metavar="JOB", type=click.Path(path_type=Path))
@click.argument("sizes_file", metavar="SIZES.csv", type=click.Path(path_type=Path))
@click.option("--guarded", is_flag=True, help="Decide by ISO 14253-1:2017, with its guard band, not at the limits.")
@click.option("--json", "as_json_text", is_flag=True, help="One JSON object.")
@click.option("-o", "--out", "folder", metavar="DIR", type=click.Path(path_type=Path), help="Charts and report, there.")
@click.option("--shop", type=click.Path(path_type=Path), help="Your own shop file, beside the one that comes along.")
@click.pass_context
def measure(
    ctx: click.Context,
    job_file: Path,
    sizes_file: Path,
    guarded: bool,
    as_json_text: bool,
    folder: Path | None,
    shop: Path | None,
) -> None:
    """Judge measured parts against the drawing of JOB: sizes, spread, and what to correct for the next part.

    SIZES.csv comes from a spreadsheet: a head line part,NAME,NAME with the drawing's names, then a row a part; an empty
    cell was not measured. A row that begins with the word correction stands where something was corrected.

    A size within its gauge's uncertainty of a limit is doubtful: take a better gauge. A correction is cut before it is
    advised; what the machine does is measured again on the next part.
    """
    from handwheel.cli.console import echo_json
    from handwheel.cli.first_run import first_run
    from handwheel.cli.measured import show_measurements
    from handwheel.job import read_job
    from handwheel.learn import measure as judge
    from handwheel.learn import read_sizes
    from handwheel.proof import routes_of
    from handwheel.shop import load_shop

    job = read_job(job_file, shop)
    measured = read_sizes(sizes_file, job)
    uncertainty = {name: gauge.uncertainty(job.units) for name, gauge in load_shop(shop).gauge.items()}
    with first_run():
        found = judge(routes_of(job), measured, uncertainty, guarded=guarded)
    if folder is not None:
        from handwheel.cli.output import write_files
        from handwheel.show.measured import measured_files

        write_files(folder, measured_files(job, found))
    if as_json_text:
        echo_json(found.to_json())
    else:
        show_measurements(found)
    ctx.exit(0 if found.passes else 1)
