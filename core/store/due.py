"""What the clock brings, by id alone, so that a row that cannot be read holds up nobody but itself; what waits."""

import datetime as dt
from typing import Any

from sqlalchemy import Column, Select, Table, Text, bindparam, cast, func, literal, or_, select, union_all, update

from core.records import CheckInState, Due, OutboxState, Queue, Queues, ServiceWeek
from core.store import tables as t
from core.store.outbox import PENDING
from core.store.sending import NONE_IN_FLIGHT
from core.store.transaction import Part, mine

# the person is locked, too: whoever answers them locks the person first, and two orders of locking would meet head-on
_OF_PERSON = (t.people.c.clinic_id == t.check_ins.c.clinic_id) & (t.people.c.id == t.check_ins.c.person_id)
_WHEN: dict[Due, tuple[Table, "Column[Any]"]] = {
    Due.CLOSE: (t.check_ins, t.check_ins.c.close_at),
    Due.ASK: (t.people, t.people.c.next_due),
    Due.REMIND: (t.check_ins, t.check_ins.c.remind_at),
    Due.NUDGE: (t.people, t.people.c.next_nudge),
    Due.DIGEST: (t.staff, t.staff.c.next_digest),
    Due.DANGER: (t.notices, t.notices.c.look_at),
}


def _ids(table: Table, moment: "Column[Any]") -> Select[tuple[str]]:
    query = select(table.c.id).where(mine(table), moment <= bindparam("now"))
    locked = [table]
    if table is t.check_ins:
        query, locked = query.join(t.people, _OF_PERSON), [table, t.people]
    query = query.order_by(moment).limit(bindparam("most"))
    return query.with_for_update(skip_locked=True, key_share=True, of=locked)


_DUE = {due: _ids(*where) for due, where in _WHEN.items()}
_ANY = union_all(*(
    select(literal(due.value)).where(select(table.c.id).where(mine(table), moment <= bindparam("now")).exists())
    for due, (table, moment) in _WHEN.items()
))  # fmt: skip
_PUT_OFF = {
    due: update(table).where(mine(table), table.c.id == bindparam("which")).values({moment.name: bindparam("until")})
    for due, (table, moment) in _WHEN.items()
}
_ASTRAY: dict[Due, Select[tuple[str]]] = {
    due: select(table.c.id).where(mine(table), moment > bindparam("horizon")).order_by(moment)
    for due, (table, moment) in _WHEN.items()
    if due in (Due.ASK, Due.NUDGE, Due.DIGEST)
}
# what waits for a moment that is given by the clock alone, never for days
_WAITS: tuple[tuple[Table, "Column[Any]"], ...] = (
    (t.notices, t.notices.c.look_at), (t.outbox, t.outbox.c.not_before), (t.inbox, t.inbox.c.retry_at),
)  # fmt: skip
_FORWARD = [
    update(table).where(mine(table), moment > bindparam("horizon")).values({moment.name: bindparam("at_once")})
    for table, moment in _WAITS
]

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
_NEXT_NUDGE = select(func.min(t.people.c.next_nudge)).where(mine(t.people), t.people.c.next_nudge.is_not(None))
_NEXT_CLOSING = select(func.min(t.check_ins.c.close_at)).where(
    mine(t.check_ins), t.check_ins.c.close_at.is_not(None)
)
_NEXT_DIGEST = select(func.min(t.staff.c.next_digest)).where(mine(t.staff), t.staff.c.next_digest.is_not(None))
_NEXT = (_NEXT_PROMPT, _NEXT_REMINDER, _NEXT_NUDGE, _NEXT_CLOSING, _NEXT_DIGEST, _NEXT_MESSAGE, _NEXT_PLANNED)

_KEY_OF_QUESTION = literal("evening.ask:") + t.check_ins.c.course_id + ":" + cast(t.check_ins.c.date, Text)
_EVENINGS = (
    select(t.check_ins.c.state, t.check_ins.c.due_at, t.check_ins.c.pain, _out.c.state, _out.c.done_at)
    .select_from(
        t.check_ins.outerjoin(_out, (_out.c.clinic_id == t.check_ins.c.clinic_id) & (_out.c.key == _KEY_OF_QUESTION))
    )
    .where(mine(t.check_ins), t.check_ins.c.due_at >= bindparam("since"), t.check_ins.c.due_at < bindparam("until"))
)
LATE = dt.timedelta(minutes=10)  # judgement: later than that, the evening is not the one that was planned


class Dues(Part):
    """Who or what is due; times come from the partial indexes."""

    def kinds(self, now: dt.datetime) -> frozenset[Due]:
        """The kinds of which something is due, without a lock."""
        return frozenset(Due(row[0]) for row in self._tx.all(_ANY, now=now))

    def ids(self, what: Due, now: dt.datetime, limit: int) -> tuple[str, ...]:
        """Ids of people (ask, nudge), check-ins (remind, close) or staff (digest), longest first; each is locked.

        Those that another process holds are left to it.
        """
        return tuple(row.id for row in self._tx.all(_DUE[what], now=now, most=limit))

    def put_off(self, what: Due, which: str, until: dt.datetime) -> None:
        """Let it be due at `until`; nothing else of the row is read or written."""
        self._tx.change(_PUT_OFF[what], which=which, until=until)

    def astray(self, what: Due, horizon: dt.datetime) -> tuple[str, ...]:
        """Ids of people (ask, nudge) or staff (digest) who are due later than `horizon`."""
        return tuple(row.id for row in self._tx.all(_ASTRAY[what], horizon=horizon))

    def bring_forward(self, now: dt.datetime, horizon: dt.datetime) -> int:
        """Let dangers, messages and updates that wait for a moment after `horizon` be due now; says how many."""
        return sum(self._tx.change(each, horizon=horizon, at_once=now) for each in _FORWARD)

    def next(self, now: dt.datetime) -> dt.datetime | None:
        """The earliest due time of all that the clock brings, and of messages; past ones too, None without any.

        A message behind one that is being sent just now does not count: it waits for that one's end.
        """
        times = [
            row[0]
            for query in _NEXT
            if (row := self._tx.one(query, now=now)) is not None and row[0] is not None
        ]
        return min(times, default=None)


class Figures(Part):
    """Figures for those who watch, without any row's content."""

    def queues(self, now: dt.datetime) -> Queues:
        """What waits at this moment, being sent included."""
        return Queues(self._queue(_INBOX), self._queue(_OUTBOX, now=now), self._queue(_UNTOLD))

    def service_week(self, since: dt.datetime, until: dt.datetime) -> ServiceWeek:
        """How the evenings went whose questions were due from `since` on and before `until`."""
        rows = self._tx.as_it_stands(_EVENINGS, since=since, until=until)
        asked = [row for row in rows if row[0] != CheckInState.NOT_ASKED]
        late = sum(row[3] == OutboxState.SENT and row[4] - row[1] > LATE for row in asked)
        failed = sum(row[3] in (OutboxState.FAILED, OutboxState.EXPIRED) for row in rows)
        return ServiceWeek(len(rows), len(asked), late, failed, sum(row[2] is not None for row in rows))

    def _queue(self, query: Select[*tuple[Any, ...]], **parameters: Any) -> Queue:
        row = self._tx.one(query, **parameters)
        return Queue(row[0], row[1]) if row else Queue(0, None)
