"""How fast messages may leave, by a bucket of turns, and waiting in real time for one or for something to happen."""

import asyncio
import math
import time
from collections import deque
from collections.abc import Callable, Sequence
from typing import Protocol

PER_SECOND = 25.0  # under the service's about 30 a second for bulk messages: bots FAQ, broadcasting
PER_CHAT_S = 1.05  # about one a second within one chat: bots FAQ; what leaves later may travel faster
_CATCH_UP_S = 0.02  # a timer wakes a little late; without this the rate would sink below the asked one
USED = 0.97  # so that no second, wherever it begins, holds one more, though some arrive early and some late
_SECOND_S = 1.025  # a second as it arrives: what left later may travel faster
_TIDY_AT = 4096
_BOTH_WITHIN_S = 10.0  # judgement: two chats refused within it are no matter of one chat
_MOMENT_S = 0.02
_MUCH = 1000


class Bucket:
    """A token bucket that holds one token, so that there is no burst. Pure: every time is passed in, in seconds.

    All times must come from one clock that never goes back. Not for several threads.
    """

    def __init__(self, per_second: float = PER_SECOND, per_chat_s: float = PER_CHAT_S) -> None:
        if per_second <= 0 or per_chat_s < 0:
            raise ValueError(f"a rate must be above 0 and a pause not below 0: {per_second}, {per_chat_s}")
        self._gap = 1 / (per_second * USED)
        self.chat_gap = per_chat_s
        self._next = -math.inf
        self._left = deque[float](maxlen=int(per_second) if 1 <= per_second < math.inf else 1)
        self._second = _SECOND_S if 1 <= per_second < math.inf else 0.0
        self._next_in_chat: dict[str, float] = {}
        self._refused = ("", -math.inf)  # the chat that was refused last, and when
        self._halted_until = -math.inf

    @classmethod
    def unlimited(cls) -> "Bucket":
        """For channels that have no limit, such as the terminal."""
        return cls(math.inf, 0.0)

    def take(self, address: str, now: float) -> float:
        """Take the right to send one message: 0.0 when taken, else nothing is taken and the seconds to wait."""
        chat = self._next_in_chat.get(address, -math.inf)
        wait = max(self._soonest(), chat) - now
        if wait > 0:
            return wait
        self._next = max(self._next, now - _CATCH_UP_S) + self._gap
        self._left.append(now)
        if self.chat_gap:
            self._rest(address, now + self.chat_gap, now)
        return 0.0

    def leaves(self, address: str, now: float) -> None:
        """It leaves only now: the chat's gap begins here."""
        if self.chat_gap:
            self._rest(address, now + self.chat_gap, now)

    def resting(self, now: float) -> list[str]:
        """The chats that must not be written to yet."""
        self._next_in_chat = {chat: then for chat, then in self._next_in_chat.items() if then > now}
        return list(self._next_in_chat)

    def rested_in(self, now: float) -> float:
        """Seconds until one of them may be written to again; without end when none rests."""
        return max(0.0, min(self._next_in_chat.values(), default=math.inf) - now)

    def room(self, now: float) -> int:
        """How many messages it makes sense to fetch now: those that could leave at once or within a moment."""
        if self.free_in(now):
            return 0
        return _MUCH if self._gap <= _MOMENT_S / _MUCH else 1 + int(_MOMENT_S / self._gap)

    def free_in(self, now: float) -> float:
        """Seconds until a message to a chat that has been quiet may leave."""
        return max(0.0, self._soonest() - now)

    def halt(self, until: float) -> None:
        """Nothing leaves before `until`; of several halts the latest end holds, whatever succeeds meanwhile."""
        self._halted_until = max(self._halted_until, until)

    def refused(self, address: str, seconds: float, now: float) -> bool:
        """The service asks this chat to wait; True when another was asked as well, so that everybody has to."""
        chat, at = self._refused
        self._refused = (address, now)
        self._rest(address, max(now + seconds, self._next_in_chat.get(address, 0.0)), now)
        everybody = chat not in ("", address) and now - at < _BOTH_WITHIN_S
        if everybody:
            self.halt(now + seconds)
        return everybody

    def halted_for(self, now: float) -> float:
        """Seconds until the halt ends, 0.0 when there is none."""
        return max(0.0, self._halted_until - now)

    def _soonest(self) -> float:
        """When the next may leave: by the even rate, and by what left within the second before."""
        full = len(self._left) == self._left.maxlen
        return max(self._next, self._halted_until, self._left[0] + self._second if full else -math.inf)

    def _rest(self, address: str, until: float, now: float) -> None:
        self._next_in_chat[address] = until
        if len(self._next_in_chat) >= _TIDY_AT:
            self._next_in_chat = {chat: then for chat, then in self._next_in_chat.items() if then > now}


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
