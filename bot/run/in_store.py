"""The synchronous store beside the event loop: its work runs in a thread, so that a slow disk never stops the rest."""

import asyncio
from collections.abc import Callable
from typing import Protocol, TypeVar

T = TypeVar("T")


class InStore(Protocol):
    """Runs one job with the store off the event loop and hands back its result or its error."""

    async def __call__(self, job: Callable[[], T], /) -> T: ...


async def in_thread(job: Callable[[], T], /) -> T:
    """The plain way: a thread of the event loop's own pool."""
    return await asyncio.to_thread(job)


async def at_once(job: Callable[[], T], /) -> T:
    """In the event loop itself, where one person at a terminal is all there is to wait."""
    return job()
