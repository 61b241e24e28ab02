"""Judgements kept on disk by what they are of, so that a run that was stopped goes on where it was."""

from __future__ import annotations

import contextlib
import hashlib
import os
import tempfile
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Final

from handwheel.errors import OutputError
from handwheel.job import Job
from handwheel.learn.whole_class.judgement import Judgement
from handwheel.learn.whole_class.watched_process import Bounds
from handwheel.learn.whole_class.workers import version

FOLDER: Final = "proved"
"""Beside the report. It may be deleted: then everything is proved again."""


class Kept:
    """The judgements of one job's submissions, each in a file named for the content of job, files and version."""

    def __init__(self, folder: Path, job: Job, bounds: Bounds) -> None:
        self._folder = folder / FOLDER
        # where the job's file lies says nothing about the part
        self._of_job = hashlib.sha256(repr((replace(job, file=""), bounds, version())).encode()).digest()

    def key(self, kind: str, contents: Sequence[bytes]) -> str:
        """The name of a submission's judgement."""
        digest = hashlib.sha256(self._of_job + kind.encode())
        for content in contents:
            digest.update(len(content).to_bytes(8, "little"))
            digest.update(content)
        return digest.hexdigest()

    def get(self, key: str) -> Judgement | None:
        """The judgement, if it is there and whole."""
        try:
            return Judgement.from_bytes(self._file(key).read_bytes())
        except (OSError, ValueError, KeyError, TypeError):
            return None

    def put(self, key: str, judged: bytes) -> None:
        """Keep a judgement, whole or not at all.

        Raises
        ------
        OutputError
            Where it cannot be written.
        """
        file = self._file(key)
        passing: Path | None = None
        try:
            file.parent.mkdir(parents=True, exist_ok=True)
            handle, name = tempfile.mkstemp(prefix=".", suffix=".part", dir=file.parent)
            passing = Path(name)
            with os.fdopen(handle, "wb") as stream:
                stream.write(judged)
            passing.replace(file)
        except OSError as error:
            raise OutputError(f"{file.parent}: cannot be written: {error.strerror or error}") from error
        finally:
            if passing is not None:
                with contextlib.suppress(OSError):
                    passing.unlink(missing_ok=True)

    def _file(self, key: str) -> Path:
        return self._folder / key[:2] / f"{key[2:]}.json"
