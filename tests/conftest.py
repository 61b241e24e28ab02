"""Random tests search anew each time; in CI they take the same cases, so that its verdict is of the change alone."""

import os

from hypothesis import settings

settings.register_profile("repeatable", derandomize=True)
if os.environ.get("CI") == "true":
    settings.load_profile("repeatable")
