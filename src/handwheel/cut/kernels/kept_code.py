"""Compiled code kept on disk with its own check sum: what was cut short or damaged is compiled again, never run."""

# mypy: disable-error-code="no-untyped-call"

from __future__ import annotations

import contextlib
import pickle
from hashlib import sha256
from pathlib import Path
from typing import Any, Final

from numba.core.caching import IndexDataCacheFile

SUM_BYTES: Final = 32


class KeptCode(IndexDataCacheFile):
    """numba's index and data files of one function, each with a check sum before its content."""

    @classmethod
    def instead_of(cls, other: Any) -> KeptCode:
        """The same files, checked."""
        base = str(other._index_name).removesuffix(".nbi")
        return cls(cache_path=other._cache_path, filename_base=base, source_stamp=other._source_stamp)

    def save(self, key: Any, data: Any) -> None:
        """Keep code; where it cannot be kept, the next run compiles it again."""
        with contextlib.suppress(OSError):
            super().save(key, data)

    def _load_index(self) -> dict[Any, str]:
        try:
            version, stamp, overloads = _read(Path(self._index_path))
        except OSError:
            return {}
        fresh = version == self._version and stamp == self._source_stamp
        return dict(overloads) if fresh else {}

    def _save_index(self, overloads: dict[Any, str]) -> None:
        self._write(self._index_path, (self._version, self._source_stamp, overloads))

    def _load_data(self, name: str) -> Any:
        return _read(Path(self._data_path(name)))

    def _save_data(self, name: str, data: Any) -> None:
        self._write(self._data_path(name), data)

    def _write(self, path: str, content: Any) -> None:
        dumped = self._dump(content)
        with self._open_for_write(path) as stream:
            stream.write(sha256(dumped).digest() + dumped)


def _read(path: Path) -> Any:
    """The content of a file; OSError where it is missing or not as it was written."""
    content = path.read_bytes()
    dumped = content[SUM_BYTES:]
    if sha256(dumped).digest() != content[:SUM_BYTES]:
        raise OSError(f"{path}: is damaged")
    return pickle.loads(dumped)
