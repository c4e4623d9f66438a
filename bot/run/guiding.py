"""Sets being counted: what is due of each is done in the database, and its message in the chat follows as it can.

An edit is not kept: one that is lost, or would come too late, is followed by the next. What was done is kept.
"""

import asyncio
import datetime as dt
import logging
from collections.abc import Mapping

from bot.messaging.pace import PER_SECOND, Bucket, Pace
from bot.ports import Channel, DeliveryError, Refused, Rendered, TooFast, Unreachable
from bot.run.app import App
from bot.run.in_store import InStore, Told, any_of
from bot.run.logs import trail
from core.errors import StoreError, StoreTroubleError, UnreadableError
from core.use_cases.guiding import Shown, go_on, lost_sight
from core.use_cases.noticing import tell_unreadable

log = logging.getLogger(__name__)

SHARE = 0.5  # of all sending, at most, so that no count holds up a reply; judgement
# Seconds that an edit may come late, judgement: where a new move begins, and where only the count goes on.
LATE_MOVE_S, LATE_COUNT_S = 2.0, 0.5
MOMENT_S = 0.001
IDLE_S = 3.0, 1.0  # where one is told of a new set, and where not


class Guiding:
    """Counts the sets of all chats. Any number of processes may: each moment of a set is one's alone.

    `pace` is that of the messages, which edits share.
    """

    def __init__(
        self,
        app: App,
        channels: Mapping[str, Channel],
        pace: Pace,
        in_store: InStore,
        *,
        per_second: float = PER_SECOND,
        told: Told | None = None,
    ) -> None:
        self._app, self._channels, self._in_store = app, channels, in_store
        self._pace, self._told = pace, told or Told()
        self._own = Pace(Bucket(per_second * SHARE, 0.0), monotonic=pace.now)
        self._newest: dict[str, Shown] = {}  # by set: what its message should say, where it does not yet
        self._editing: dict[str, asyncio.Task[None]] = {}

    async def run(self, stop: asyncio.Event, wake: asyncio.Event) -> None:
        """Count until `stop`; a new set is seen at `wake`, when `told`, or within the idle time."""
        while not stop.is_set():
            self._told.clear()
            try:
                pause = await self.step()
            except StoreError as error:
                log.error("sets not counted, trying again", extra={"why": type(error).__name__})
                pause = self._idle_s
            await any_of((stop, wake, self._told), pause)
        await self.finish()

    @property
    def _idle_s(self) -> float:
        return self._told.within(*IDLE_S)

    async def step(self) -> float:
        """Do what is due of every set; the seconds until there is more, at most the idle time. Raises StoreError."""
        while True:
            first = await self._in_store(self._look)
            if first is None or first > self._app.clock():
                break
            if not (done := await self._in_store(self._go_on))[0]:
                break  # in another process's hand
            if done[1]:
                self._show(done[1])
        if first is None:
            return self._idle_s
        return min(max((first - self._app.clock()).total_seconds(), MOMENT_S), self._idle_s)

    async def finish(self) -> None:
        """Wait for the edits that are under way."""
        await asyncio.gather(*self._editing.values(), return_exceptions=True)

    def _look(self) -> dt.datetime | None:
        with self._app.store.reading() as uow:
            return uow.sets.next_at()

    def _go_on(self) -> tuple[bool, Shown | None]:
        """The set that has waited longest, in one transaction: whether there was one, and what to show of it."""
        which = None
        try:
            with self._app.store.writing() as uow:
                which = uow.sets.due(self._app.clock())
                shown = go_on(self._app.work(uow), which) if which else None
                uow.commit()
        except StoreTroubleError:
            raise  # nobody's fault: it goes on with the next look
        except Exception as error:
            if which is None:
                raise
            log.error("a set cannot be counted and is given up", extra={"set": which, "why": trail(error)})
            with self._app.store.writing() as uow:
                uow.sets.give_up(which)  # or it would stand in the way of all others
                if isinstance(error, UnreadableError):
                    tell_unreadable(self._app.work(uow), error)
                uow.commit()
            return True, None
        return which is not None, shown

    def _show(self, shown: Shown) -> None:
        """One edit of a message at a time; what a newer one overtakes is left out."""
        which = shown.guided.id
        self._newest[which] = shown
        if which not in self._editing:
            task = asyncio.create_task(self._edit_newest(which))
            self._editing[which] = task
            task.add_done_callback(lambda _: self._editing.pop(which, None))

    async def _edit_newest(self, which: str) -> None:
        while shown := self._newest.pop(which, None):
            try:
                await self._edit(shown)
            except Exception as error:
                log.warning("a count was not shown", extra={"set": which, "why": trail(error)})

    async def _edit(self, shown: Shown) -> None:
        channel, message_id = self._channels.get(shown.person.channel), shown.guided.message_id
        address = shown.person.address
        if channel is None or not message_id or not await self._turn(address, shown):
            return
        try:
            words = self._app.wording("guided.run", shown.person.language, shown.facts)
            await channel.edit(address, message_id, Rendered.of(words))
        except TooFast as error:
            await self._pace.refused(address, error.seconds)
        except (Refused, Unreachable):
            await self._in_store(lambda: self._lose(shown.guided.id))
        except DeliveryError as error:
            log.info("a count was not shown", extra={"set": shown.guided.id, "why": type(error).__name__})

    async def _turn(self, address: str, shown: Shown) -> bool:
        longest = LATE_MOVE_S if shown.moved else LATE_COUNT_S
        late = await self._own.turn("", longest_s=longest) or await self._pace.turn(address, longest_s=longest)
        return not late

    def _lose(self, which: str) -> None:
        with self._app.store.writing() as uow:
            lost_sight(self._app.work(uow), which)
            uow.commit()
