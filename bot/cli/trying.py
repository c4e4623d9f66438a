"""`holdlower try` and `demo`: the whole program in the terminal, without a token or a network.

As a patient, or as the therapist of an invented clinic after twenty weeks.
"""

import argparse
import asyncio
import contextlib
import datetime as dt
import signal
import sys
import tempfile
import zoneinfo
from collections.abc import Iterable, Iterator
from itertools import count
from pathlib import Path
from typing import TextIO

from bot.drawing import Drawing
from bot.run.app import App, SteppedClock, build, random_id, utc_now
from bot.run.opening import CLINIC_ID, keys_or_founded
from bot.settings.file import keys_apart
from bot.terminal import channel as terminal
from bot.terminal.desk import Desk
from bot.terminal.living import BEGINS, EVENING, MONDAY, THERAPIST, People
from bot.terminal.stories import DAYS, WEEKS
from bot.terminal.trial import Trial, last_moment, starts_with_an_evening
from bot.wording.catalogue import Text, text_in
from core.errors import SettingsError
from core.ports import NewId
from core.programme.file import DEFAULT, programme_at
from core.records import Clinic
from core.store import SqlStore, open_store
from core.store.founding import clinics_in
from core.store.sealed import new_key

MORNING = dt.time(10)
ZONE = "UTC"
SHOWN_EVERY = 5 * 7  # days, where the progress is not seen on a terminal


def try_out(options: argparse.Namespace, source: TextIO | None = None, out: TextIO | None = None) -> int:
    """Live through typed or piped lines; returns the exit code."""
    source, out = source or sys.stdin, out or sys.stdout
    lines = [] if source.isatty() else source.read().splitlines()
    skip = options.enrolled or (not source.isatty() and starts_with_an_evening(lines))
    rating = options.rating if skip else None
    folder = terminal.Folder()
    with _database(options.file) as (url, keys), contextlib.closing(open_store(url, keys)) as store:
        with store.reading() as uow:
            clock = SteppedClock(last_moment(uow) or _start(options))
        # of the real clock: the trial's own may stand where it stood when the file was left
        now = utc_now().timestamp()
        ids = _numbers(int(now) % 10**6 * 1000 if options.file else 1)
        app = _app(store, clock, ids, options, Clinic(CLINIC_ID, "", _zone(options.zone), "en", ""))
        with contextlib.closing(Drawing()) as drawing:
            trial = Trial(app, clock, out, drawing, folder.keep, int(now * 1000) % 10**12, rating)
            asyncio.run(_sit_down(trial, _typed() if source.isatty() else lines, echo=not source.isatty()))
    text = text_in("en")
    if folder.path:
        print(text("cli.try.pictures", folder=folder.path), file=out)
    print(text("cli.try.bye"), file=out)
    return 0


def demonstrate(
    options: argparse.Namespace, source: TextIO | None = None, out: TextIO | None = None, progress: TextIO | None = None
) -> int:
    """Let the clinic live, then be its therapist; returns the exit code.

    Raises SettingsError for a folder that cannot be written, and for a database that is not one of these.
    """
    source, out, progress = source or sys.stdin, out or sys.stdout, progress or sys.stderr
    text, folder = text_in("en"), _folder(options.folder)
    lived = _lived_before(options.database)
    with _database(options.database) as (url, keys), contextlib.closing(open_store(url, keys)) as store:
        clock = SteppedClock(_last_moment(store, options.database) if lived else BEGINS)
        clinic = Clinic(CLINIC_ID, text("cli.demo.clinic"), ZONE, text.language, "")
        # ids in a row, so that the clinic is the same each time
        app = _app(store, clock, random_id if lived else _numbers(1), options, clinic)
        if not lived:
            _live(People(app, clock, text, terminal.NAME), text, progress)
            clock.move_to(MONDAY)
        with contextlib.closing(Drawing()) as drawing:
            desk = Desk(app, clock, out, drawing, folder, text)
            lines = _typed() if source.isatty() else source.read().splitlines()
            asyncio.run(_sit_down(desk, lines, echo=not source.isatty()))
    print(text("cli.demo.bye", folder=folder), file=out)
    if file := options.database:
        print(text("cli.demo.bye.kept", file=file.absolute(), key=keys_apart(file.absolute())), file=out)
    return 0


async def _sit_down(seat: Trial | Desk, lines: Iterable[str], *, echo: bool) -> None:
    """Begin, and stay to the end of the lines."""
    signal.signal(signal.SIGINT, signal.default_int_handler)  # asyncio waits for a second one while a line is read
    await seat.begin()
    await seat.run(lines, echo=echo)


def _typed() -> Iterator[str]:
    """Lines from a person at a terminal, until they end the input."""
    while True:
        try:
            yield input("> ")
        except EOFError:
            return


def _app(store: SqlStore, clock: SteppedClock, new_id: NewId, options: argparse.Namespace, clinic: Clinic) -> App:
    followed = programme_at(options.programme or DEFAULT)
    return build(store, clock, new_id, followed, clinic, EVENING, {terminal.NAME: terminal.parse})


def _numbers(first: int) -> NewId:
    ids = (f"{number:08x}" for number in count(first))
    return lambda: next(ids)


@contextlib.contextmanager
def _database(file: Path | None) -> Iterator[tuple[str, tuple[bytes, ...]]]:
    """Its address and keys; where no file is named it is gone afterwards."""
    if file is None:
        with tempfile.TemporaryDirectory(prefix="holdlower-") as folder:
            yield f"sqlite:///{folder}/trial.sqlite", (new_key(),)
    else:
        url = f"sqlite:///{file.absolute()}"
        yield url, keys_or_founded(url, keys_apart(file))


def _start(options: argparse.Namespace) -> dt.datetime:
    zone = zoneinfo.ZoneInfo(_zone(options.zone))
    try:
        date = dt.date.fromisoformat(options.start) if options.start else utc_now().astimezone(zone).date()
    except ValueError as error:
        raise SettingsError(f"--start {options.start}: expected a date as YYYY-MM-DD, such as 2026-01-05") from error
    return dt.datetime.combine(date, MORNING, zone).astimezone(dt.UTC)


def _zone(name: str) -> str:
    if name not in zoneinfo.available_timezones():
        raise SettingsError(f"--zone {name}: no such time zone; expected a name such as Europe/Lisbon")
    return name


def _live(people: People, text: Text, progress: TextIO) -> None:
    end = "\r" if progress.isatty() else "\n"
    for day in people.live():
        if day % (7 if progress.isatty() else SHOWN_EVERY) == 0 or day == DAYS:
            print(text("cli.demo.week", week=day // 7, weeks=WEEKS), end=end, file=progress, flush=True)
    if progress.isatty():
        print(file=progress)


def _lived_before(file: Path | None) -> bool:
    if file is None or not file.exists():
        return False
    if not (keys_apart(file).exists() and clinics_in(file) == {CLINIC_ID}):
        raise _not_ours(file)
    return True


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


def _not_ours(file: Path) -> SettingsError:
    return SettingsError(f"--database {file}: there is something else in it, so it is left alone; name a new file")


def _folder(path: Path) -> Path:
    """The folder, made where it is missing; looked at first, since living takes a while."""
    try:
        path.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryFile(dir=path):
            return path
    except OSError as error:
        raise SettingsError(f"--folder {path}: cannot be written to ({error.strerror}); name another") from error
