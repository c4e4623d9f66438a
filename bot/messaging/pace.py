"""How fast messages may leave: a bucket of turns, the one that several processes share, and waiting in real time."""

import asyncio
import contextlib
import math
import time
from collections import deque
from collections.abc import Callable

from bot.run.in_store import InStore
from core.errors import StoreError
from core.ports import Store
from core.records import Turns

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


AHEAD_S = 0.25  # turns are taken this far ahead: enough for an even rate, little for a reply to wait behind
ASK_AGAIN_S = 0.5  # a halt may be another process's, and a longer one


class SharedPace:
    """`per_second` turns for all processes of the clinic together, evenly spaced by the database server's clock."""

    def __init__(
        self,
        store: Store,
        in_store: InStore,
        per_second: float,
        *,
        monotonic: Callable[[], float] = time.monotonic,
    ) -> None:
        self._store, self._in_store, self._monotonic = store, in_store, monotonic
        self._gap_s = 1 / (per_second * USED)
        self._waiting: deque[tuple[float, asyncio.Future[float]]] = deque()  # (latest moment, when its turn is)
        self._asking: asyncio.Task[None] | None = None

    async def turn(self, *, longest_s: float) -> float:
        """Wait for a turn and return 0.0; the seconds still to wait, at once, when that would exceed `longest_s`.

        Raises StoreError when the database cannot be asked.
        """
        asked: asyncio.Future[float] = asyncio.get_running_loop().create_future()
        self._waiting.append((self._monotonic() + longest_s, asked))
        if self._asking is None or self._asking.done():
            self._asking = asyncio.create_task(self._ask())
        at = await asked
        if at < 0:
            return -at
        await asyncio.sleep(at - self._monotonic())
        return 0.0

    async def halt(self, seconds: float) -> None:
        """No turn for anybody within the next `seconds`; where the database cannot be told, at least none here."""
        with contextlib.suppress(StoreError):
            await self._in_store(lambda: self._halt(seconds))

    async def _ask(self) -> None:
        """Take turns for all who wait in this process, in their order, in as few transactions as that takes."""
        while self._waiting:
            count = len(self._waiting)
            try:
                turns = await self._in_store(lambda: self._take(count))  # noqa: B023 run before it changes
            except StoreError as error:
                self._fail(error)
                return
            self._hand_out(turns)
            if not turns.given:
                await asyncio.sleep(max(0.001, min(turns.first_s - AHEAD_S / 2, ASK_AGAIN_S)))

    def _hand_out(self, turns: Turns) -> None:
        now = self._monotonic()
        for number in range(turns.given):
            _, asked = self._waiting.popleft()
            if not asked.done():
                asked.set_result(now + turns.first_s + number * self._gap_s)
        if not turns.given:
            too_late = [each for each in self._waiting if now + turns.first_s > each[0]]
            for each in too_late:
                self._waiting.remove(each)
                if not each[1].done():
                    each[1].set_result(-turns.first_s)

    def _fail(self, error: StoreError) -> None:
        while self._waiting:
            _, asked = self._waiting.popleft()
            if not asked.done():
                asked.set_exception(error)

    def _take(self, count: int) -> Turns:
        with self._store.writing() as unit:
            turns = unit.pace.take(count, self._gap_s, AHEAD_S)
            unit.commit()
        return turns

    def _halt(self, seconds: float) -> None:
        with self._store.writing() as unit:
            unit.pace.halt(seconds)
            unit.commit()


class Pace:
    """Waiting in real time: first for a turn of this process's `bucket`, which keeps a chat's messages apart.

    Then for everybody's, where several processes send and `shared` keeps all of them together within the rate.
    """

    def __init__(
        self, bucket: Bucket, shared: SharedPace | None = None, monotonic: Callable[[], float] = time.monotonic
    ) -> None:
        self.bucket, self.shared, self.now = bucket, shared, monotonic

    async def turn(self, address: str, *, longest_s: float = math.inf) -> float:
        """Wait until a message may go to `address`; 0.0 when it may now.

        Otherwise the seconds still to wait, at once, when that is more than `longest_s` in all: nothing has been taken.
        """
        began = self.now()
        while wait := self.bucket.take(address, now := self.now()):
            if now - began + wait > longest_s:
                return wait
            await asyncio.sleep(wait)
        if self.shared is None:
            return 0.0
        wait = await self.shared.turn(longest_s=longest_s)
        self.bucket.halt(self.now() + wait)
        return wait

    async def refused(self, address: str, seconds: float) -> bool:
        """The service asks this chat to wait; True when everybody has to, and is told so."""
        everybody = self.bucket.refused(address, seconds, self.now())
        if everybody and self.shared is not None:
            await self.shared.halt(seconds)
        return everybody
