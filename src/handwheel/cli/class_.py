"""``handwheel class``."""

from __future__ import annotations

from pathlib import Path

import click


@click.command("class")
@click.argument("job_file", metavar="JOB", type=click.Path(path_type=Path))
@click.argument("folder", metavar="FOLDER", type=click.Path(path_type=Path))
@click.option(
    "-o", "--out", metavar="DIR", type=click.Path(path_type=Path), help="Where the report goes: out/NAME-class."
)
@click.option("--workers", metavar="N", type=click.IntRange(1, 256), help="So many processes at a time: one a core.")
@click.option("--cluster", metavar="ADDRESS", help="Use the workers of the Dask scheduler there, as tcp://HOST:8786.")
@click.option("--json", "as_json_text", is_flag=True, help="One JSON object.")
@click.option("--shop", type=click.Path(path_type=Path), help="Your own shop file, beside the one that comes along.")
def class_(
    job_file: Path,
    folder: Path,
    out: Path | None,
    workers: int | None,
    cluster: str | None,
    as_json_text: bool,
    shop: Path | None,
) -> None:
    """Prove what a class handed in for JOB: every program in FOLDER, into one report.

    A submission is a program, or a folder with one program a set-up in the order of their names. Each is proved, and
    where it fails the mistake is looked for. One that cannot be proved never stops the others: it is listed with its
    error. Each may take 60 s and 1 GB.

    The report is class.html, class.csv and class.json in DIR. What is proved is kept there, in a folder named proved: a
    run that was stopped goes on where it was, and what has not changed is not proved again.

    Nothing leaves this machine, unless --cluster names others.
    """
    from handwheel.cli.console import echo_json
    from handwheel.cli.output import write_files
    from handwheel.cli.progress import Progress
    from handwheel.errors import HandwheelError
    from handwheel.job import read_job
    from handwheel.learn.whole_class.report import judge_class
    from handwheel.learn.whole_class.submissions import find_submissions
    from handwheel.learn.whole_class.workers import cores, on_cluster, on_this_machine
    from handwheel.proof import routes_of
    from handwheel.show.class_page import class_files

    if cluster is not None and workers is not None:
        raise click.UsageError("--workers and --cluster exclude one another: a cluster has its own workers")
    job = read_job(job_file, shop)
    routes = routes_of(job)
    place = Path("out") / f"{job.name}-class" if out is None else out
    submissions, others = find_submissions(folder, len(routes), without=(place,))
    if not submissions:
        raise HandwheelError(f"{folder}: has no program in it; name the folder with the submissions")
    run = on_cluster(cluster) if cluster is not None else on_this_machine(workers or cores())
    with Progress() as progress:
        report = judge_class(routes, submissions, place, run, address=cluster or "", tell=progress.tell)
    told = report.to_json()
    write_files(place, class_files(report, routes, told))
    if as_json_text:
        echo_json(told)
        return
    verdicts = [one["verdict"] for one in told["submissions"]]
    click.echo(
        f"{len(verdicts)} submissions to {job.name}: {verdicts.count('pass')} pass, {verdicts.count('fail')} fail, "
        f"{verdicts.count(None)} not proved"
    )
    for one in told["common"][:10]:
        click.echo(f"  {one['submissions']:6d}  {one['code']}")
    if others:
        named = ", ".join((*others[:10], *(("…",) if len(others) > 10 else ())))
        click.echo(f"Left alone, by their endings no programs: {named}")
    click.echo(f"Report: {place / 'class.html'}")
