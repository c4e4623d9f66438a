"""One process of the service: its loops, side by side until it is told to stop."""

import asyncio
import contextlib
import datetime as dt
import logging
import signal
from collections.abc import Callable, Collection, Coroutine
from dataclasses import replace
from functools import partial
from importlib.metadata import version
from typing import Any

from bot.drawing import Drawing
from bot.messaging.delivery import LONGEST_WAIT_S, Delivery, Render
from bot.messaging.inbox import run_inbox
from bot.messaging.intake import Intake, Unwritten
from bot.messaging.pace import Bucket, Pace, SharedPace
from bot.messaging.poller import Poller
from bot.messaging.rendering import Rendering
from bot.messaging.webhook import Webhook
from bot.ports import UNMETERED, DeliveryError, Meter
from bot.run.app import App, random_id
from bot.run.guiding import Guiding
from bot.run.in_store import Told, any_of, in_thread
from bot.run.logs import set_up
from bot.run.metrics import Metrics, Watch
from bot.run.opening import found_app, one_at_a_time
from bot.run.parts import ALL, RECEIVING, Part, caught_up, check_parts, side_by_side, while_ours
from bot.run.ticks import TICK_S, Ticks
from bot.settings import Settings
from bot.telegram import LINK, build_bot, greet, webhook_secrets
from bot.telegram import channel as telegram
from bot.wording.catalogue import text_in
from core.answers.understand import understand
from core.errors import SettingsError, StoreError
from core.records import LOCKED, Box
from core.use_cases.leaving import cannot_reach
from core.use_cases.staffing import staff_gone

log = logging.getLogger(__name__)

COMMANDS = ("today", "set", "how", "sheet", "why", "progress", "goals", "change", "pause", "resume", "evening",
            "nudges", "zone", "questions", "learn", "problem", "privacy", "export", "erase", "stop",
            "help")  # fmt: skip
POLLING = "polling"
TOLD = {"handle": Box.IN, "send": Box.OUT, "count": Box.OUT, "draw": Box.OUT}  # which loop works on what
GREET_AGAIN_S = 5.0
SENT_AT_ONCE, DRAWN_AT_ONCE = 16, 2  # one is drawn while the other is sent
HANDLED_AT_ONCE = {True: 1, False: 4}  # SQLite has one writer; PostgreSQL's round trips overlap, and its commits
# We wake ourselves, and are told what others have left us: looked for is what waits for its moment, or was missed.
IDLE_S, HANDLE_ALONE_IDLE_S = 2.0, 5.0


def read_ahead(language: str) -> None:
    """Build what is slow the first time, so that nobody's answer waits for it inside its transaction."""
    understand("4, did all", language)
    text = text_in(language)
    text.day(dt.date.min), text.time(dt.time.min), text.number(0.5)


