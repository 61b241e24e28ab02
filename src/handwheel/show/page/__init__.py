"""The lesson page: both routes side by side in one file, the work between them."""

from handwheel.show.page.page import lesson

__all__ = ["lesson"]
