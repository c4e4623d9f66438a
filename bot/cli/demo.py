"""`holdlower demo`: an invented clinic after twenty weeks, with you as its therapist in the terminal."""

import argparse
import contextlib
import datetime as dt
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import count
from pathlib import Path
from typing import TextIO

from bot.drawing import Drawing
from bot.run.app import App, SteppedClock, build, random_id
from bot.run.opening import CLINIC_ID, keys_or_founded
from bot.settings.keys import keys_apart
from bot.terminal import channel as terminal
from bot.terminal.desk import Desk, run
from bot.terminal.living import BEGINS, EVENING, MONDAY, THERAPIST, Clinic
from bot.terminal.stories import DAYS, WEEKS
from bot.terminal.trial import typed_lines
from bot.wording.catalogue import Text, text_in
from core.errors import SettingsError
from core.ports import NewId
from core.programme.file import DEFAULT, programme_at
from core.records import Clinic as ClinicRow
from core.store import SqlStore, open_store
from core.store.copies import clinics_in
from core.store.sealed import new_key

ZONE = "UTC"
SHOWN_EVERY = 5 * 7  # days, where the progress is not seen on a terminal


@dataclass(frozen=True, slots=True)
class Place:
    """Where the clinic is kept; `lived` when it was filled before."""

    url: str
    keys: tuple[bytes, ...]
    lived: bool


def demonstrate(
    options: argparse.Namespace, source: TextIO | None = None, out: TextIO | None = None, progress: TextIO | None = None
) -> int:
    """Let the clinic live, then be its therapist; returns the exit code.

    Raises SettingsError for a folder that cannot be written, and for a database that is not one of these.
    """
    source, out, progress = source or sys.stdin, out or sys.stdout, progress or sys.stderr
    text = text_in("en")
    folder = _folder(options.folder)
    interactive = source.isatty()
    with _place(options.database) as place, contextlib.closing(_open(place)) as store:
        clock = SteppedClock(_last_moment(store, options.database) if place.lived else BEGINS)
        app = _app(store, clock, text, random_id if place.lived else _numbers(), options.programme)
        if not place.lived:
            _live(Clinic(app, clock, text, terminal.NAME), text, progress)
            clock.move_to(MONDAY)
        drawing = Drawing()
        try:
            desk = Desk(app, clock, out, drawing, folder, text)
            run(desk, typed_lines("> ") if interactive else source.read().splitlines(), echo=not interactive)
        finally:
            drawing.close()
    print(text("cli.demo.bye", folder=folder), file=out)
    if file := options.database:
        print(text("cli.demo.bye.kept", file=file.absolute(), key=keys_apart(file.absolute())), file=out)
    return 0


def _open(place: Place) -> SqlStore:
    return open_store(place.url, place.keys, clinic_id=CLINIC_ID)


def _app(store: SqlStore, clock: SteppedClock, text: Text, new_id: NewId, programme: str | None) -> App:
    clinic = ClinicRow(CLINIC_ID, text("cli.demo.clinic"), ZONE, text.language, "")
    followed = programme_at(programme or DEFAULT)
    return build(store, clock, new_id, followed, clinic, EVENING, {terminal.NAME: terminal.parse})


def _numbers() -> NewId:
    """Ids in a row, so that the clinic is the same each time."""
    ids = (f"{number:08x}" for number in count(1))
    return lambda: next(ids)


def _live(clinic: Clinic, text: Text, progress: TextIO) -> None:
    end = "\r" if progress.isatty() else "\n"
    for day in clinic.live():
        if day % (7 if progress.isatty() else SHOWN_EVERY) == 0 or day == DAYS:
            print(text("cli.demo.week", week=day // 7, weeks=WEEKS), end=end, file=progress, flush=True)
    if progress.isatty():
        print(file=progress)


def _last_moment(store: SqlStore, file: Path) -> dt.datetime:
    """Where the clock stood: the last thing that was done, or the Monday morning."""
    with store.reading() as uow:
        staff = uow.staff.get(THERAPIST)
        last = uow.audit.latest(limit=1)
    if staff is None:
        raise _not_ours(file)
    if staff.next_digest is None:
        raise SettingsError(f"--database {file}: its twenty weeks were cut off; remove the file and start again")
    return max([MONDAY, *(each.at for each in last)])


def _folder(path: Path) -> Path:
    """The folder, made where it is missing; looked at first, since living takes a while."""
    try:
        path.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryFile(dir=path):
            return path
    except OSError as error:
        raise SettingsError(f"--folder {path}: cannot be written to ({error.strerror}); name another") from error


@contextlib.contextmanager
def _place(file: Path | None) -> Iterator[Place]:
    if file is None:
        with tempfile.TemporaryDirectory(prefix="holdlower-") as folder:
            yield Place(f"sqlite:///{folder}/demo.sqlite", (new_key(),), lived=False)
        return
    lived = file.exists()
    key_file = keys_apart(file)
    if lived and not (key_file.exists() and clinics_in(file) == {CLINIC_ID}):
        raise _not_ours(file)
    url = f"sqlite:///{file.absolute()}"
    yield Place(url, keys_or_founded(url, key_file), lived)


def _not_ours(file: Path) -> SettingsError:
    return SettingsError(f"--database {file}: there is something else in it, so it is left alone; name a new file")
