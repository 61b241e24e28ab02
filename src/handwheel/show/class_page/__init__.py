"""The class report: one page that needs no network, a table for a spreadsheet, and JSON."""

from handwheel.show.class_page.files import class_files

__all__ = ["class_files"]
