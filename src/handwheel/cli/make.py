"""``handwheel make``."""

from __future__ import annotations

from pathlib import Path

import click


@click.command()
@click.argument("job_file", metavar="JOB", type=click.Path(path_type=Path))
@click.option("--out", type=click.Path(path_type=Path), help="Folder to write into; left out: out/NAME.")
@click.option("--force", is_flag=True, help="Write over a program that somebody edited by hand.")
@click.option("--shop", type=click.Path(path_type=Path), help="Your own shop file, beside the one that comes along.")
@click.pass_context
def make(ctx: click.Context, job_file: Path, out: Path | None, force: bool, shop: Path | None) -> None:
    """Do the whole job of JOB: route sheet, program, proof and drawings, into out/NAME."""
    from handwheel.cli.first_run import first_run
    from handwheel.cli.output import guard_edited, write_files
    from handwheel.cli.progress import Progress
    from handwheel.cli.verdict import show_verdict
    from handwheel.job import read_job
    from handwheel.show.products import USES, products

    job = read_job(job_file, shop)
    folder = Path("out") / job.name if out is None else out
    proved_name, unproved_name = f"{job.name}.ngc", f"{job.name}.unproved.ngc"
    for name in (proved_name, unproved_name):
        guard_edited(folder / name, force=force)
    with first_run(), Progress() as progress:
        proof, files = products(job, progress.tell)
    write_files(folder, files)
    # a program of an earlier run that is no longer true must not lie beside the new one
    stale = unproved_name if proved_name in files else proved_name
    (folder / stale).unlink(missing_ok=True)
    show_verdict(proof, job.units)
    if proof.verdict == "fail":
        click.echo(f"\nNOT PROVED: the program is written as {unproved_name}. Do not run it.")
    click.echo(f"\nWritten into {folder}:")
    width = max(len(name) for name in files)
    for name in files:
        use = next(use for ending, use in USES if name.endswith(ending))
        click.echo(f"  {name.ljust(width)}  {use}")
    ctx.exit(1 if proof.verdict == "fail" else 0)
