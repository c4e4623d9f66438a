"""How the outside reaches a running service: news by asking or by pushes, and a page for those who watch it."""

import asyncio
import datetime as dt
from collections.abc import Awaitable, Callable
from typing import Protocol

from telegram import Bot

from bot.messaging.intake import Intake, Unwritten
from bot.messaging.poller import Poller
from bot.messaging.webhook import Webhook
from bot.run.in_store import InStore
from bot.settings import Settings
from bot.watch.meter import UNMETERED, Meter
from core.ports import Store


class Source(Protocol):
    """Where updates come from; both fill the same inbox."""

    async def pull_backlog(self) -> object:
        """Take in what waited while we were down. Raises SettingsError, a DeliveryError or StoreError: call again."""

    async def run(self, stop: asyncio.Event) -> None:
        """Take in updates until `stop`."""


class Watching(Protocol):
    """The page for those who watch; `started` says that the service is at work."""

    started: bool

    async def start(self) -> None: ...
    async def stop(self) -> None: ...


class Unwatched:
    """No page."""

    started = False

    async def start(self) -> None: ...
    async def stop(self) -> None: ...


def source(
    settings: Settings, bot: Bot, store: Store, in_store: InStore, confirm: Callable[[str], Awaitable[None]],
    wake: asyncio.Event, clock: Callable[[], dt.datetime], meter: Meter, unwritten: Unwritten,
) -> Source:  # fmt: skip
    """Pushed updates where the settings name an address for them, else long polling."""
    if not settings.webhook_url:
        polled = settings.poll_timeout
        return Poller(bot, store, in_store, confirm, wake, clock, poll_s=polled, unwritten=unwritten)
    intake = Intake(store, in_store, confirm, wake, clock, unwritten)
    return Webhook(bot, intake, settings.webhook_url, settings.webhook_listen, meter=meter)


def watch(
    settings: Settings, store: Store, in_store: InStore, clock: Callable[[], dt.datetime]
) -> tuple[Meter, Watching]:
    """The meter and the page that shows it, where the settings name a place for it."""
    if settings.watch_listen is None:
        return UNMETERED, Unwatched()
    # the figures' library costs 77 ms to import, and most clinics have no page
    from bot.watch.metrics import Metrics, Watch

    metrics = Metrics()
    return metrics, Watch(store, in_store, metrics, clock, settings.watch_listen)
