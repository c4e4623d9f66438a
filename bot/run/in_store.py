"""The synchronous store beside the event loop: its work runs in a thread, so that a slow disk never stops the rest.

And what it tells the loops of other processes' work, and how many share a commit.
"""

import asyncio
from collections.abc import Awaitable, Callable, Sequence
from typing import Generic, Protocol, TypeVar

from core.errors import StoreError

T = TypeVar("T")
One = TypeVar("One")
Done = TypeVar("Done")

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


class Together(Generic[One, Done]):
    """Hands all that comes while `write` is at work to its next call, so that many share a commit.

    `write` tells of each, in their order, what came of it: a result, or an error for whoever waits for that one.
    What it raises is raised for all.
    """

    def __init__(self, write: Callable[[Sequence[One]], Awaitable[Sequence[Done | Exception]]]) -> None:
        self._write = write
        self._waiting: list[tuple[One, asyncio.Future[Done]]] = []
        self._writing: asyncio.Task[None] | None = None

    async def __call__(self, one: One) -> Done:
        """Its result, once it is committed."""
        done: asyncio.Future[Done] = asyncio.get_running_loop().create_future()
        self._waiting.append((one, done))
        if self._writing is None or self._writing.done():
            self._writing = asyncio.create_task(self._write_all())
        return await done

    async def close(self, *, at_once: bool = False) -> None:
        """Wait for what is under way, or give it up `at_once`."""
        if self._writing is not None:
            if at_once:
                self._writing.cancel()
            await asyncio.gather(self._writing, return_exceptions=True)

    async def _write_all(self) -> None:
        while self._waiting:
            group, self._waiting = self._waiting, []
            results: Sequence[Done | Exception]
            try:
                results = await self._write([one for one, _ in group])
            except StoreError as error:
                results = [StoreError(str(error)) for _ in group]  # raised twice, an error's traceback grows
            except Exception as error:
                results = [error] * len(group)
            for (_, done), result in zip(group, results, strict=True):
                if done.done():  # whoever waited for it has gone
                    continue
                if isinstance(result, Exception):
                    done.set_exception(result)
                else:
                    done.set_result(result)
