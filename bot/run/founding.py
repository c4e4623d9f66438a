"""The keys of a clinic that is there, or of a new one where nothing is: what is half missing is never made anew."""

import logging
from pathlib import Path

from bot.settings.keys import keys_if_any, read_keys, read_or_make_keys
from core.errors import StoreError
from core.store.engine import sqlite_file
from core.store.founding import Found, make_tables, what_is_at

log = logging.getLogger(__name__)


def keys_of(url: str, key_file: Path, *, clinic_id: str = "clinic") -> tuple[bytes, ...]:
    """The keys of the clinic at `url`, newest first; nothing is made.

    Raises StoreError or SettingsError that says which of database and key file is missing, and what to do.
    """
    keys = keys_if_any(key_file)  # before the database: who founds makes the tables first, the key after them
    there = what_is_at(url, clinic_id)
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


def keys_or_founded(url: str, key_file: Path, *, clinic_id: str = "clinic") -> tuple[bytes, ...]:
    """The same; where there is neither database nor key file both are made, with a line in the log."""
    if keys_if_any(key_file) or what_is_at(url, clinic_id) is Found.CLINIC:
        return keys_of(url, key_file, clinic_id=clinic_id)
    make_tables(url)
    keys = read_or_make_keys(key_file)
    log.warning("a new clinic was made", extra={"database": _shown(url), "key_file": str(key_file)})
    return keys


def _shown(url: str) -> str:
    """Without the password of a server's address."""
    return str(sqlite_file(url) or "the PostgreSQL server")
