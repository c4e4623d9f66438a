"""`holdlower export`, `audit` and `erase`: what is kept about people, and who looked, in files; or gone."""

import argparse
import datetime as dt
import json
import os
import sys
from collections.abc import Callable, Iterable, Iterator, Sequence
from pathlib import Path
from zoneinfo import ZoneInfo

from bot.cli.opened import date_of, make_sure, note, opened, person_of, show_progress
from bot.settings import Settings
from core.errors import HoldlowerError
from core.export.csv_rows import caseload_csv, caseload_json
from core.export.fhir import fhir_bundle
from core.records import Person
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
