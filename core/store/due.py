"""What the clock has to do: by id alone, so that a row that cannot be read holds up nobody but itself."""

import datetime as dt
from typing import Any

from sqlalchemy import Column, Select, Table, bindparam, literal, select, union_all, update

from core.records import Due
from core.store import tables as t
from core.store.transaction import Transaction, mine

# the person is locked, too: whoever answers them locks the person first, and two orders of locking would meet head-on
_OF_PERSON = (t.people.c.clinic_id == t.check_ins.c.clinic_id) & (t.people.c.id == t.check_ins.c.person_id)
_WHEN: dict[Due, tuple[Table, "Column[Any]"]] = {
    Due.CLOSE: (t.check_ins, t.check_ins.c.close_at),
    Due.ASK: (t.people, t.people.c.next_due),
    Due.REMIND: (t.check_ins, t.check_ins.c.remind_at),
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
    if due in (Due.ASK, Due.DIGEST)
}
# what waits for a moment that is given by the clock alone, never for days
_WAITS: tuple[tuple[Table, "Column[Any]"], ...] = (
    (t.notices, t.notices.c.look_at), (t.outbox, t.outbox.c.not_before), (t.inbox, t.inbox.c.retry_at),
)  # fmt: skip
_FORWARD = [
    update(table).where(mine(table), moment > bindparam("horizon")).values({moment.name: bindparam("at_once")})
    for table, moment in _WAITS
]


class Dues(Transaction):
    """Who or what is due; times come from the partial indexes."""

    def any_due(self, now: dt.datetime) -> frozenset[Due]:
        """The kinds of which something is due, without a lock."""
        return frozenset(Due(row[0]) for row in self._all(_ANY, now=now))

    def due(self, what: Due, now: dt.datetime, limit: int) -> tuple[str, ...]:
        """Ids of people (ask), check-ins (remind, close) or staff (digest), longest first; each is locked.

        Those that another process holds are left to it.
        """
        return tuple(row.id for row in self._all(_DUE[what], now=now, most=limit))

    def put_off(self, what: Due, which: str, until: dt.datetime) -> None:
        """Let it be due at `until`; nothing else of the row is read or written."""
        self._change(_PUT_OFF[what], which=which, until=until)

    def astray(self, what: Due, horizon: dt.datetime) -> tuple[str, ...]:
        """Ids of people (ask) or staff (digest) who are due later than `horizon`."""
        return tuple(row.id for row in self._all(_ASTRAY[what], horizon=horizon))

    def bring_forward(self, now: dt.datetime, horizon: dt.datetime) -> int:
        """Let dangers, messages and updates that wait for a moment after `horizon` be due now; says how many."""
        return sum(self._change(each, horizon=horizon, at_once=now) for each in _FORWARD)
