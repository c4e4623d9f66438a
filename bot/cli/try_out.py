"""`holdlower try`: the whole program in the terminal, without a token or a network."""

import argparse
import contextlib
import datetime as dt
import sys
import tempfile
import zoneinfo
from collections.abc import Iterator
from itertools import count
from pathlib import Path
from typing import TextIO

from bot.drawing import Drawing
from bot.run.app import App, SteppedClock, build, utc_now
from bot.run.opening import keys_or_founded
from bot.settings.keys import keys_apart
from bot.terminal import channel as terminal
from bot.terminal.trial import Enrolled, Trial, last_moment, run, starts_with_an_evening, typed_lines
from bot.wording.catalogue import text_in
from core.errors import SettingsError
from core.programme.file import DEFAULT, programme_at
from core.records import Clinic
from core.store import open_store
from core.store.sealed import new_key

MORNING = dt.time(10)
EVENING = dt.time(19)


def try_out(options: argparse.Namespace, source: TextIO | None = None, out: TextIO | None = None) -> int:
    """Live through typed or piped lines; returns the exit code."""
    source, out = source or sys.stdin, out or sys.stdout
    interactive = source.isatty()
    lines = [] if interactive else source.read().splitlines()
    skip = options.enrolled or (not interactive and starts_with_an_evening(lines))
    enrolled = Enrolled(rating=options.rating) if skip else None
    pictures = Pictures()
    with _database(options.file) as (url, keys):
        drawing = Drawing()
        app, clock = _app(url, keys, options)
        try:
            # of the real clock: the trial's own may stand where it stood when the file was left
            trial = Trial(app, clock, out, drawing, pictures.keep, int(utc_now().timestamp() * 1000) % 10**12)
            run(trial, typed_lines("> ") if interactive else lines, enrolled, echo=not interactive)
        finally:
            drawing.close()
            app.store.close()
    text = text_in("en")
    if pictures.folder:
        print(text("cli.try.pictures", folder=pictures.folder), file=out)
    print(text("cli.try.bye"), file=out)
    return 0


class Pictures:
    """A folder for what was sent as a file, made for the first one."""

    folder: Path | None = None

    def keep(self, content: bytes, name: str) -> str:
        """Write a file and say where it is."""
        self.folder = self.folder or Path(tempfile.mkdtemp(prefix="holdlower-"))
        count = len(list(self.folder.iterdir())) + 1
        target = self.folder / (f"picture-{count}{name}" if name.startswith(".") else Path(name).name)
        target.write_bytes(content)
        return str(target)


def _app(url: str, keys: tuple[bytes, ...], options: argparse.Namespace) -> tuple[App, SteppedClock]:
    store = open_store(url, keys)
    with store.reading() as uow:
        clock = SteppedClock(last_moment(uow) or _start(options))
    clinic = Clinic("clinic", "", _zone(options.zone), "en", "")
    ids = (f"{number:08x}" for number in count(int(utc_now().timestamp()) % 10**6 * 1000 if options.file else 1))
    app = build(store, clock, lambda: next(ids), programme_at(options.programme or DEFAULT), clinic, EVENING, {
        terminal.NAME: terminal.parse
    })  # fmt: skip
    return app, clock


@contextlib.contextmanager
def _database(file: Path | None) -> Iterator[tuple[str, tuple[bytes, ...]]]:
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

