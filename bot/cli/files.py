"""`holdlower export`, `audit` and `erase`: what is kept about people, and who looked, in files; or gone.

And `backup`, `restore` and `keys rotate`: whole copies of the database, and the keys that open them.
"""

import argparse
import contextlib
import datetime as dt
import json
import os
import sys
from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import partial
from pathlib import Path
from urllib.parse import urlsplit
from zoneinfo import ZoneInfo

from bot.cli.opened import date_of, make_sure, note, opened, person_of, show_progress
from bot.run.app import utc_now
from bot.run.opening import CLINIC_ID, keys_of, one_at_a_time, open_app
from bot.settings import Settings, load_settings
from bot.settings.file import begin_change, end_change, read_keys
from bot.wording.catalogue import text_in
from core.errors import HoldlowerError
from core.export.csv_rows import caseload_csv, caseload_json
from core.export.fhir import fhir_bundle
from core.records import Person
from core.store import SqlStore, open_store
from core.store.copies import back_up, put_back
from core.store.tables import HEAD
from core.timetable import ONE_DAY, end_of_day
from core.use_cases.exporting import rows_of, subjects_of
from core.use_cases.rights import trail_csv
from core.use_cases.work import Work

Write = Callable[[Work, Iterable[Person], bool], str]  # with names?


def export_some(options: argparse.Namespace) -> int:
    """Write one file about one person, or one about all and the trail beside it; print the paths."""
    if options.names and options.format == "fhir":
        raise HoldlowerError("--names does not go with --format fhir, which carries ids only; leave it out")
    with opened(options) as (settings, text, work):
        people = work.uow.people.all() if options.person is None else (person_of(work, options.person),)
        written = FORMATS[options.format](work, _counted(people), options.names)
        for person in people:
            note(work, "export", person.id)
        paths = [_save(options.out, _file_name(settings, work.now, options), written)]
        if options.person is None:
            trail = trail_of(work, settings, None, None, None, None)
            paths.append(_save(options.out, f"audit-{_day(settings, work.now)}.csv", trail))
    for path in paths:
        print(text("cli.export.done", file=path))
    return 0


def print_trail(options: argparse.Namespace) -> int:
    """Print the lines of the trail that fit, oldest first; that it was read is a line, too."""
    with opened(options) as (settings, _, work):
        written = trail_of(work, settings, options.person, options.staff, options.since, options.until)
        note(work, "trail", options.person)
    sys.stdout.write(written.replace("\r\n", "\n"))
    return 0


def trail_of(
    work: Work, settings: Settings, person: str | None, staff: str | None, since: str | None, until: str | None
) -> str:
    """The trail as CSV; dates are whole days of the clinic's zone, both in. Raises SettingsError for a wrong one."""
    zone = settings.clinic_zone
    first = end_of_day(date_of(since) - ONE_DAY, zone) if since else None
    last = end_of_day(date_of(until), zone) if until else None
    names = {each.id: each.name for each in work.uow.staff.all()}
    return trail_csv(work.uow.audit.find(person, staff, first, last), names, ZoneInfo(zone))


def erase_one(options: argparse.Namespace) -> int:
    """Erase one person for good, after a yes."""
    with opened(options) as (_, text, work):
        person_of(work, options.person)
    make_sure(options, text, text("cli.erase.sure", person=options.person))
    with opened(options) as (_, text, work):
        work.uow.people.erase(person_of(work, options.person).id)
        note(work, "erase")
    print(text("cli.erase.done", person=options.person))
    return 0


def _counted(people: Sequence[Person]) -> Iterator[Person]:
    """Each in turn, with a count for who watches."""
    for number, person in enumerate(people):
        show_progress(sys.stderr, number, len(people))
        yield person
    show_progress(sys.stderr, len(people), len(people))


def _csv(work: Work, people: Iterable[Person], names: bool) -> str:
    return caseload_csv([(person.name if names else person.id, rows_of(work, person)) for person in people])


def _json(work: Work, people: Iterable[Person], names: bool) -> str:
    return caseload_json([(person.name if names else person.id, rows_of(work, person)) for person in people])


def _fhir(work: Work, people: Iterable[Person], names: bool) -> str:
    subjects = [subject for person in people for subject in subjects_of(work, person)]
    return json.dumps(fhir_bundle(work.new_id(), work.now, subjects), ensure_ascii=False, indent=1)


FORMATS: dict[str, Write] = {"csv": _csv, "json": _json, "fhir": _fhir}


def _file_name(settings: Settings, now: dt.datetime, options: argparse.Namespace) -> str:
    ending = "fhir.json" if options.format == "fhir" else options.format
    return f"{options.person or 'caseload'}-{_day(settings, now)}.{ending}"


def _day(settings: Settings, now: dt.datetime) -> str:
    return now.astimezone(ZoneInfo(settings.clinic_zone)).date().isoformat()


def _save(folder: Path, name: str, written: str) -> Path:
    """A new file that only this user may read."""
    path = folder / name
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as error:
        raise HoldlowerError(f"folder {folder} cannot be made ({error.strerror}); name another with --out") from error
    try:
        descriptor = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        with os.fdopen(descriptor, "w", encoding="utf-8", newline="") as file:
            file.write(written)
    except FileExistsError as error:
        raise HoldlowerError(
            f"{path} is there already and stays; take it away or name another folder with --out"
        ) from error
    except OSError as error:
        raise HoldlowerError(f"{path} cannot be written ({error.strerror}); name another folder with --out") from error
    return path


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
        open_app(settings).store.close()
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
        with contextlib.closing(_store(settings)) as store:
            count = store.reseal(partial(show_progress, sys.stderr))
        retired = end_change(settings.key_file)
    print(text("cli.keys.done", count=count))
    print(text("cli.keys.retired", file=retired, key=settings.key_file))
    return 0


def _store(settings: Settings) -> SqlStore:
    return open_store(settings.database, keys_of(settings.database, settings.key_file))


def _check_alone(settings: Settings) -> None:
    """A process with the old key alone could not read what is sealed with the new one."""
    with contextlib.closing(_store(settings)) as store:
        others = store.others()
    if others:
        raise HoldlowerError(
            f"{others} other connections of holdlower to this database are open; stop every process of it first"
        )
