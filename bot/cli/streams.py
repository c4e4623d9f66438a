"""What commands share: streams that never end in a traceback, and a clinic opened or refused in a sentence."""

import argparse
import contextlib
import datetime as dt
import errno
import io
import os
import re
import sys
from collections.abc import Iterator
from typing import Any, NamedTuple, TextIO, cast

from bot.run.serve import CLINIC_ID, open_app
from bot.settings.values import Settings, load_settings
from bot.wording.catalogue import Text, text_in
from core.errors import HoldlowerError, SettingsError
from core.records import Audit, Person
from core.use_cases.work import Work

# C0 and C1 of ISO 6429 but for line ends, tabs and the return that redraws a line
_CONTROL = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f]")
SHOWN_AS = "\ufffd"


class Plain:
    """A stream that prints control characters, which could move a cursor or hide a line, as a sign for them."""

    def __init__(self, stream: TextIO) -> None:
        self._stream = stream

    def write(self, text: str) -> int:
        """Write the text without them."""
        return self._stream.write(_CONTROL.sub(SHOWN_AS, text))

    def writelines(self, lines: list[str]) -> None:
        """As for `write`."""
        for line in lines:
            self.write(line)

    def __getattr__(self, name: str) -> Any:
        return getattr(self._stream, name)


def without_control(text: str) -> str:
    """The text as `Plain` prints it."""
    return _CONTROL.sub(SHOWN_AS, text)


@contextlib.contextmanager
def plain_streams() -> Iterator[None]:
    """The three standard streams as they can be used: closed ones are empty, what cannot be encoded is replaced."""
    before = sys.stdin, sys.stdout, sys.stderr
    sys.stdin = before[0] or io.StringIO()
    for stream in filter(None, before):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")
    sys.stdout = cast(TextIO, Plain(before[1] or io.StringIO()))
    sys.stderr = cast(TextIO, Plain(before[2] or io.StringIO()))
    try:
        yield
    finally:
        sys.stdin, sys.stdout, sys.stderr = before


def said_of(error: OSError, text: Text) -> str:
    """What went wrong, and with which file where one is known."""
    what = error.strerror or str(error)
    if error.errno == errno.ENOSPC and not error.filename:
        return text("cli.full", what=what)
    return f"{error.filename}: {what}" if error.filename else what


def drop_output() -> None:
    """Write the rest of the output nowhere, so that the interpreter does not fail over it when it ends."""
    with contextlib.suppress(OSError, ValueError, io.UnsupportedOperation):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def show_progress(err: TextIO, done: int, all_: int) -> None:
    """A count that rewrites itself, for who watches long work; a file gets none."""
    if err.isatty() and all_ > 1:
        print(f"\r{done}/{all_}", end="\n" if done >= all_ else "", file=err, flush=True)


class Opened(NamedTuple):
    settings: Settings
    text: Text
    work: Work


@contextlib.contextmanager
def opened(options: argparse.Namespace) -> Iterator[Opened]:
    """One transaction on the clinic, committed at the end; the clinic must be there."""
    settings = load_settings(os.environ, options.settings)
    app, store = open_app(settings)
    try:
        with store.writing() as uow:
            yield Opened(settings, text_in(settings.language), app.work(uow))
            uow.commit()
    finally:
        store.close()


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
