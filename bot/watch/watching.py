"""Whether the service lives, whether it can work, and its figures: three pages for those who look after it."""

import asyncio
import datetime as dt
import logging
from collections.abc import Callable

from prometheus_client import CONTENT_TYPE_PLAIN_0_0_4
from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import PlainTextResponse, Response
from starlette.routing import Route

from bot.in_store import InStore
from bot.places import Place
from bot.receiving.listening import Listener
from bot.watch.metrics import Metrics
from core.errors import StoreError
from core.ports import Store
from core.records import Queues

log = logging.getLogger(__name__)

ANSWER_WITHIN_S = 5.0  # judgement: whoever asks gives up after about ten seconds


class Watch:
    """Serves /healthz (the process lives), /readyz (it works: started, database current) and /metrics at `place`."""

    def __init__(
        self, store: Store, in_store: InStore, metrics: Metrics, clock: Callable[[], dt.datetime], place: Place
    ) -> None:
        self._store, self._in_store, self._metrics, self._clock = store, in_store, metrics, clock
        self.started = False  # set by whoever started the rest
        pages = (("/healthz", self._alive), ("/readyz", self._ready), ("/metrics", self._figures))
        app = Starlette(routes=[Route(path, page) for path, page in pages])
        self._listener = Listener(app, place, "HOLDLOWER_WATCH_LISTEN")

    @property
    def port(self) -> int:
        return self._listener.port

    async def start(self) -> None:
        """Listen. Raises SettingsError when the place cannot be had."""
        await self._listener.start()

    async def stop(self) -> None:
        await self._listener.stop()

    async def _alive(self, _: Request) -> Response:
        return PlainTextResponse("ok\n")

    async def _ready(self, _: Request) -> Response:
        if not self.started:
            return PlainTextResponse("starting\n", 503)
        try:
            async with asyncio.timeout(ANSWER_WITHIN_S):
                await self._in_store(self._store.check)
        except (StoreError, TimeoutError) as error:
            log.warning("not ready", extra={"why": str(error) or type(error).__name__})
            return PlainTextResponse("database\n", 503)
        return PlainTextResponse("ok\n")

    async def _figures(self, _: Request) -> Response:
        now = self._clock()
        found: Queues | None = None
        try:
            async with asyncio.timeout(ANSWER_WITHIN_S):
                found = await self._in_store(lambda: self._queues(now))
        except (StoreError, TimeoutError) as error:
            log.warning("queues not read", extra={"why": str(error) or type(error).__name__})
        return Response(self._metrics.page(found, now), media_type=CONTENT_TYPE_PLAIN_0_0_4)

    def _queues(self, now: dt.datetime) -> Queues:
        with self._store.reading() as unit:
            return unit.queues(now)
