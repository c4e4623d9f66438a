"""What most commands begin with: the clinic that the settings name, a transaction on it, somebody in it, a yes."""

import argparse
import contextlib
import datetime as dt
import os
import sys
from collections.abc import Iterator
from typing import NamedTuple, TextIO

from bot.run.opening import CLINIC_ID, open_app
from bot.settings import Settings, load_settings
from bot.wording.catalogue import Text, text_in
from core.errors import HoldlowerError, SettingsError
from core.records import Audit, Person
from core.use_cases.work import Work


class Opened(NamedTuple):
    settings: Settings
    text: Text
    work: Work


@contextlib.contextmanager
def opened(options: argparse.Namespace) -> Iterator[Opened]:
    """One transaction on the clinic, committed at the end; the clinic must be there."""
    settings = load_settings(os.environ, options.settings)
    app = open_app(settings)
    with contextlib.closing(app.store), app.store.writing() as uow:
        yield Opened(settings, text_in(settings.language), app.work(uow))
        uow.commit()


def person_of(work: Work, person_id: str) -> Person:
    """The person with that id; HoldlowerError when there is none."""
    person = work.uow.people.get(person_id, lock=True)
    if person is None:
        raise HoldlowerError(f"person {person_id}: nobody has this id; holdlower notices and export --all show the ids")
    return person


def note(work: Work, action: str, person_id: str | None = None, detail: str = "") -> None:
    """A line of the trail, which names no member of staff for what is done on the machine itself."""
    work.uow.audit.add(Audit(CLINIC_ID, "", work.now, action, person_id, detail))


def date_of(written: str) -> dt.date:
    """The date that was typed. Raises SettingsError for something else."""
    try:
        return dt.date.fromisoformat(written)
    except ValueError as error:
        raise SettingsError(f"{written}: expected a date as YYYY-MM-DD, such as 2026-01-05") from error


def make_sure(options: argparse.Namespace, text: Text, what: str) -> None:
    """Return after --yes, or a yes typed at a terminal. Raises HoldlowerError, with nothing done, otherwise.

    Nothing may be locked meanwhile: somebody is thinking.
    """
    if options.yes:
        return
    if not sys.stdin.isatty():
        raise HoldlowerError(text("cli.sure.needed", what=what))
    print(text("cli.sure.ask", what=what), end=" ", flush=True)
    if sys.stdin.readline().strip().casefold() not in text.words("cli.yes"):
        raise HoldlowerError(text("cli.sure.nothing"))


def show_progress(err: TextIO, done: int, all_: int) -> None:
    """A count that rewrites itself, for who watches long work; a file gets none."""
    if err.isatty() and all_ > 1:
        print(f"\r{done}/{all_}", end="\n" if done >= all_ else "", file=err, flush=True)
