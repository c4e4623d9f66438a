"""`holdlower check`: a line for each thing that a clinic needs, and what to do about what is not as it should be."""

import argparse
import asyncio
import contextlib
import datetime as dt
import json
import os
import shutil
from collections.abc import Callable, Generator, Iterable, Iterator
from dataclasses import dataclass
from importlib.metadata import version
from zoneinfo import ZoneInfo

from bot.ports import DeliveryError
from bot.run.app import utc_now
from bot.run.opening import CLINIC_ID, keys_of, programme_of, serves
from bot.run.parts import RECEIVING
from bot.settings import Settings, load_settings, newest_copy, settings_file
from bot.telegram import ServiceState, ask_service, knock
from bot.wording.catalogue import Text, languages, text_in
from bot.wording.filling import misplaced
from core.errors import HoldlowerError
from core.records import Queues
from core.store import SqlStore, open_store
from core.store.condition import condition_of
from core.use_cases.rights import at_work

# judgement, all of them: what a lead should hear of before it hurts
MOST_SKEW_S = 120.0
OLDEST_COPY = dt.timedelta(hours=50)  # a nightly copy that failed twice
OLDEST_ZONES_YEARS = 1
LEAST_ROOM = 1 << 30
LONGEST_WAIT = dt.timedelta(minutes=15)
WITHIN_S = 8.0
BAD = 1  # the exit code when anything is to be done


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing looked at: `well` None where the clinic does not use it. `says` is a sentence, with what to do."""

    name: str
    well: bool | None
    says: str


def check_all(options: argparse.Namespace) -> int:
    """Look at everything and print a line each; returns the exit code."""
    text = text_in("en")
    found: list[Finding] = []
    for each in _Checking(options, text).all():
        found.append(each)
        if not options.json:
            mark = {True: "good", False: "bad", None: "unused"}[each.well]
            name = text(f"cli.check.name.{each.name}")
            line = text("cli.check.line", mark=text(f"cli.check.mark.{mark}"), name=f"{name:<14}", says=each.says)
            print(line, flush=True)  # at once: reading a large database through takes a while
    if options.json:
        facts = [{"check": each.name, "well": each.well, "says": each.says} for each in found]
        print(json.dumps(facts, ensure_ascii=False, indent=1))
    return BAD if any(each.well is False for each in found) else 0


class _Checking:
    """One look, from the settings on; what cannot be looked at without something else is left out."""

    def __init__(self, options: argparse.Namespace, text: Text) -> None:
        self._options, self._text, self._now = options, text, utc_now()

    def all(self) -> Iterator[Finding]:
        settings = yield from self._settings()
        if settings is None:
            return
        yield self._asked("programme", lambda: self._programme(settings))
        yield from self._database(settings)
        yield from asyncio.run(self._service(settings))
        yield self._zones(settings)
        yield self._disk(settings)
        yield self._fonts()

    def _good(self, name: str, /, **facts: object) -> Finding:
        return Finding(name, True, self._text(f"cli.check.{name}.good", **facts))

    def _bad(self, name: str, key: str = "bad", /, **facts: object) -> Finding:
        return Finding(name, False, self._text(f"cli.check.{name}.{key}", **facts))

    def _asked(self, name: str, look: Callable[[], Finding]) -> Finding:
        """A look whose errors say already what to do."""
        try:
            return look()
        except HoldlowerError as error:
            return Finding(name, False, str(error))

    def _settings(self) -> Generator[Finding, None, Settings | None]:
        """Yields, and returns the settings where they can be used."""
        file = settings_file(os.environ, self._options.settings)
        try:
            settings = load_settings(os.environ, self._options.settings)
        except HoldlowerError as error:
            yield Finding("settings", False, str(error))
            return None
        if not file.exists():
            yield Finding("settings", True, self._text("cli.check.settings.none"))
        elif file.stat().st_mode & 0o077:
            yield self._bad("settings", file=file)
        else:
            yield self._good("settings", file=file)
        return settings

    def _programme(self, settings: Settings) -> Finding:
        programme = programme_of(settings)
        if wrong := misplaced(programme):
            return self._bad("programme", why="; ".join(wrong))
        if settings.language not in programme.words:
            return self._bad("programme", "language", language=settings.language)
        return self._good("programme", name=programme.name, version=programme.version, languages=_listed(languages()))

    def _database(self, settings: Settings) -> Iterator[Finding]:
        """The keys, the tables, every seal; and then what only an open clinic can tell."""
        try:
            keys = keys_of(settings.database, settings.key_file, )
            found = condition_of(settings.database, keys, clinic_id=CLINIC_ID)
        except HoldlowerError as error:
            yield Finding("database", False, str(error))
            return
        yield self._bad("keys") if len(keys) > 1 else self._good("keys", file=settings.key_file)
        if found.version != found.needs:
            yield self._bad("database", found=found.version, needs=found.needs)
            return
        yield self._good("database", version=found.version, people=found.people, staff=found.staff)
        if rows := found.unreadable:
            yield self._bad("seals", count=len(rows), rows=", ".join(rows[:5]))
        else:
            yield self._good("seals")
        if rows := found.torn:
            yield self._bad("values", count=len(rows), rows=", ".join(rows[:5]))
        else:
            yield self._good("values")
        with contextlib.closing(open_store(settings.database, keys)) as store:
            yield from self._clinic(settings, store)

    def _clinic(self, settings: Settings, store: SqlStore) -> Iterator[Finding]:
        with store.reading() as uow:
            staff, copied, queues = uow.staff.all(), uow.audit.last_done("backup"), uow.figures.queues(self._now)
        copied = max(filter(None, (copied, newest_copy(settings.copies))), default=None)
        zone = ZoneInfo(settings.clinic_zone)
        here = [each for each in staff if at_work(each)]
        blocked = [each.name for each in here if each.unreachable_since]
        if blocked:
            yield self._bad("staff", names=", ".join(blocked))
        elif not any(each.lead for each in here):
            yield self._bad("staff", "no_lead")
        else:
            yield self._good("staff", count=len(here))
        if copied is None or self._now - copied > OLDEST_COPY:
            when = f"{copied.astimezone(zone):%Y-%m-%d %H:%M}" if copied else self._text("cli.check.never")
            yield self._bad("backup", when=when)
        else:
            yield self._good("backup", when=f"{copied.astimezone(zone):%Y-%m-%d %H:%M}")
        yield self._queues(queues)
        runs = serves(settings.database_file) if settings.database_file else store.held(RECEIVING)
        yield self._good("serve") if runs else self._bad("serve")

    def _queues(self, queues: Queues) -> Finding:
        if queues.untold.waiting:
            return self._bad("queues", "untold", count=queues.untold.waiting)
        oldest = min((each.since for each in (queues.inbox, queues.outbox) if each.since), default=self._now)
        count = queues.inbox.waiting + queues.outbox.waiting
        minutes = int((self._now - oldest).total_seconds() // 60)
        if self._now - oldest > LONGEST_WAIT:
            return self._bad("queues", count=count, minutes=minutes)
        return self._good("queues", count=count)

    async def _service(self, settings: Settings) -> list[Finding]:
        if settings.token is None:
            return [self._bad("token", "none")]
        try:
            async with asyncio.timeout(2 * WITHIN_S):
                state = await ask_service(settings.token.get_secret_value(), settings.base_url)
        except (DeliveryError, TimeoutError) as error:
            why = str(error) or f"{2 * WITHIN_S:.0f} s"
            return [Finding("token", False, self._text("cli.invite.not_reached", why=why))]
        except HoldlowerError as error:
            return [Finding("token", False, str(error))]
        _, date = await knock(settings.base_url, WITHIN_S)
        return [
            self._good("token", bot=state.bot),
            *([self._clock(date)] if date else []),
            await self._webhook(settings, state),
        ]

    def _clock(self, theirs: dt.datetime) -> Finding:
        skew = (utc_now() - theirs).total_seconds()
        if abs(skew) > MOST_SKEW_S:
            return self._bad("clock", seconds=f"{skew:+.0f}")
        return self._good("clock")

    async def _webhook(self, settings: Settings, state: ServiceState) -> Finding:
        url = settings.webhook_url
        if not url:
            return Finding("webhook", None, self._text("cli.check.webhook.unused"))
        if not (await knock(url, WITHIN_S))[0]:
            return self._bad("webhook", "silent", url=url)
        if not state.webhook.startswith(url):
            return self._bad("webhook", "elsewhere", url=url)
        if state.trouble:
            return self._bad("webhook", "trouble", why=state.trouble)
        return self._good("webhook", url=url)

    def _zones(self, settings: Settings) -> Finding:
        found = version("tzdata")
        local = f"{self._now.astimezone(ZoneInfo(settings.clinic_zone)):%H:%M}"
        if int(found.partition(".")[0]) < self._now.year - OLDEST_ZONES_YEARS:
            return self._bad("zones", version=found)
        return self._good("zones", version=found, zone=settings.clinic_zone, time=local)

    def _disk(self, settings: Settings) -> Finding:
        folder = (settings.database_file or settings.key_file).parent
        if not folder.is_dir():
            return self._bad("disk", "missing", folder=folder)
        free = shutil.disk_usage(folder).free
        facts: dict[str, object] = {"free": f"{free / (1 << 30):.1f}", "folder": folder}
        return self._good("disk", **facts) if free > LEAST_ROOM else self._bad("disk", **facts)

    def _fonts(self) -> Finding:
        from bot.drawing.paper import fonts  # takes a second

        missing = [str(file) for file in fonts() if not file.is_file()]
        return self._bad("fonts", files=_listed(missing)) if missing else self._good("fonts")


def _listed(names: Iterable[str]) -> str:
    return ", ".join(sorted(names))
