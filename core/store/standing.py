"""How much waits in the two queues, and since when: for whoever watches the service."""

import datetime as dt
from typing import Any

from sqlalchemy import Select, bindparam, func, or_, select

from core.records import Queue, Queues
from core.store import tables as t
from core.store.transaction import Transaction, mine

_in, _out = t.inbox, t.outbox
_since = func.coalesce(_out.c.not_before, _out.c.at, type_=_out.c.at.type)
# what is planned for later does not wait yet; both read only what is open, by a partial index
_INBOX = select(func.count(), func.min(_in.c.received_at)).where(mine(_in), _in.c.done_at.is_(None))
_OUTBOX = select(func.count(), func.min(_since)).where(
    mine(_out), _out.c.done_at.is_(None),
    or_(_out.c.not_before.is_(None), _out.c.not_before <= bindparam("now", type_=_out.c.at.type)),
)  # fmt: skip


class Standing(Transaction):
    """Figures about the queues, without any row's content."""

    def queues(self, now: dt.datetime) -> Queues:
        """What waits at this moment, being sent included."""
        return Queues(self._queue(_INBOX), self._queue(_OUTBOX, now=now))

    def _queue(self, query: Select[*tuple[Any, ...]], **parameters: Any) -> Queue:
        row = self._one(query, **parameters)
        return Queue(row[0], row[1]) if row else Queue(0, None)
