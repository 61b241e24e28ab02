"""Random tests search anew each time; in CI they take the same cases every time, so that its verdict is of the change."""

import os

from hypothesis import settings

settings.register_profile("repeatable", derandomize=True)
if os.environ.get("CI") == "true":
    settings.load_profile("repeatable")
