"""The clinic that the settings name: opened where it is, founded where nothing is, and served by one process on SQLite.

What is half missing is never made anew.
"""

import fcntl
import logging
from dataclasses import replace
from pathlib import Path

from bot.messaging.inbox import MOST_A_MINUTE
from bot.run.app import App, build, random_id, utc_now
from bot.settings import Settings, newest_copy
from bot.settings.file import keys_if_any, read_keys, read_or_make_keys
from bot.telegram.updates import NAME, parse_update
from core.errors import StoreError
from core.programme import Programme
from core.programme.file import DEFAULT, programme_at
from core.records import Clinic
from core.store import open_store
from core.store.engine import sqlite_file
from core.store.founding import Found, make_tables, what_is_at

log = logging.getLogger(__name__)

CLINIC_ID = "clinic"


def open_app(settings: Settings) -> App:
    """The program on the clinic that the settings name: it must be there, and what it keeps of itself stays."""
    return _app(settings, keys_of(settings.database, settings.key_file), founding=False)


def found_app(settings: Settings) -> App:
    """The same for `setup` and `serve`: made where nothing is yet; its facts and programme are as the settings say."""
    if file := settings.database_file:
        try:
            file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        except OSError as error:
            raise StoreError(
                f"folder {file.parent} cannot be made ({error.strerror}); check HOLDLOWER_DATABASE"
            ) from error
    return _app(settings, keys_or_founded(settings.database, settings.key_file), founding=True)


def _app(settings: Settings, keys: tuple[bytes, ...], *, founding: bool) -> App:
    clinic = Clinic(
        CLINIC_ID, settings.clinic_name, settings.clinic_zone, settings.language, settings.clinic_emergency,
        settings.undelivered_hours, settings.open_hours, settings.clinic_hours, settings.keep_months,
        settings.after_keeping,
    )  # fmt: skip
    app = build(
        open_store(settings.database, keys), utc_now, random_id, programme_of(settings), clinic, settings.evening,
        {NAME: parse_update}, MOST_A_MINUTE, founding=founding,
    )  # fmt: skip
    return replace(app, chats=replace(app.chats, newest_copy=lambda: newest_copy(settings.copies)))


def programme_of(settings: Settings) -> Programme:
    """The clinic's own programme, one that comes with the package, or the default one."""
    return programme_at(settings.programme or DEFAULT)


def keys_of(url: str, key_file: Path) -> tuple[bytes, ...]:
    """The keys of the clinic at `url`, newest first; nothing is made.

    Raises StoreError or SettingsError that says which of database and key file is missing, and what to do.
    """
    keys = keys_if_any(key_file)  # before the database: who founds makes the tables first, the key after them
    there = what_is_at(url, CLINIC_ID)
    if there is Found.CLINIC or (keys and there is Found.TABLES):
        return keys or read_keys(key_file)
    if keys:
        raise StoreError(
            f"there is a key file {key_file}, but no database at {_shown(url)}: put a copy back with holdlower "
            "restore, or check HOLDLOWER_DATABASE and --settings; for a new clinic move the key file away"
        )
    raise StoreError(
        f"there is no clinic yet, no database at {_shown(url)} and no key file {key_file}: run holdlower setup, "
        "or say with --settings where its settings are"
    )


def keys_or_founded(url: str, key_file: Path) -> tuple[bytes, ...]:
    """The same; where there is neither database nor key file both are made, with a line in the log."""
    if keys_if_any(key_file) or what_is_at(url, CLINIC_ID) is Found.CLINIC:
        return keys_of(url, key_file)
    make_tables(url)
    keys = read_or_make_keys(key_file)
    log.warning("a new clinic was made", extra={"database": _shown(url), "key_file": str(key_file)})
    return keys


def _shown(url: str) -> str:
    """Without the password of a server's address."""
    return str(sqlite_file(url) or "the PostgreSQL server")


class one_at_a_time:  # noqa: N801 reads as a function where it is used
    """Keeps a second process off an SQLite `file`: StoreError when one is at work. PostgreSQL (None) needs no lock."""

    def __init__(self, file: Path | None) -> None:
        self._path = file and file.with_name(f"{file.name}.lock")

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


def serves(file: Path) -> bool:
    """Whether a process is at work on that SQLite database. Raises StoreError when that cannot be seen."""
    try:
        with one_at_a_time(file):
            return False
    except StoreError as error:
        if isinstance(error.__cause__, BlockingIOError):
            return True
        raise
