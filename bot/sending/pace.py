"""Waiting in real time: for one's turn at the bucket, or for something to happen."""

import asyncio
import math
import time
from collections.abc import Callable, Sequence

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


async def any_of(events: Sequence[asyncio.Event], seconds: float) -> None:
    """Wait until one of the events is set, or so many seconds."""
    waits = [asyncio.ensure_future(event.wait()) for event in events]
    try:
        await asyncio.wait(waits, timeout=seconds, return_when=asyncio.FIRST_COMPLETED)
    finally:
        for wait in waits:
            wait.cancel()
