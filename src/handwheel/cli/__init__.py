"""The commands; no arithmetic. Each command's own imports happen when it is run, so that help is quick."""

from __future__ import annotations

import atexit
import gc
import importlib
import io
import keyword
import sys
from typing import Any

import click

from handwheel.errors import HandwheelError
from handwheel.version import __version__

COMMANDS = {
    "new": "Write a commented job file to start from.",
    "make": "Do the whole job: sheet, program, proof, drawings.",
    "sheet": "Print the route sheet for the manual mill.",
    "write": "Write the RS-274 program alone.",
    "read": "Tell what a control would do with a program, move by move.",
    "prove": "Cut a program, gauge the part, look for trouble.",
    "compare": "Lay both ways side by side, and see what a slip does.",
    "measure": "Judge measured parts: sizes, spread, what to correct.",
    "class": "Prove a whole class's programs: one report.",
    "shop": "List machines, vises, parallels, cutters, materials, gauges.",
}


INTERRUPTED = 130
"""Exit status after Ctrl-C: 128 and the signal's 2, as a shell reports it of any command."""


class Shop(click.Group):
    """Finds a command when it is asked for, and turns the house's errors into one message and an exit status."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in COMMANDS:
            return None
        name = f"{cmd_name}_" if keyword.iskeyword(cmd_name) else cmd_name
        command: click.Command = getattr(importlib.import_module(f"handwheel.cli.{name}"), name)
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        with formatter.section("Commands"):
            formatter.write_dl(list(COMMANDS.items()))

    def invoke(self, ctx: click.Context) -> Any:
        _replace_unknown_characters()
        try:
            return super().invoke(ctx)
        except KeyboardInterrupt:
            ctx.exit(INTERRUPTED)
        except HandwheelError as error:
            click.echo(f"handwheel: {error}", err=True)
            ctx.exit(error.exit_status)
        except OSError as error:
            from handwheel.cli.broken_pipe import CUT_OFF, reader_gone

            if not reader_gone(error):
                raise
            ctx.exit(CUT_OFF)


def _replace_unknown_characters() -> None:
    """A character that the terminal's encoding lacks is shown as a question mark; no command ends for it."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")


@click.group(cls=Shop, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(__version__, prog_name="handwheel")
def main() -> None:
    """The same job twice: by hand on a knee mill, and by program on a CNC mill.

    One job file describes machine, vise, stock, cutters, operations and drawing. Out of it come a route sheet with
    every dial reading, an RS-274 program whose comments are the sheet's steps, and the proof of that program: its text
    is read back, cut, gauged, and checked against the vise.

    \b
    Start here:
      handwheel new my-part            a job file with every line explained
      handwheel make my-part/job.toml  everything, into out/my-part

    A simulation proves geometry under its stated assumptions. It does not make a set-up safe: a qualified instructor,
    the lab's rules and local codes come first, and the first run is made above the work with a hand on feed hold.

    \b
    Exit status: 0 all well; 1 the proof failed; 2 bad input, with one message that says where.
    """
    # what a command leaves behind when it ends need not be collected: it is over a third of a second sooner
    atexit.register(gc.freeze)
