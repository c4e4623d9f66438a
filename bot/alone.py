"""One process a database where the database is a file: a second one is told so, and leaves."""

import fcntl
from pathlib import Path

from core.errors import StoreError


class one_at_a_time:  # noqa: N801 reads as a function where it is used
    """Keeps a second process off an SQLite database: StoreError when one is at work. PostgreSQL needs no such lock."""

    def __init__(self, database: str) -> None:
        file = database.removeprefix("sqlite:///").partition("?")[0]
        self._path = Path(f"{file}.lock") if is_file(database) else None

    def __enter__(self) -> None:
        if self._path is None:
            return
        try:
            self._path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
            self._file = self._path.open("w")
            fcntl.flock(self._file, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError as error:
            self._file.close()
            raise StoreError(
                f"another holdlower is serving from this database ({self._path} is locked); stop it first, "
                "or use PostgreSQL to run several"
            ) from error
        except OSError as error:
            raise StoreError(f"cannot lock {self._path} ({error.strerror}); check the folder and its owner") from error

    def __exit__(self, *_: object) -> None:
        if self._path is not None:
            self._file.close()


def is_file(database: str) -> bool:
    """Whether the address is one of SQLite."""
    return database.startswith("sqlite")
