"""Figures for Prometheus. Labels hold kinds of things out of fixed sets in the code; nothing tells of a person."""

import asyncio
import datetime as dt
import logging
import math
from collections.abc import Callable
from contextlib import AbstractContextManager

from aiohttp import web
from prometheus_client import CONTENT_TYPE_PLAIN_0_0_4, CollectorRegistry, Counter, Gauge, Histogram, generate_latest

from bot.messaging.webhook import Listener
from bot.ports import Meter
from bot.run.in_store import InStore
from bot.settings.file import Place
from core.errors import StoreError
from core.ports import Store
from core.records import Queue, Queues

# seconds; the aim is within a minute, a question more than three hours late is not asked any more
_LATE = (1, 5, 10, 30, 60, 120, 300, 600, 1800, 3600, 7200, 10800, math.inf)
_DECIDE = (0.0001, 0.00025, 0.0005, 0.001, 0.0025, 0.005, 0.01, 0.025, 0.05, 0.1, 0.5, math.inf)
_HANDLE = (0.001, 0.0025, 0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1, 5, 15, math.inf)


class Metrics(Meter):
    """Keeps the figures in a registry of its own, so that two services in one process do not meet."""

    def __init__(self) -> None:
        self._registry = own = CollectorRegistry()
        self._sends = Counter(
            "holdlower_sends", "Attempts to send, by the message's kind and what became of them.",
            ["kind", "result"], registry=own,
        )  # fmt: skip
        self._lost = Counter("holdlower_lost", "Messages given up undelivered, by kind.", ["kind"], registry=own)
        self._late = Histogram(
            "holdlower_prompt_lateness_seconds", "From an evening question's due time until it was sent.",
            buckets=_LATE, registry=own,
        )  # fmt: skip
        self._refused = Counter("holdlower_webhook_refused", "Calls to the webhook refused.", ["why"], registry=own)
        self._handle = Histogram(
            "holdlower_update_seconds", "One update from its claim to the commit.", buckets=_HANDLE, registry=own
        )
        self._decide = Histogram(
            "holdlower_decide_seconds", "The rule at work on an evening and those after it.",
            buckets=_DECIDE, registry=own,
        )  # fmt: skip
        self._waiting = Gauge("holdlower_queue_waiting", "Rows that wait.", ["queue"], registry=own)
        self._oldest = Gauge("holdlower_queue_oldest_seconds", "How long the oldest waits.", ["queue"], registry=own)
        self._database = Gauge("holdlower_database_up", "1 when the database answered just now.", registry=own)

    def sent(self, kind: str, result: str) -> None:
        self._sends.labels(kind, result).inc()

    def lost(self, kind: str, count: int) -> None:
        self._lost.labels(kind).inc(count)

    def late(self, seconds: float) -> None:
        self._late.observe(seconds)

    def refused(self, why: str) -> None:
        self._refused.labels(why).inc()

    def handling(self) -> AbstractContextManager[object]:
        return self._handle.time()

    def deciding(self) -> AbstractContextManager[object]:
        return self._decide.time()

    def page(self, queues: Queues | None, now: dt.datetime) -> bytes:
        """Everything in Prometheus' text format 0.0.4; `queues` None means that the database did not answer."""
        self._database.set(queues is not None)
        for name, queue in (
            ("inbox", queues and queues.inbox), ("outbox", queues and queues.outbox),
            ("danger_untold", queues and queues.untold),
        ):  # fmt: skip
            self._waiting.labels(name).set(queue.waiting if queue else math.nan)
            self._oldest.labels(name).set(_age(queue, now) if queue else math.nan)
        return generate_latest(self._registry)


def _age(queue: Queue, now: dt.datetime) -> float:
    return max((now - queue.since).total_seconds(), 0.0) if queue.since else 0.0


log = logging.getLogger(__name__)

ANSWER_WITHIN_S = 5.0  # judgement: whoever asks gives up after about ten seconds


class Watch:
    """Serves /healthz (the process lives), /readyz (it works: started, database current) and /metrics at `place`."""

    def __init__(
        self, store: Store, in_store: InStore, metrics: Metrics, clock: Callable[[], dt.datetime], place: Place
    ) -> None:
        self._store, self._in_store, self._metrics, self._clock = store, in_store, metrics, clock
        self.started = False  # set by whoever started the rest
        self._pages = {"/healthz": self._alive, "/readyz": self._ready, "/metrics": self._figures}
        self._listener = Listener(self._page, place, "HOLDLOWER_WATCH_LISTEN")

    @property
    def port(self) -> int:
        return self._listener.port

    async def start(self) -> None:
        """Listen. Raises SettingsError when the place cannot be had."""
        await self._listener.start()

    async def stop(self) -> None:
        await self._listener.stop()

    async def _page(self, request: web.BaseRequest) -> web.StreamResponse:
        page = self._pages.get(request.path)
        if page is None:
            return web.Response(status=404)
        return await page() if request.method in ("GET", "HEAD") else web.Response(status=405)

    async def _alive(self) -> web.Response:
        return web.Response(text="ok\n")

    async def _ready(self) -> web.Response:
        if not self.started:
            return web.Response(text="starting\n", status=503)
        try:
            async with asyncio.timeout(ANSWER_WITHIN_S):
                await self._in_store(self._store.check)
        except (StoreError, TimeoutError) as error:
            log.warning("not ready", extra={"why": str(error) or type(error).__name__})
            return web.Response(text="database\n", status=503)
        return web.Response(text="ok\n")

    async def _figures(self) -> web.Response:
        now = self._clock()
        found: Queues | None = None
        try:
            async with asyncio.timeout(ANSWER_WITHIN_S):
                found = await self._in_store(lambda: self._queues(now))
        except (StoreError, TimeoutError) as error:
            log.warning("queues not read", extra={"why": str(error) or type(error).__name__})
        return web.Response(body=self._metrics.page(found, now), headers={"Content-Type": CONTENT_TYPE_PLAIN_0_0_4})

    def _queues(self, now: dt.datetime) -> Queues:
        with self._store.reading() as unit:
            return unit.figures.queues(now)
