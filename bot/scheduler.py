"""A few steady ticks, however many patients there are; who is due, the store knows."""

import asyncio
import logging
from collections.abc import Callable
from typing import Any

from apscheduler.schedulers.asyncio import AsyncIOScheduler

from bot.app import App
from bot.in_store import InStore
from bot.logs import trail
from bot.ticks import sweep, tick
from core.errors import StoreError

log = logging.getLogger(__name__)

TICK_S = 5
SWEEP_S = 3600


def start_ticks(app: App, in_store: InStore, sent: asyncio.Event, tick_s: float = TICK_S) -> AsyncIOScheduler:
    """Start the ticks on the running loop. A late tick is run late, never dropped; several missed ones become one."""

    async def ticking() -> None:
        if await _safely(in_store, lambda: tick(app)):
            sent.set()

    async def sweeping() -> None:
        await _safely(in_store, lambda: sweep(app))

    scheduler = AsyncIOScheduler(timezone="UTC")
    always: dict[str, Any] = {"misfire_grace_time": None, "coalesce": True, "max_instances": 1}
    scheduler.add_job(ticking, "interval", seconds=tick_s, **always)
    scheduler.add_job(sweeping, "interval", seconds=SWEEP_S, **always)
    scheduler.start()
    return scheduler


async def _safely(in_store: InStore, job: Callable[[], Any]) -> Any:
    try:
        return await in_store(job)
    except StoreError as error:
        log.error("tick not done, comes again", extra={"why": trail(error)})
        return None
