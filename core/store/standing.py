"""How much waits in the two queues and since when, and when there is next anything to do."""

import datetime as dt
from typing import Any

from sqlalchemy import Select, Text, bindparam, cast, func, literal, or_, select

from core.records import CheckInState, OutboxState, Queue, Queues, ServiceWeek
from core.store import tables as t
from core.store.outbox import NONE_IN_FLIGHT, PENDING
from core.store.transaction import Transaction, mine

_in, _out = t.inbox, t.outbox
_NOW = bindparam("now", type_=_out.c.at.type)
_since = func.coalesce(_out.c.not_before, _out.c.at, type_=_out.c.at.type)
# what is planned for later does not wait yet; both read only what is open, by a partial index
_INBOX = select(func.count(), func.min(_in.c.received_at)).where(mine(_in), _in.c.done_at.is_(None))
_OUTBOX = select(func.count(), func.min(_since)).where(
    mine(_out), _out.c.done_at.is_(None),
    or_(_out.c.not_before.is_(None), _out.c.not_before <= _NOW),
)  # fmt: skip
_UNTOLD = select(func.count(), func.min(t.notices.c.at)).where(
    mine(t.notices), t.notices.c.look_at.is_not(None),
    ~select(_out.c.id).where(
        _out.c.clinic_id == t.notices.c.clinic_id, _out.c.notice_id == t.notices.c.id, _out.c.notice_id != "",
        _out.c.state == OutboxState.SENT,
    ).exists(),
)  # fmt: skip
# two looks by partial indexes: what could leave now, and what is in some sender's hand
_ANY_MESSAGE = select(
    select(_out.c.id)
    .where(mine(_out), _out.c.done_at.is_(None), or_(_out.c.not_before.is_(None), _out.c.not_before <= _NOW))
    .exists()
    | select(_out.c.id).where(mine(_out), _out.c.lease_until.is_not(None)).exists()
)
_ANY_UPDATE = select(
    select(_in.c.id)
    .where(mine(_in), _in.c.done_at.is_(None), or_(_in.c.retry_at.is_(None), _in.c.retry_at <= _NOW))
    .exists()
)
_NEXT_MESSAGE = select(_NOW).where(PENDING, _out.c.not_before.is_(None), NONE_IN_FLIGHT).limit(1)
_NEXT_PLANNED = (
    select(_out.c.not_before)
    .where(PENDING, _out.c.not_before.is_not(None), NONE_IN_FLIGHT)
    .order_by(_out.c.not_before)
    .limit(1)
)
_NEXT_PROMPT = select(func.min(t.people.c.next_due)).where(mine(t.people), t.people.c.next_due.is_not(None))
_NEXT_REMINDER = select(func.min(t.check_ins.c.remind_at)).where(
    mine(t.check_ins), t.check_ins.c.remind_at.is_not(None)
)
_NEXT_CLOSING = select(func.min(t.check_ins.c.close_at)).where(
    mine(t.check_ins), t.check_ins.c.close_at.is_not(None)
)
_NEXT_DIGEST = select(func.min(t.staff.c.next_digest)).where(mine(t.staff), t.staff.c.next_digest.is_not(None))
_NEXT = (_NEXT_PROMPT, _NEXT_REMINDER, _NEXT_CLOSING, _NEXT_DIGEST, _NEXT_MESSAGE, _NEXT_PLANNED)


_KEY_OF_QUESTION = literal("evening.ask:") + t.check_ins.c.course_id + ":" + cast(t.check_ins.c.date, Text)
_EVENINGS = (
    select(t.check_ins.c.state, t.check_ins.c.due_at, t.check_ins.c.pain, _out.c.state, _out.c.done_at)
    .select_from(
        t.check_ins.outerjoin(_out, (_out.c.clinic_id == t.check_ins.c.clinic_id) & (_out.c.key == _KEY_OF_QUESTION))
    )
    .where(mine(t.check_ins), t.check_ins.c.due_at >= bindparam("since"), t.check_ins.c.due_at < bindparam("until"))
)
LATE = dt.timedelta(minutes=10)  # judgement: later than that, the evening is not the one that was planned


class Standing(Transaction):
    """Figures and moments, without any row's content."""

    def queues(self, now: dt.datetime) -> Queues:
        """What waits at this moment, being sent included."""
        return Queues(self._queue(_INBOX), self._queue(_OUTBOX, now=now), self._queue(_UNTOLD))

    def service_week(self, since: dt.datetime, until: dt.datetime) -> ServiceWeek:
        """How the evenings went whose questions were due from `since` on and before `until`."""
        rows = self._all(_EVENINGS, since=since, until=until)
        asked = [row for row in rows if row[0] != CheckInState.NOT_ASKED]
        late = sum(row[3] == OutboxState.SENT and row[4] - row[1] > LATE for row in asked)
        failed = sum(row[3] in (OutboxState.FAILED, OutboxState.EXPIRED) for row in rows)
        return ServiceWeek(len(rows), len(asked), late, failed, sum(row[2] is not None for row in rows))

    def any_message(self, now: dt.datetime) -> bool:
        """Whether a message could leave, or is in somebody's hand; without a lock."""
        return self._is(_ANY_MESSAGE, now)

    def any_update(self, now: dt.datetime) -> bool:
        """Whether an update could be handled now; without a lock."""
        return self._is(_ANY_UPDATE, now)

    def _is(self, query: Select[Any], now: dt.datetime) -> bool:
        row = self._one(query, now=now)
        return bool(row and row[0])

    def _queue(self, query: Select[*tuple[Any, ...]], **parameters: Any) -> Queue:
        row = self._one(query, **parameters)
        return Queue(row[0], row[1]) if row else Queue(0, None)

    def next_work(self, now: dt.datetime) -> dt.datetime | None:
        """The earliest due time of prompts, reminders, closings, digests and messages; past ones too, None without any.

        A message behind one that is being sent just now does not count: it waits for that one's end.
        """
        times = [
            row[0]
            for query in _NEXT
            if (row := self._one(query, now=now)) is not None and row[0] is not None
        ]
        return min(times, default=None)