class Service:
    """All the loops of one process."""

    def __init__(
        self, app: App, settings: Settings, *, parts: frozenset[Part] = ALL, bucket: Bucket | None = None,
        tick_s: float = TICK_S,
    ) -> None:  # fmt: skip
        assert settings.token is not None
        self._settings, self._parts, self._tick_s = settings, parts, tick_s
        self._alone = settings.database_file is not None
        self._owner = "alone" if self._alone else random_id()  # alone, what we held before a crash is ours at once
        self._bot = build_bot(settings.token.get_secret_value(), settings.base_url)
        rate = settings.bulk_per_second
        shared = None if self._alone else SharedPace(app.store, in_thread, rate)
        bucket = bucket or Bucket(rate if self._alone else 2 * rate)  # shared, the other one is the limit
        self._pace = Pace(bucket, shared)
        # further parts of a long message wait for their turns as the first one did
        self._channel = telegram.TelegramChannel(self._bot, partial(self._pace.turn, longest_s=LONGEST_WAIT_S))
        self._channels = {telegram.NAME: self._channel}
        self._stop = asyncio.Event()
        self._came, self._sent = asyncio.Event(), asyncio.Event()
        self._told = {name: Told() for name in TOLD}
        self._meter: Meter = UNMETERED
        self._watch: Watch | None = None
        if settings.watch_listen:
            self._meter = metrics = Metrics()
            self._watch = Watch(app.store, in_thread, metrics, app.clock, settings.watch_listen)
        self._app = replace(app, meter=self._meter)

    def stop(self) -> None:
        """Leave as soon as what is under way is finished."""
        self._stop.set()
        self._came.set()
        self._sent.set()

    async def run(self) -> int:
        """Start, work, stop; returns 0 after an orderly stop, 1 when a part of the program broke."""
        deaf = self._listen()
        drawing, digests = Drawing(), Drawing()  # a hundred pages must not hold up a patient's picture
        try:
            if self._watch:
                await self._watch.start()
            await in_thread(lambda: read_ahead(self._settings.language))
            if not await self._start():
                return 0
            if self._watch:
                self._watch.started = True
            log.info("serving", extra={"tzdata": version("tzdata"), "parts": ",".join(sorted(self._parts))})
            render = Rendering(drawing, self._app.digests(in_thread, digests))
            return await side_by_side(self._work(render), self._stop, self.stop)
        finally:
            await in_thread(deaf)
            if self._watch:
                await self._watch.stop()
            drawing.close()
            digests.close()
            await self._bot.shutdown()
            log.info("stopped")

    def _listen(self) -> Callable[[], None]:
        """Be told what other processes leave us, where there are any; what is returned ends it."""
        loop = asyncio.get_running_loop()
        for told in self._told.values():
            told.works = self._alone

        def note(boxes: Collection[Box], works: bool) -> None:
            for name, told in self._told.items():
                told.works = told.locked = works
                if TOLD[name] in boxes or not works:
                    told.set()

        def heard(boxes: Collection[Box], works: bool) -> None:
            with contextlib.suppress(RuntimeError):  # the loop has ended
                loop.call_soon_threadsafe(note, boxes, works)

        return self._app.store.listen(LOCKED + self._owner, heard)

    async def _start(self) -> bool:
        """Connect to the messaging service and the database, however long that takes; False when told to stop."""
        text = text_in(self._settings.language)
        commands = [(name, text(f"command.{name}")) for name in COMMANDS]
        while not self._stop.is_set():
            try:
                name = await greet(self._bot, commands, poll=not self._settings.webhook_url)
                self._app = replace(self._app, chats=replace(self._app.chats, link=LINK.replace("{bot}", name)))
                await in_thread(self._take_back)
            except (DeliveryError, StoreError) as error:
                log.warning("cannot start yet, trying again", extra={"why": str(error), "pause_s": GREET_AGAIN_S})
                await any_of((self._stop,), GREET_AGAIN_S)
            else:
                return True
        return False

    def _take_back(self) -> None:
        """What a process that died had in hand; on SQLite nobody else can be sending, so no lease is waited for."""
        with self._app.store.writing() as uow:
            uow.sending.recover(self._app.clock(), alone=self._alone)
            uow.commit()

    def _work(self, render: Render) -> dict[Part, Coroutine[Any, Any, None]]:
        """The loops of this process's parts, by part."""
        app, stop, idle_s = self._app, self._stop, HANDLE_ALONE_IDLE_S if self._alone else IDLE_S
        every: dict[Part, Callable[[], Coroutine[Any, Any, None]]] = {
            Part.RECEIVE: self._receive,
            Part.HANDLE: lambda: run_inbox(
                app, in_thread, stop, self._came, self._sent, idle_s, at_once=HANDLED_AT_ONCE[self._alone],
                told=self._told["handle"],
            ),
            Part.SEND: lambda: self._send(render),
            Part.TICK: self._tick,
            # woken by nothing: a digest that is a second late is soon enough
            Part.RENDER: lambda: self._delivery(render, drawn=True).run(stop, asyncio.Event()),
        }
        return {part: every[part]() for part in Part if part in self._parts}

    async def _send(self, render: Render) -> None:
        """Deliver messages, and count the sets that are under way."""
        guiding = Guiding(
            self._app, self._channels, self._pace, in_thread, per_second=self._settings.bulk_per_second,
            told=self._told["count"],
        )  # fmt: skip
        counting = asyncio.create_task(guiding.run(self._stop, self._sent))
        try:
            await self._delivery(render, drawn=False).run(self._stop, self._sent)
        finally:
            counting.cancel()
            await asyncio.gather(counting, return_exceptions=True)

    def _delivery(self, render: Render, *, drawn: bool) -> Delivery:
        return Delivery(
            self._app.store, self._channels, render, self._pace, self._app.clock, in_thread,
            owner=self._owner, on_unreachable=self._unreachable, meter=self._meter, drawn=drawn,
            in_flight=DRAWN_AT_ONCE if drawn else SENT_AT_ONCE, idle_s=IDLE_S,
            told=self._told["draw" if drawn else "send"],
        )  # fmt: skip

    async def _receive(self) -> None:
        """Take updates in: by polling one process at a time, pushed ones all that do this part."""
        news = self._source()

        async def take_in(leave: asyncio.Event) -> None:
            while not leave.is_set():
                try:
                    await news.pull_backlog()
                    return await self._tell_receiving(news, leave)
                except (DeliveryError, StoreError) as error:
                    log.warning("cannot receive yet, trying again", extra={"why": str(error)})
                    await any_of((leave,), GREET_AGAIN_S)
            return None

        if self._settings.webhook_url:
            await take_in(self._stop)
        else:
            await while_ours(self._app.store.lock(POLLING), POLLING, in_thread, self._stop, take_in)

    def _source(self) -> Poller | Webhook:
        """Pushed updates where the settings name an address for them, else long polling."""
        settings, unwritten = self._settings, Unwritten(self._channel.send, self._app.chats.clinic)
        intake = Intake(
            self._app.store, in_thread, self._channel.confirm_tap, self._came, self._app.clock, unwritten
        )
        if settings.webhook_url:
            return Webhook(self._bot, intake, settings.webhook_url, settings.webhook_listen, meter=self._meter)
        return Poller(self._bot, intake, poll_s=settings.poll_timeout)

    async def _tell_receiving(self, news: Poller | Webhook, leave: asyncio.Event) -> None:
        """Take in what is new, and hold a lock by which the others know that what had waited is in the inbox."""
        over, lock = asyncio.Event(), self._app.store.lock(RECEIVING, shared=True)
        telling = asyncio.create_task(while_ours(lock, RECEIVING, in_thread, over, _until))
        try:
            await news.run(leave)
        finally:
            over.set()
            await telling

    async def _tick(self) -> None:
        await caught_up(self._app, in_thread, self._stop)
        ticks = Ticks(self._app, in_thread, self._sent, self._tick_s)
        try:
            await self._stop.wait()
        finally:
            await ticks.stop()

    async def _unreachable(self, person_id: str) -> None:
        def note() -> None:
            with self._app.store.writing() as uow:
                person = uow.people.get(person_id, lock=True)
                staff = None if person else uow.staff.get(person_id, lock=True)
                if person is not None:
                    cannot_reach(self._app.work(uow), person)
                elif staff is not None:
                    staff_gone(self._app.work(uow), staff)
                uow.commit()

        await in_thread(note)


async def _until(leave: asyncio.Event) -> None:
    await leave.wait()


def serve(settings: Settings, parts: frozenset[Part] = ALL) -> int:
    """Run these parts until SIGINT or SIGTERM; returns the exit code."""
    check_parts(parts, settings.database_file)
    if settings.token is None:
        raise SettingsError("HOLDLOWER_TOKEN is not set: put the bot's token into the settings, then start again")
    token = settings.token.get_secret_value()
    set_up(settings.log_level, secrets=[token, *webhook_secrets(token)], as_json=settings.log_format == "json")
    with one_at_a_time(settings.database_file):
        app = found_app(settings)
        with contextlib.closing(app.store):
            return asyncio.run(_until_told(Service(app, settings, parts=parts)))


async def _until_told(service: Service) -> int:
    loop = asyncio.get_running_loop()
    for number in (signal.SIGINT, signal.SIGTERM):
        loop.add_signal_handler(number, service.stop)
    return await service.run()
