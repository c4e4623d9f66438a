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
