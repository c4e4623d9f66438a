"""Incoming updates: kept before they are confirmed, handed out in order within each chat.

An update is claimed by the row lock of the caller's transaction and finished in the same transaction; if the
process dies, the lock goes and the update is free again. Within a chat the service's own number gives the
order, since deliveries can overtake each other. Between chats it is the turn: when it came, but half a second after
the one that waits before it in the same chat, so that nobody who writes a lot makes others wait.
"""

import datetime as dt
from collections.abc import Sequence

from sqlalchemy import bindparam, delete, func, or_, select, update

from core.records import Box, InboxItem, Update
from core.store import tables as t
from core.store.transaction import Part, fields, mine

RETRY_MOST_S = 60  # a failed update is tried again after 2, 4, 8 ... s, at most this
_row, _before = t.inbox, t.inbox.alias("earlier")
# Looked up for each candidate, in the order of the chat's own index. NOT EXISTS would become a join, for which
# PostgreSQL, told that hardly anything waits, reads everything that does once for each update.
_WAITED_FOR = (
    select(_before.c.id)
    .where(
        _before.c.clinic_id == _row.c.clinic_id, _before.c.channel == _row.c.channel,
        _before.c.address == _row.c.address, _before.c.update_id < _row.c.update_id, _before.c.done_at.is_(None),
    )
    .order_by(_before.c.update_id)
    .limit(1)
    .correlate(_row)
    .scalar_subquery()
)  # fmt: skip
_CLAIM = (
    select(_row.c.id, *fields(Update), _row.c.tries)
    .where(mine(_row), _row.c.done_at.is_(None), _WAITED_FOR.is_(None))
    .where(or_(_row.c.retry_at.is_(None), _row.c.retry_at <= bindparam("now")))
    .order_by(_row.c.turn, _row.c.id)
    .limit(bindparam("most"))
    .with_for_update(skip_locked=True, of=_row)
)
_ITEM = update(_row).where(mine(_row), _row.c.id == bindparam("item"))
_DONE = _ITEM.values(done_at=bindparam("now"), payload="", why=None)
_DEAD = _ITEM.values(done_at=bindparam("now"), dead=True, tries=_row.c.tries + 1, why=bindparam("reason"))
_RETRY = _ITEM.values(retry_at=bindparam("now"), tries=_row.c.tries + 1, why=bindparam("reason"))
_TRIES = select(_row.c.tries).where(mine(_row), _row.c.id == bindparam("item"))
_FRESH = (
    select(_row.c.id)
    .where(mine(_row), _row.c.done_at.is_(None), _row.c.tries == 0, _row.c.received_at <= bindparam("moment"))
    .limit(1)
)
_EARLIER = (
    select(_row.c.received_at)
    .where(mine(_row), _row.c.channel == bindparam("channel"), _row.c.address == bindparam("address"))
    .where(_row.c.id <= bindparam("item"))
    .order_by(_row.c.id.desc())
    .limit(1)
    .offset(bindparam("back"))
)
_LAST_TURN = select(func.max(_row.c.turn, type_=_row.c.turn.type).label("turn")).where(
    mine(_row), _row.c.channel == bindparam("channel"), _row.c.address == bindparam("address"), _row.c.done_at.is_(None)
)
TURN = dt.timedelta(seconds=0.5)  # judgement: nobody types an answer faster, and a clinic's other chats fit between
_FORGET = delete(_row).where(mine(_row), _row.c.done_at < bindparam("now"))
_ANY_UPDATE = select(
    select(_row.c.id)
    .where(mine(_row), _row.c.done_at.is_(None), or_(_row.c.retry_at.is_(None), _row.c.retry_at <= bindparam("now")))
    .exists()
)


class Inbox(Part):
    """Rows about what came in."""

    def put(self, updates: Sequence[Update]) -> int:
        """Keep what is new and say how many were; the same number of the same channel is kept once."""
        self._tx.left.add(Box.IN)
        return sum(self._tx.add_new(one, turn=self._turn(one), tries=0, dead=False) for one in updates)

    def _turn(self, one: Update) -> dt.datetime:
        row = self._tx.one(_LAST_TURN, channel=one.channel, address=one.address)
        return one.received_at if row is None or row.turn is None else max(one.received_at, row.turn + TURN)

    def claim(self, now: dt.datetime, limit: int) -> tuple[InboxItem, ...]:
        """The oldest update of each chat that waits for nothing, held until this unit ends; at most one a chat."""
        self._tx.must_write()
        rows = self._tx.all(_CLAIM, now=now, most=limit)
        return tuple(InboxItem(number, Update(*came), tries) for number, *came, tries in rows)

    def done(self, item_id: int, at: dt.datetime) -> None:
        """Finish it; its text is no longer needed and goes at once. An erased update is finished already."""
        self._tx.change(_DONE, item=item_id, now=at)

    def failed(self, item_id: int, at: dt.datetime, why: str, *, dead: bool) -> None:
        """Count a failure. Its chat waits for another try a little later; `dead` gives up and lets the chat go on."""
        if dead:
            self._tx.change(_DEAD, item=item_id, now=at, reason=why)
            return
        row = self._tx.one(_TRIES, item=item_id)
        wait = min(2 ** ((row.tries if row else 0) + 1), RETRY_MOST_S)
        self._tx.change(_RETRY, item=item_id, now=at + dt.timedelta(seconds=wait), reason=why)

    def waits(self, now: dt.datetime) -> bool:
        """Whether an update could be handled now; without a lock."""
        row = self._tx.one(_ANY_UPDATE, now=now)
        return bool(row and row[0])

    def untouched(self, received_by: dt.datetime) -> bool:
        """Whether anything that was received by then waits for its first try."""
        return self._tx.one(_FRESH, moment=received_by) is not None

    def came_earlier(self, item: InboxItem, back: int) -> dt.datetime | None:
        """When the update came that is `back` ones before this in its chat; None when there is none any more."""
        row = self._tx.one(
            _EARLIER, channel=item.update.channel, address=item.update.address, item=item.id, back=back
        )
        return row.received_at if row else None

    def forget(self, before: dt.datetime) -> int:
        """Delete what was finished before; give the service time to stop repeating itself (a day at least)."""
        return self._tx.change(_FORGET, now=before)
