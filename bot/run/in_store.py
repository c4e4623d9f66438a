"""The synchronous store beside the event loop: its work runs in a thread, so that a slow disk never stops the rest.

And what it tells the loops of other processes' work.
"""

import asyncio
from collections.abc import Callable, Sequence
from typing import Protocol, TypeVar

T = TypeVar("T")

SOON_S = 0.2  # judgement: how often one looks for others' work where nobody tells of it


class Told(asyncio.Event):
    """Set when any process has left work; where `works` is false nobody tells of that, and one looks often instead."""

    works = True
    locked = False  # whether the lock in our name tells others that we live

    def within(self, idle_s: float, soon_s: float = SOON_S) -> float:
        """How long to wait for it before looking all the same, in seconds."""
        return idle_s if self.works else soon_s


async def any_of(events: Sequence[asyncio.Event], seconds: float) -> None:
    """Wait until one of the events is set, or so many seconds."""
    waits = [asyncio.ensure_future(event.wait()) for event in events]
    try:
        await asyncio.wait(waits, timeout=seconds, return_when=asyncio.FIRST_COMPLETED)
    finally:
        for wait in waits:
            wait.cancel()


class InStore(Protocol):
    """Runs one job with the store off the event loop and hands back its result or its error."""

    async def __call__(self, job: Callable[[], T], /) -> T: ...


async def in_thread(job: Callable[[], T], /) -> T:
    """The plain way: a thread of the event loop's own pool."""
    return await asyncio.to_thread(job)


async def at_once(job: Callable[[], T], /) -> T:
    """In the event loop itself, where one person at a terminal is all there is to wait."""
    return job()
