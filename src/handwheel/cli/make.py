"""``handwheel make``."""

from __future__ import annotations

import gc
import re
from importlib import import_module
from pathlib import Path

import click


@click.command()
@click.argument("job_file", metavar="JOB", type=click.Path(path_type=Path))
@click.option("--out", type=click.Path(path_type=Path), help="Folder to write into; left out: out/NAME.")
@click.option("--animation/--no-animation", default=True, help="The moving picture; it takes the longest.")
@click.option("--seconds", type=float, default=10.0, show_default=True, help="Length of the animation.")
@click.option("--fps", type=int, default=10, show_default=True, help="Frames a second.")
@click.option("--size", default="960x540", show_default=True, metavar="WxH", help="Pixels across and high.")
@click.option("--force", is_flag=True, help="Write over a file that is not as handwheel wrote it.")
@click.option("--shop", type=click.Path(path_type=Path), help="Your own shop file, beside the one that comes along.")
@click.pass_context
def make(
    ctx: click.Context,
    job_file: Path,
    out: Path | None,
    animation: bool,
    seconds: float,
    fps: int,
    size: str,
    force: bool,
    shop: Path | None,
) -> None:
    """Do the whole job of JOB: route sheet, program, proof, drawings, lesson and packet, into out/NAME."""
    from handwheel.cli.first_run import first_run
    from handwheel.cli.output import guard_edited, remove_untouched, write_files
    from handwheel.cli.progress import Progress
    from handwheel.cli.verdict import show_findings, show_verdict
    from handwheel.job import read_job
    from handwheel.show.second_process import SecondProcess

    pixels = _pixels(size)
    job = read_job(job_file, shop)
    folder = Path("out") / job.name if out is None else out
    stems = [job.name] if len(job.setups) == 1 else [f"{job.name}-{number + 1}" for number in range(len(job.setups))]
    programs = [f"{stem}{ending}" for stem in stems for ending in (".nc", ".unproved.nc")]

    def guard() -> None:
        for name in programs:
            guard_edited(folder / name, force=force)

    guard()
    with SecondProcess() as second, Progress() as progress:
        for module in ("handwheel.show.products", "handwheel.show.draw.drawings", "handwheel.show.paper"):
            second.call(import_module, module)
        second.call(gc.freeze)
        from handwheel.show.animation import Options
        from handwheel.show.products import USES, products

        # what is loaded by now stays to the end: the collector need not look at it again and again
        gc.freeze()
        film = Options(seconds, fps, pixels) if animation else None
        with first_run():
            comparison, files = products(job, film, second, progress.tell)
    # somebody may have edited a program while this one was proved
    write_files(folder, files, guard)
    # a program of an earlier run that is no longer true must not lie beside the new one
    for name in programs:
        if name not in files:
            (folder / name).unlink(missing_ok=True)
    kept = [name for name in (f"{job.name}.ngc", f"{job.name}.unproved.ngc") if not remove_untouched(folder / name)]
    show_verdict(comparison.by_program, job, [one.text for one in comparison.setups])
    show_findings(comparison.by_hand)
    if comparison.by_program.verdict == "fail":
        unproved = [name for name in files if name.endswith(".unproved.nc")]
        click.echo(f"\nNOT PROVED: the program is written as {', '.join(unproved)}. Do not run it.")
    if comparison.by_hand.verdict == "fail":
        click.echo("\nNOT PROVED: the way by hand. Do not work by the route sheet; it says so at its head.")
    for name in kept:
        click.echo(f"\n{name} was edited by hand and is kept. It is an older program: the new one ends in .nc.")
    failed = "fail" in (comparison.by_program.verdict, comparison.by_hand.verdict)
    click.echo(f"\nWritten into {folder}:")
    width = max(len(name) for name in files)
    for name in files:
        use = next(use for ending, use in USES if re.sub(r"-\d+\.", ".", name).endswith(ending))
        click.echo(f"  {name.ljust(width)}  {use}")
    ctx.exit(1 if failed else 0)


def _pixels(size: str) -> tuple[int, int]:
    width, cross, height = size.lower().partition("x")
    if not (cross and width.isdecimal() and height.isdecimal() and len(size) < 12):
        raise click.BadParameter(f"{size!r} is no size; write it as 960x540", param_hint="--size")
    return int(width), int(height)
