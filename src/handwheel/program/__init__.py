"""Steps to the text of a program, in the sheet's own words."""

from handwheel.program.text import write_program

__all__ = ["write_program"]
