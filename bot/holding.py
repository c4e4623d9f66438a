"""Doing what only one of several processes may do at a time, and waiting for the other's end or death."""

import asyncio
import logging
from collections.abc import Awaitable, Callable

from bot.in_store import InStore
from bot.logs import trail
from bot.sending.pace import any_of
from core.errors import StoreError
from core.ports import Hold

log = logging.getLogger(__name__)

LOOK_S = 1.0  # judgement: so long after a death another one goes on, and so often it is asked whether it is still ours


async def while_ours(
    hold: Hold, name: str, in_store: InStore, stop: asyncio.Event, work: Callable[[asyncio.Event], Awaitable[None]]
) -> None:
    """Do `work` while the lock is ours, until `stop` or its end; it must leave soon after its event is set.

    What `work` raises is raised. A lock that was lost, with its connection, is tried for anew; at the end it is given
    back, so that another need not wait.
    """
    try:
        while not stop.is_set():
            if await _ours(hold, name, in_store):
                log.info("ours to do", extra={"task": name})
                await _work(hold, name, in_store, stop, work)
            else:
                await any_of((stop,), LOOK_S)
    finally:
        await in_store(hold.drop)


async def _work(
    hold: Hold, name: str, in_store: InStore, stop: asyncio.Event, work: Callable[[asyncio.Event], Awaitable[None]]
) -> None:
    leave, ended = asyncio.Event(), asyncio.Event()
    task = asyncio.ensure_future(work(leave))
    task.add_done_callback(lambda _: ended.set())
    try:
        while True:
            await any_of((stop, ended), LOOK_S)
            if stop.is_set() or ended.is_set() or not await _ours(hold, name, in_store):
                break
    finally:
        leave.set()
        await task


async def _ours(hold: Hold, name: str, in_store: InStore) -> bool:
    try:
        return await in_store(hold.take)
    except StoreError as error:
        log.warning("not known to be ours, left to others", extra={"task": name, "why": trail(error)})
        return False
