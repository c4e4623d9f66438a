"""Whether the service lives, whether it can work, and its figures: three pages for those who look after it."""

import asyncio
import datetime as dt
import logging
from collections.abc import Callable

from aiohttp import web
from prometheus_client import CONTENT_TYPE_PLAIN_0_0_4

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
            return unit.queues(now)
