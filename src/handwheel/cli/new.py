"""``handwheel new``."""

from __future__ import annotations

from pathlib import Path

import click

from handwheel.errors import OutputError


@click.command()
@click.argument("folder", metavar="DIR", type=click.Path(path_type=Path))
def new(folder: Path) -> None:
    """Write a commented job file, job.toml, into DIR to start from.

    It describes a small rest block and runs as it stands; nothing that is there already is written over.
    """
    from importlib import resources

    from handwheel.cli.output import write_files

    place = folder / "job.toml"
    if place.exists() or place.is_symlink():
        raise OutputError(f"{place}: is there already; name another folder")
    starter = resources.files("handwheel.job") / "starter.toml"
    write_files(folder, {place.name: starter.read_bytes()})
    click.echo(f"Written: {place}\nNext:    handwheel make {place}")
