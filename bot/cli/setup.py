"""`holdlower setup`: a few questions, then the settings file, the database with its keys, and the lead's link."""

import argparse
import getpass
import os
import sys
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TextIO

from bot.cli.clinic import invitation_for
from bot.run.opening import found_app
from bot.settings import FILE_NAME, PREFIX, load_settings, settings_path, wrong_value
from bot.settings.file import write_entries
from bot.wording.catalogue import Text, text_in
from core.errors import SettingsError
from core.records import Role
from core.store import SqlStore
from core.use_cases.rights import at_work

ASKED = ("clinic_name", "clinic_zone", "clinic_emergency", "token")
SECRET = "token"
LEAD_DAYS = 7
UNCHANGED = 1  # the exit code when the file was to stay as it is

Line = Callable[[str], str]  # shows a prompt, gives the answer


def set_up(options: argparse.Namespace) -> int:
    """Ask, write, create, and print the lead's link; returns the exit code."""
    return Setup(os.environ, options.settings, sys.stdin, sys.stdout).run()


class Setup:
    """One set-up. Piped answers stand one a line, in the order of the questions; a wrong one ends it."""

    def __init__(self, environ: Mapping[str, str], file: Path | None, source: TextIO, out: TextIO) -> None:
        named = file or (Path(environ[FILE_NAME]) if environ.get(FILE_NAME) else None)
        self._environ, self._file, self._source, self._out = environ, named or settings_path(environ), source, out
        self._asks = source.isatty()
        self._present = load_settings(environ, self._file, may_be_missing=True)
        self._text: Text = text_in(self._present.language)

    def run(self) -> int:
        """The exit code: 0, or UNCHANGED when the file that is there was not to be changed."""
        self._say("cli.setup.file", file=self._file)
        answers = {name: answer for name in ASKED if (answer := self._answer(name))}
        if not self._write(answers):
            return UNCHANGED
        settings = load_settings(self._environ, self._file)
        app, store = found_app(settings)
        try:
            self._say("cli.setup.database", database=settings.database_file or "PostgreSQL")
            self._say("cli.setup.keys", file=settings.key_file)
            if _has_lead(store):
                self._say("cli.setup.has_lead")
            else:
                self._say("cli.setup.lead")
                for line in invitation_for(app, settings, Role.LEAD, "", LEAD_DAYS).lines(self._text):
                    print(line, file=self._out)
        finally:
            store.close()
        self._say("cli.setup.next" if settings.token else "cli.setup.next.token")
        return 0

    def _answer(self, name: str) -> str:
        """The answer to one question; empty for the default."""
        while True:
            answer = self._line(self._question(name), secret=name == SECRET).strip()
            expected = wrong_value(name, answer) if answer else None
            if expected is None:
                return answer
            if not self._asks:
                raise SettingsError(f"{PREFIX}{name.upper()}: the answer cannot be used; expected {expected}")
            self._say("cli.setup.wrong", expected=expected)

    def _question(self, name: str) -> str:
        present = getattr(self._present, name)
        default = self._text("cli.setup.kept") if present and name == SECRET else str(present or "")
        default = default or self._text("cli.setup.none")
        return self._text(f"cli.setup.{name}") + self._text("cli.setup.default", default=default)

    def _write(self, answers: Mapping[str, str]) -> bool:
        """Write what was answered; False when the file that is there was not to be changed."""
        there = self._file.exists()
        changed = {PREFIX + name.upper(): answer for name, answer in answers.items()}
        if there and not changed:
            self._say("cli.setup.same", file=self._file)
            return True
        if there:
            names = ", ".join(changed)
            said = self._line(self._text("cli.setup.overwrite", file=self._file, names=names) + " ", secret=False)
            if said.strip().casefold() not in self._text.words("cli.yes"):
                self._say("cli.setup.unchanged")
                return False
        write_entries(self._file, changed)
        self._say("cli.setup.written", file=self._file)
        return True

    def _line(self, prompt: str, *, secret: bool) -> str:
        if self._asks and secret:
            return getpass.getpass(prompt)
        print(prompt, end="" if self._asks else "\n", file=self._out, flush=True)
        return self._source.readline()

    def _say(self, key: str, **facts: object) -> None:
        print(self._text(key, **facts), file=self._out)


def _has_lead(store: SqlStore) -> bool:
    with store.reading() as uow:
        return any(each.lead and at_work(each) for each in uow.staff.all())
