"""`holdlower setup`: a few questions, then the settings file, the database with its keys, and the lead's link.

And `holdlower invite`, which makes the further links.
"""

import argparse
import asyncio
import contextlib
import getpass
import json
import os
import secrets
import sys
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TextIO
from zoneinfo import ZoneInfo

from bot.ports import DeliveryError
from bot.run.app import App
from bot.run.opening import CLINIC_ID, found_app, open_app
from bot.settings import PREFIX, Settings, load_settings, settings_file, wrong_value
from bot.settings.file import write_entries
from bot.telegram import LINK, build_bot, greet
from bot.wording.catalogue import Text, text_in
from core.errors import HoldlowerError, SettingsError
from core.ports import Store
from core.records import Role
from core.use_cases.joining import CODE_LENGTH, CODE_LETTERS, invite
from core.use_cases.rights import at_work, leads

ASKED = ("clinic_name", "clinic_zone", "clinic_emergency", "token")
SECRET = "token"
LEAD_DAYS = 7
ASK_NAME_S = 8.0
UNCHANGED = 1  # the exit code when the file was to stay as it is

Line = Callable[[str], str]  # shows a prompt, gives the answer


def set_up(options: argparse.Namespace) -> int:
    """Ask, write, create, and print the lead's link; returns the exit code."""
    return Setup(os.environ, options.settings, sys.stdin, sys.stdout).run()


class Setup:
    """One set-up. Piped answers stand one a line, in the order of the questions; a wrong one ends it."""

    def __init__(self, environ: Mapping[str, str], file: Path | None, source: TextIO, out: TextIO) -> None:
        self._environ, self._file, self._source, self._out = environ, settings_file(environ, file), source, out
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
        app = found_app(settings)
        with contextlib.closing(app.store):
            self._say("cli.setup.database", database=settings.database_file or "PostgreSQL")
            self._say("cli.setup.keys", file=settings.key_file)
            if _has_lead(app.store):
                self._say("cli.setup.has_lead")
            else:
                self._say("cli.setup.lead")
                for line in invitation_for(app, settings, Role.LEAD, "", LEAD_DAYS).lines(self._text):
                    print(line, file=self._out)
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


def _has_lead(store: Store) -> bool:
    with store.reading() as uow:
        return any(each.lead and at_work(each) for each in uow.staff.all())


def invite_one(options: argparse.Namespace) -> int:
    """Make one invitation and print its link and code; the code is shown here and never again."""
    settings = load_settings(os.environ, options.settings)
    app = open_app(settings)
    with contextlib.closing(app.store):
        made = invitation_for(app, settings, Role(options.role), options.note.strip(), options.days)
    print(json.dumps(made.facts) if options.json else "\n".join(made.lines(text_in(settings.language))))
    return 0


@dataclass(frozen=True, slots=True)
class Invited:
    """A new invitation, to be shown once."""

    role: Role
    code: str
    link: str | None
    problem: str  # why there is no link
    expires: str  # in the clinic's zone
    zone: str

    @property
    def facts(self) -> Mapping[str, str | None]:
        """For a program."""
        return {"role": self.role.value, "code": self.code, "link": self.link, "expires": self.expires}

    def lines(self, text: Text) -> list[str]:
        """For a person."""
        how = "cli.invite.how" if self.role == Role.PATIENT else "cli.invite.how.staff"
        return [
            *([text("cli.invite.link", link=self.link)] if self.link else []),
            text("cli.invite.code", code=self.code),
            text(how, expires=f"{self.expires} ({self.zone})"),
            *([text("cli.invite.older")] if self.role == Role.LEAD else []),
            *([text("cli.invite.no_link", why=self.problem)] if self.problem else []),
        ]


def invitation_for(app: App, settings: Settings, role: Role, name: str, days: int) -> Invited:
    """Make an invitation; `name` says whom it is for."""
    code = "".join(secrets.choice(CODE_LETTERS) for _ in range(CODE_LENGTH))
    with app.store.writing() as uow:
        work = app.work(uow)
        if role == Role.THERAPIST and not leads(work):
            raise HoldlowerError("no clinic lead is there to confirm a therapist: holdlower invite --role lead first")
        invitation = invite(work, CLINIC_ID, code, name, days, role)
        uow.commit()
    bot, problem = _bot_name(settings)
    expires = invitation.expires_at.astimezone(ZoneInfo(settings.clinic_zone))
    spelled = "-".join(code[at : at + 4] for at in range(0, CODE_LENGTH, 4))
    link = LINK.format(bot=bot, code=code) if bot else None
    return Invited(role, spelled, link, problem, f"{expires:%Y-%m-%d %H:%M}", settings.clinic_zone)


def _bot_name(settings: Settings) -> tuple[str | None, str]:
    """The bot's name for the link, or why the code alone must do; neither while there is no token yet."""
    if settings.token is None:
        return None, ""
    token = settings.token.get_secret_value()

    async def ask() -> str:
        bot = build_bot(token, settings.base_url)
        try:
            return await asyncio.wait_for(greet(bot, poll=False), ASK_NAME_S)
        finally:
            await bot.shutdown()

    try:
        return asyncio.run(ask()), ""
    except (TimeoutError, DeliveryError) as error:
        why = str(error) or f"{ASK_NAME_S:.0f} s"
        return None, text_in(settings.language)("cli.invite.not_reached", why=why)
    except HoldlowerError as error:
        return None, str(error)
