"""Sets that are counted through."""

import datetime as dt

from sqlalchemy import bindparam, func, select, update

from core.records import OPEN_STATES, GuidedSet, GuidedState
from core.store import tables as t
from core.store.transaction import Part, fields, mine

_row = t.guided_sets
_ANY = select(*fields(_row, GuidedSet)).where(mine(_row))
_BY_ID = _ANY.where(_row.c.id == bindparam("which"))
OPEN_SET = _ANY.where(_row.c.person_id == bindparam("person"), _row.c.state.in_(OPEN_STATES))
_ON = _ANY.where(_row.c.course_id == bindparam("course"), _row.c.date == bindparam("on")).order_by(_row.c.made_at)
_EVER = _ANY.where(_row.c.course_id == bindparam("course"), _row.c.exercise == bindparam("exercise")).limit(1)
_FIRST = select(func.min(_row.c.next_at)).where(mine(_row), _row.c.next_at.is_not(None))
# the person is locked, too, and before the set: whoever answers them does it in that order
_OF_PERSON = (t.people.c.clinic_id == _row.c.clinic_id) & (t.people.c.id == _row.c.person_id)
_DUE = (
    select(_row.c.id)
    .where(mine(_row), _row.c.next_at <= bindparam("now"))
    .join(t.people, _OF_PERSON)
    .order_by(_row.c.next_at)
    .limit(1)
    .with_for_update(skip_locked=True, key_share=True, of=[t.people, _row])
)
_GIVE_UP = (
    update(_row)
    .where(mine(_row), _row.c.id == bindparam("which"))
    .values(next_at=None, state=GuidedState.LOST)
)


class GuidedSets(Part):
    """Rows of sets; whoever counts them finds by `next_at` what is to be said now."""

    def get(self, set_id: str) -> GuidedSet | None:
        return self._tx.once(_row, _BY_ID, GuidedSet, which=set_id)

    def open_of(self, person_id: str) -> GuidedSet | None:
        """The person's set that is not over."""
        return self._tx.once(_row, OPEN_SET, GuidedSet, person=person_id)

    def on(self, course_id: str, date: dt.date) -> tuple[GuidedSet, ...]:
        """Every set begun for that date, in the order in which they were."""
        return tuple(GuidedSet(*row) for row in self._tx.all(_ON, course=course_id, on=date))

    def ever_begun(self, course_id: str, exercise: str) -> bool:
        """Whether a set of that exercise was begun in this course."""
        return self._tx.one(_EVER, course=course_id, exercise=exercise) is not None

    def save(self, guided: GuidedSet) -> None:
        self._tx.put(_row, guided)

    def due(self, now: dt.datetime) -> str | None:
        """The id of the set that has waited longest, locked with its person; those in others' hands are passed over."""
        row = self._tx.one(_DUE, now=now)
        return row.id if row else None

    def next_at(self) -> dt.datetime | None:
        """When there is next something to say of any set, without a lock; None where none is open."""
        row = self._tx.one(_FIRST)
        return row[0] if row else None

    def give_up(self, set_id: str) -> None:
        """Nothing is to be done with it any more; nothing else of the row is read."""
        self._tx.change(_GIVE_UP, which=set_id)
