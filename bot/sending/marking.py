"""That messages leave and what became of them, on its way into the store: many share a commit."""

import asyncio
import logging
from collections.abc import Sequence
from functools import partial

from bot.run.in_store import InStore
from bot.run.logs import trail
from bot.sending.outcomes import Mark, Sent
from core.errors import StoreError
from core.ports import Store

log = logging.getLogger(__name__)

MARK_RETRIES_S = (0.1, 0.5, 2.0, 5.0, 10.0, 20.0)  # judgement

_Waiting = tuple[int, Mark, "asyncio.Future[None]"]


class Leaving:
    """Notes that messages leave, each just before its call."""

    def __init__(self, store: Store, in_store: InStore, owner: str) -> None:
        self._store, self._in_store, self._owner = store, in_store, owner
        self._waiting: list[tuple[int, asyncio.Future[bool]]] = []
        self._writing: asyncio.Task[None] | None = None

    async def __call__(self, item_id: int) -> bool:
        """Whether it is still ours to send; then that is committed. Raises StoreError: it must not be sent now."""
        ours: asyncio.Future[bool] = asyncio.get_running_loop().create_future()
        self._waiting.append((item_id, ours))
        if self._writing is None or self._writing.done():
            self._writing = asyncio.create_task(self._write())
        return await ours

    async def _write(self) -> None:
        while self._waiting:
            group, self._waiting = self._waiting, []
            try:
                left = await self._in_store(partial(self._commit, [item_id for item_id, _ in group]))
            except Exception as error:
                why = error if isinstance(error, StoreError) else StoreError(trail(error))
                for _, ours in group:
                    if not ours.done():
                        ours.set_exception(StoreError(str(why)))
            else:
                for item_id, ours in group:
                    if not ours.done():
                        ours.set_result(item_id in left)

    def _commit(self, item_ids: Sequence[int]) -> frozenset[int]:
        with self._store.writing() as unit:
            left = unit.sending.leaves(item_ids, self._owner)
            unit.commit()
        return left


class Marker:
    """Writes marks. After a send this must not fail lightly: unmarked means sent again."""

    def __init__(self, store: Store, in_store: InStore) -> None:
        self._store, self._in_store = store, in_store
        self._waiting: list[_Waiting] = []
        self._writing: asyncio.Task[None] | None = None

    async def __call__(self, item_id: int, mark: Mark) -> None:
        """Write one mark; returns when it is committed. Raises StoreError when that fails again and again."""
        done: asyncio.Future[None] = asyncio.get_running_loop().create_future()
        self._waiting.append((item_id, mark, done))
        if self._writing is None or self._writing.done():
            self._writing = asyncio.create_task(self._write())
        await done

    async def stop(self) -> None:
        """Give up what is not written yet: its lease gives it back, as unknown."""
        if self._writing is not None:
            self._writing.cancel()
            await asyncio.gather(self._writing, return_exceptions=True)

    async def _write(self) -> None:
        while self._waiting:
            group, self._waiting = self._waiting, []
            try:
                await self._in_store(partial(self._commit, [mark for _, mark, _ in group]))
            except Exception as error:
                # one bad mark must not spoil the others
                log.error("outcomes not stored together", extra={"count": len(group), "why": type(error).__name__})
                await asyncio.gather(*(self._alone(one) for one in group))
            else:
                for _, _, done in group:
                    _settle(done)

    async def _alone(self, one: _Waiting) -> None:
        item_id, mark, done = one
        for pause in (*MARK_RETRIES_S, None):
            try:
                await self._in_store(partial(self._commit, [mark]))
            except StoreError as error:
                if pause is None:
                    return _settle(done, error)
                log.error("outcome not stored, trying again", extra={"outbox": item_id, "pause_s": pause})
                await asyncio.sleep(pause)
            except Exception as error:
                return _settle(done, error)
            else:
                return _settle(done)
        return None

    def _commit(self, marks: Sequence[Mark]) -> None:
        with self._store.writing() as unit:
            sent = [mark for mark in marks if isinstance(mark, Sent)]
            unit.sending.all_sent([(mark.item_id, mark.at, mark.message_id) for mark in sent])
            for mark in marks:
                if not isinstance(mark, Sent):
                    mark(unit)
            unit.commit()


def _settle(done: "asyncio.Future[None]", error: Exception | None = None) -> None:
    if done.done():  # whoever waited for it has gone
        return
    if error is None:
        done.set_result(None)
    else:
        done.set_exception(error)
