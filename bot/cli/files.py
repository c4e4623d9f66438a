"""`holdlower export` and `erase`: what is kept about people, in files or gone."""

import argparse
import datetime as dt
import json
import os
from collections.abc import Callable, Sequence
from pathlib import Path
from zoneinfo import ZoneInfo

from bot.app import App
from bot.cli.trail import trail_of
from bot.serve import CLINIC_ID, open_app
from bot.settings import Settings, load_settings
from bot.wording.catalogue import text_in
from core.errors import HoldlowerError
from core.export.csv_rows import caseload_csv, caseload_json
from core.export.fhir import fhir_bundle
from core.ports import UnitOfWork
from core.records import Audit, Person
from core.use_cases.exporting import rows_of, subjects_of
from core.use_cases.work import Work

Write = Callable[[Work, Sequence[Person], bool], str]  # with names?


def export_some(options: argparse.Namespace) -> int:
    """Write one file about one person, or one about all and the trail beside it; print the paths."""
    if options.names and options.format == "fhir":
        raise HoldlowerError("--names does not go with --format fhir, which carries ids only; leave it out")
    settings = load_settings(os.environ, options.settings)
    app, store = open_app(settings)
    try:
        with store.writing() as uow:
            work = app.work(uow)
            people = uow.people(CLINIC_ID) if options.person is None else (person_of(uow, options.person),)
            written = FORMATS[options.format](work, people, options.names)
            for person in people:
                _note(work, "export", person.id)
            paths = [_save(options.out, _file_name(settings, work.now, options), written)]
            if options.person is None:
                trail = trail_of(work, settings, None, None, None, None)
                paths.append(_save(options.out, f"audit-{_day(settings, work.now)}.csv", trail))
            uow.commit()
    finally:
        store.close()
    for path in paths:
        print(text_in(settings.language)("cli.export.done", file=path))
    return 0


def erase_one(options: argparse.Namespace) -> int:
    """Erase one person for good; only with --yes."""
    settings = load_settings(os.environ, options.settings)
    app, store = open_app(settings)
    try:
        _erase(app, options.person, sure=options.yes)
    finally:
        store.close()
    print(text_in(settings.language)("cli.erase.done", person=options.person))
    return 0


def _erase(app: App, person_id: str, *, sure: bool) -> None:
    with app.store.writing() as uow:
        person_of(uow, person_id)
        if not sure:
            raise HoldlowerError(f"person {person_id}: nothing was erased; add --yes, which cannot be undone")
        uow.erase_person(person_id)
        _note(app.work(uow), "erase", None)
        uow.commit()


def person_of(uow: UnitOfWork, person_id: str) -> Person:
    """The person with that id; HoldlowerError when there is none."""
    person = uow.person(person_id, lock=True)
    if person is None:
        raise HoldlowerError(f"person {person_id}: nobody has this id; holdlower notices and export --all show the ids")
    return person


def _note(work: Work, action: str, person_id: str | None) -> None:
    """The trail names no member of staff for what is done on the machine itself."""
    work.uow.add_audit(Audit(CLINIC_ID, "", work.now, action, person_id))


def _csv(work: Work, people: Sequence[Person], names: bool) -> str:
    return caseload_csv([(person.name if names else person.id, rows_of(work, person)) for person in people])


def _json(work: Work, people: Sequence[Person], names: bool) -> str:
    return caseload_json([(person.name if names else person.id, rows_of(work, person)) for person in people])


def _fhir(work: Work, people: Sequence[Person], names: bool) -> str:
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
