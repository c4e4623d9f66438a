"""Waiting for one's turn at the bucket in real time."""

import asyncio
import math
import time
from collections.abc import Callable

from bot.bucket import Bucket

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
