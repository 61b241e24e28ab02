"""``python -m handwheel``: the same as the command."""

from handwheel.cli import main

main(prog_name="handwheel")
