"""The service: polling, inbox, ticks and delivery side by side until it is told to stop."""

import asyncio
import fcntl
import json
import logging
import signal
from collections.abc import Coroutine
from dataclasses import replace
from importlib.metadata import version
from pathlib import Path
from typing import Any

from bot.app import App, build
from bot.bucket import Bucket
from bot.channels import telegram, telegram_updates
from bot.clock import random_id, utc_now
from bot.delivery import Delivery, Render
from bot.doors import Source, source, watch
from bot.drawing import Drawing
from bot.in_store import in_thread
from bot.inbox import handle_next, run_inbox
from bot.keys import read_or_make_keys
from bot.logs import set_up
from bot.pace import any_of, wait_turn
from bot.ports import DeliveryError, Incoming
from bot.rendering import Rendering
from bot.scheduler import TICK_S, Ticks
from bot.settings import Settings
from bot.telegram_bot import build_bot, greet, webhook_secrets
from bot.wording.catalogue import text_in
from core.errors import HoldlowerError, SettingsError, StoreError
from core.programme import Programme
from core.programme.file import default_programme, load_programme
from core.records import Clinic, Update
from core.store import SqlStore, open_store
from core.use_cases.leaving import cannot_reach

log = logging.getLogger(__name__)

CLINIC_ID = "clinic"
LINK = "https://t.me/{bot}?start={code}"
COMMANDS = ("today", "how", "why", "progress", "change", "pause", "resume", "evening", "zone", "problem", "privacy",
            "export", "erase", "stop", "help")  # fmt: skip
GREET_AGAIN_S = 5.0
LONGEST_TURN_S = 20.0
DRAWN_AT_ONCE = 2  # one is drawn while the other is sent


def parse_update(update: Update) -> Incoming | None:
    """A stored update of the messaging service as something a person did."""
    return telegram_updates.parse(json.loads(update.payload), update.received_at)


def open_app(settings: Settings) -> tuple[App, SqlStore]:
    """The program on the database that the settings name; the folder of a new SQLite file is made."""
    _make_folder(settings.database)
    store = open_store(settings.database, read_or_make_keys(settings.key_file))
    clinic = Clinic(
        CLINIC_ID, settings.clinic_name, settings.clinic_zone, settings.language, settings.clinic_emergency
    )
    parse = {telegram.NAME: parse_update}
    app = build(store, utc_now, random_id, programme_of(settings), clinic, settings.evening, parse)
    return app, store


def _make_folder(database: str) -> None:
    kind, _, file = database.partition(":///")
    if kind != "sqlite":
        return
    folder = Path(file.partition("?")[0]).parent
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as error:
        raise StoreError(f"folder {folder} cannot be made ({error.strerror}); check HOLDLOWER_DATABASE") from error


def programme_of(settings: Settings) -> Programme:
    """The clinic's own programme file, or the default programme."""
    if settings.programme is None:
        return default_programme()
    try:
        text = settings.programme.read_text(encoding="utf-8")
    except OSError as error:
        raise SettingsError(
            f"HOLDLOWER_PROGRAMME: {settings.programme} cannot be read ({error.strerror}); name a programme file, "
            "or leave it empty for the default one"
        ) from error
    return load_programme(text, str(settings.programme))


def serve(settings: Settings) -> int:
    """Run until SIGINT or SIGTERM; returns the exit code."""
    if settings.token is None:
        raise SettingsError("HOLDLOWER_TOKEN is not set: put the bot's token into the settings, then start again")
    token = settings.token.get_secret_value()
    set_up(settings.log_level, secrets=[token, *webhook_secrets(token)])
    with one_at_a_time(settings.database):
        app, store = open_app(settings)
        try:
            return asyncio.run(_until_told(Service(app, settings)))
        finally:
            store.close()


async def _until_told(service: "Service") -> int:
    loop = asyncio.get_running_loop()
    for number in (signal.SIGINT, signal.SIGTERM):
        loop.add_signal_handler(number, service.stop)
    return await service.run()


