"""`holdlower backup`, `restore` and `keys rotate`: whole copies of the database, and the keys that open them."""

import argparse
import os
import sys
from functools import partial
from pathlib import Path
from urllib.parse import urlsplit

from bot.cli.opened import note, opened, show_progress
from bot.run.app import utc_now
from bot.run.opening import CLINIC_ID, keys_of, one_at_a_time, open_app
from bot.settings import Settings, load_settings
from bot.settings.keys import begin_change, end_change, read_keys
from bot.wording.catalogue import text_in
from core.errors import HoldlowerError
from core.store.copies import back_up, put_back
from core.store.tables import HEAD

MEBIBYTE = 1 << 20
BEGINS = "holdlower-"  # the name of a copy in a folder of them, and then its moment


def back_up_to(options: argparse.Namespace) -> int:
    """Write one checked copy to a new file, note when, and say what else has to be kept."""
    settings = load_settings(os.environ, options.settings)
    folder: Path | None = options.file if options.file.is_dir() else None
    if options.keep and folder is None:
        raise HoldlowerError(f"--keep goes with a folder, and {options.file} is none; make it first")
    file: Path = folder / f"{BEGINS}{utc_now():%Y%m%dT%H%M%SZ}.sqlite" if folder else options.file
    if settings.database_file is None:
        raise HoldlowerError(
            "nothing was written: PostgreSQL makes its own copies; run\n  "
            f"pg_dump --format=custom --file={file} --dbname={_address(settings)}\n"
            "name its folder in HOLDLOWER_COPIES, and keep the key file in another place"
        )
    if file.absolute().parent == settings.key_file.absolute().parent:
        raise HoldlowerError(
            f"{file} would lie beside the key file {settings.key_file}, which opens it; name another folder"
        )
    keys = keys_of(settings.database, settings.key_file)
    contents = back_up(settings.database, keys, file, clinic_id=CLINIC_ID, watched=partial(show_progress, sys.stderr))
    if contents.version == HEAD:  # of an older version nothing is changed, so that its copy can be put back under it
        with opened(options) as (_, _, work):
            note(work, "backup")
    text = text_in(settings.language)
    size = f"{contents.size / MEBIBYTE:.1f}"
    print(text("cli.backup.done", file=file, people=contents.people, staff=contents.staff, size=size))
    print(text("cli.backup.key", key=settings.key_file))
    for row in contents.unreadable:
        print(text("cli.backup.unreadable", row=row), file=sys.stderr)
    if folder and options.keep and not contents.unreadable:  # older copies may still have what cannot be opened
        for old in sorted(folder.glob(f"{BEGINS}*Z.sqlite"))[: -options.keep]:
            old.unlink()
            print(text("cli.backup.dropped", file=old))
    return 1 if contents.unreadable else 0


def restore_from(options: argparse.Namespace) -> int:
    """Put a copy where the database is, and bring it up to date."""
    settings = load_settings(os.environ, options.settings)
    if settings.database_file is None:
        raise HoldlowerError(
            "nothing was changed: PostgreSQL puts back its own copies; stop every process of holdlower, then run\n  "
            f"pg_restore --clean --if-exists --single-transaction --dbname={_address(settings)} {options.file}"
        )
    keys = read_keys(settings.key_file)
    mark = f".before-{utc_now():%Y%m%dT%H%M%SZ}"
    with one_at_a_time(settings.database_file):
        contents, before = put_back(
            options.file, settings.database, keys, aside=mark, replace=options.replace, damaged=options.damaged,
            clinic_id=CLINIC_ID,
        )
        open_app(settings)[1].close()
    text = text_in(settings.language)
    print(text("cli.restore.done", file=options.file, people=contents.people, staff=contents.staff))
    if before:
        print(text("cli.restore.before", file=before))
    print(text("cli.restore.since"))
    return 0


def _address(settings: Settings) -> str:
    """The database without the password, which belongs in ~/.pgpass."""
    parts = urlsplit(settings.database.replace("+psycopg", "", 1))
    user = f"{parts.username}@" if parts.username else ""
    port = f":{parts.port}" if parts.port else ""
    return f"postgresql://{user}{parts.hostname or ''}{port}{parts.path}"


def rotate(options: argparse.Namespace) -> int:
    """Change the key; a change that was broken off is finished first, and no second one begun."""
    settings = load_settings(os.environ, options.settings)
    text = text_in(settings.language)
    broken_off = len(keys_of(settings.database, settings.key_file)) > 1
    with one_at_a_time(settings.database_file):
        _check_alone(settings)
        begin_change(settings.key_file)
        if broken_off:
            print(text("cli.keys.going_on"))
        store = open_app(settings)[1]
        try:
            count = store.reseal(partial(show_progress, sys.stderr))
        finally:
            store.close()
        retired = end_change(settings.key_file)
    print(text("cli.keys.done", count=count))
    print(text("cli.keys.retired", file=retired, key=settings.key_file))
    return 0


def _check_alone(settings: Settings) -> None:
    """A process with the old key alone could not read what is sealed with the new one."""
    store = open_app(settings)[1]
    try:
        others = store.others()
    finally:
        store.close()
    if others:
        raise HoldlowerError(
            f"{others} other connections of holdlower to this database are open; stop every process of it first"
        )
