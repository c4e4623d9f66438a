"""Waiting in real time: for one's turn at the bucket, or for something to happen."""

import asyncio
import math
import time
from collections.abc import Callable, Sequence
from typing import Protocol

from bot.sending.bucket import Bucket

Monotonic = Callable[[], float]


async def wait_turn(
    bucket: Bucket, address: str, *, longest_s: float = math.inf, monotonic: Monotonic = time.monotonic
) -> float:
    """Wait until a message may go to `address`; 0.0 when it may now.

    Otherwise the seconds still to wait, at once, when that is more than `longest_s` in all: nothing has been taken.
    """
    began = monotonic()
    while wait := bucket.take(address, now := monotonic()):
        if now - began + wait > longest_s:
            return wait
        await asyncio.sleep(wait)
    return 0.0


class Shared(Protocol):
    """The pace that several processes keep together."""

    async def turn(self, *, longest_s: float) -> float: ...


async def turn_of_all(
    bucket: Bucket, shared: Shared | None, address: str, *, longest_s: float, monotonic: Monotonic = time.monotonic
) -> float:
    """Ours first, which keeps a chat's messages apart, then everybody's; 0.0 or the seconds still to wait."""
    wait = await wait_turn(bucket, address, longest_s=longest_s, monotonic=monotonic)
    if not wait and shared is not None:
        wait = await shared.turn(longest_s=longest_s)
        bucket.halt(monotonic() + wait)
    return wait


async def any_of(events: Sequence[asyncio.Event], seconds: float) -> None:
    """Wait until one of the events is set, or so many seconds."""
    waits = [asyncio.ensure_future(event.wait()) for event in events]
    try:
        await asyncio.wait(waits, timeout=seconds, return_when=asyncio.FIRST_COMPLETED)
    finally:
        for wait in waits:
            wait.cancel()