class Service:
    """All the loops of one process."""

    def __init__(
        self, app: App, settings: Settings, *, bucket: Bucket | None = None, tick_s: float = TICK_S
    ) -> None:
        assert settings.token is not None
        self._app, self._settings, self._tick_s = app, settings, tick_s
        self._bot = build_bot(settings.token.get_secret_value(), settings.base_url)
        self._bucket = bucket or Bucket(settings.bulk_per_second)
        self._channel = telegram.TelegramChannel(self._bot, self._turn)
        self._stop = asyncio.Event()
        self._came, self._sent = asyncio.Event(), asyncio.Event()
        self._meter, self._watch = watch(settings, app.store, in_thread, app.clock)
        self._app = replace(app, meter=self._meter)

    def stop(self) -> None:
        """Leave as soon as what is under way is finished."""
        self._stop.set()
        self._came.set()
        self._sent.set()

    async def run(self) -> int:
        """Start, work, stop; returns 0 after an orderly stop, 1 when a part of the program broke."""
        drawing, digests = Drawing(), Drawing()  # a hundred pages must not hold up a patient's picture
        try:
            news = source(
                self._settings, self._bot, self._app.store, in_thread, self._channel.confirm_tap, self._came,
                self._app.clock, self._meter,
            )  # fmt: skip
            await self._watch.start()
            self._watch.started = await self._start(news)
            return await self._work(news, Rendering(drawing, self._app.digests(in_thread, digests)))
        finally:
            await self._watch.stop()
            drawing.close()
            digests.close()
            await self._bot.shutdown()

    async def _start(self, news: Source) -> bool:
        """Connect and take in what waits, so that answers from a downtime count before anything is closed or asked."""
        text = text_in(self._settings.language)
        commands = [(name, text(f"command.{name}")) for name in COMMANDS]
        while not self._stop.is_set():
            try:
                name = await greet(self._bot, commands, poll=not self._settings.webhook_url)
                self._app = replace(self._app, house=replace(self._app.house, link=LINK.replace("{bot}", name)))
                await in_thread(self._take_back)
                await news.pull_backlog()
                while await in_thread(lambda: handle_next(self._app)):
                    pass
            except (DeliveryError, StoreError) as error:
                log.warning("cannot start yet, trying again", extra={"why": str(error), "pause_s": GREET_AGAIN_S})
                await any_of((self._stop,), GREET_AGAIN_S)
            else:
                return True
        return False

    async def _turn(self, address: str) -> float:
        """Further parts of a long message wait for the bucket as the first one did."""
        return await wait_turn(self._bucket, address, longest_s=LONGEST_TURN_S)

    def _take_back(self) -> None:
        """What a process that died had in hand; on SQLite nobody else can be sending, so no lease is waited for."""
        with self._app.store.writing() as uow:
            uow.recover_outbox(self._app.clock(), alone=self._settings.database.startswith("sqlite"))
            uow.commit()

    def _delivery(self, render: Render, *, drawn: bool) -> Delivery:
        return Delivery(
            self._app.store, {telegram.NAME: self._channel}, render, self._bucket, self._app.clock, in_thread,
            owner=random_id(), on_unreachable=self._unreachable, meter=self._meter, drawn=drawn,
            in_flight=DRAWN_AT_ONCE if drawn else 16,
        )  # fmt: skip

    async def _work(self, news: Source, render: Render) -> int:
        ticks = Ticks(self._app, in_thread, self._sent, self._tick_s)
        parts = {
            "news": news.run(self._stop),
            "inbox": run_inbox(self._app, in_thread, self._stop, self._came, self._sent),
            "delivery": self._delivery(render, drawn=False).run(self._stop, self._sent),
            # woken by nothing: a digest that is a second late is soon enough
            "digests": self._delivery(render, drawn=True).run(self._stop, asyncio.Event()),
        }
        log.info("serving", extra={"tzdata": version("tzdata")})
        try:
            return await self._until_stopped(parts)
        finally:
            await ticks.stop()
            log.info("stopped")

    async def _until_stopped(self, parts: dict[str, Coroutine[Any, Any, None]]) -> int:
        """Run the parts; when one ends before it was told to, the others are stopped too, and that is a failure."""
        tasks = {asyncio.create_task(part, name=name) for name, part in parts.items()}
        await asyncio.wait(tasks, return_when=asyncio.FIRST_COMPLETED)
        broke = not self._stop.is_set()
        self.stop()
        results = await asyncio.gather(*tasks, return_exceptions=True)
        for result in results:
            if isinstance(result, HoldlowerError):
                raise result
            if isinstance(result, BaseException):
                log.error("a part of the program broke", exc_info=result)
        return 1 if broke or any(isinstance(result, BaseException) for result in results) else 0

    async def _unreachable(self, person_id: str) -> None:
        def note() -> None:
            with self._app.store.writing() as uow:
                person = uow.person(person_id, lock=True)
                if person is not None:
                    cannot_reach(self._app.work(uow), person)
                uow.commit()

        await in_thread(note)


class one_at_a_time:  # noqa: N801 reads as a function where it is used
    """Keeps a second process off an SQLite database: StoreError when one is at work. PostgreSQL needs no such lock."""

    def __init__(self, database: str) -> None:
        file = database.removeprefix("sqlite:///").partition("?")[0]
        self._path = Path(f"{file}.lock") if database.startswith("sqlite") else None

    def __enter__(self) -> None:
        if self._path is None:
            return
        try:
            self._path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
            self._file = self._path.open("w")
            fcntl.flock(self._file, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError as error:
            self._file.close()
            raise StoreError(
                f"another holdlower is serving from this database ({self._path} is locked); stop it first, "
                "or use PostgreSQL to run several"
            ) from error
        except OSError as error:
            raise StoreError(f"cannot lock {self._path} ({error.strerror}); check the folder and its owner") from error

    def __exit__(self, *_: object) -> None:
        if self._path is not None:
            self._file.close()
