"""What is open with somebody: where the conversation stands, and the set that is counted through."""

import datetime as dt
from collections.abc import Sequence
from typing import Any

from sqlalchemy import FromClause, and_, bindparam, func, select, update

from core.records import OPEN_STATES, Course, Dialogue, GuidedSet, GuidedState, Outgoing
from core.store import tables as t
from core.store.course import OPEN_COURSES
from core.store.outbox import PENDING, WAITING
from core.store.transaction import Part, fields, mine, rows

_DIALOGUE = rows(Dialogue, "person_id")
_set = t.guided_sets
_OPEN_SET = rows(GuidedSet, "person_id").where(_set.c.state.in_(OPEN_STATES))
_SETS_ON = rows(GuidedSet, "course_id", "date").order_by(_set.c.made_at)
_EVER = rows(GuidedSet, "course_id", "exercise").limit(1)
_FIRST = select(func.min(_set.c.next_at)).where(mine(_set), _set.c.next_at.is_not(None))
# the person is locked, too, and before the set: whoever answers them does it in that order
_OF_PERSON = (t.people.c.clinic_id == _set.c.clinic_id) & (t.people.c.id == _set.c.person_id)
_DUE = (
    select(_set.c.id)
    .where(mine(_set), _set.c.next_at <= bindparam("now"))
    .join(t.people, _OF_PERSON)
    .order_by(_set.c.next_at)
    .limit(1)
    .with_for_update(skip_locked=True, key_share=True, of=[t.people, _set])
)
_GIVE_UP = (
    update(_set)
    .where(mine(_set), _set.c.id == bindparam("which"))
    .values(next_at=None, state=GuidedState.LOST)
)
# what is open of a patient, in one look: at most one row of theirs in each joined table, but for a course a side
_OPEN = {
    Dialogue: mine(t.dialogues),
    Course: t.courses.c.ended_at.is_(None),
    GuidedSet: _set.c.state.in_(OPEN_STATES),
}


def _and_what_is_open() -> FromClause:
    joined: FromClause = t.people
    for record, is_open in _OPEN.items():
        table = t.OF[record]
        theirs = and_(table.c.clinic_id == t.people.c.clinic_id, table.c.person_id == t.people.c.id)
        joined = joined.outerjoin(table, and_(theirs, is_open))
    return joined


_WAITS = (
    select(t.outbox.c.id)
    .where(t.outbox.c.clinic_id == t.people.c.clinic_id, t.outbox.c.person_id == t.people.c.id, PENDING)
    .exists()
)
_OF_PATIENT = (
    select(_WAITS, *(column for record in _OPEN for column in fields(record)))
    .select_from(_and_what_is_open())
    .where(mine(t.people), t.people.c.id == bindparam("person"))
    .order_by(t.courses.c.side.desc())
)


def _parts(columns: Sequence[Any]) -> list[Any]:
    """A record of each joined table, None where it had no such row."""
    found = []
    for record in _OPEN:
        theirs, columns = columns[: len(fields(record))], columns[len(fields(record)) :]
        found.append(record(*theirs) if theirs[0] is not None else None)
    return found


class Dialogues(Part):
    """Rows about conversations, of staff too; one a person."""

    def get(self, person_id: str) -> Dialogue:
        return self._tx.find(Dialogue, _DIALOGUE, person_id=person_id) or Dialogue(person_id, "")

    def of_patient(self, person_id: str) -> Dialogue:
        """As `get`, with what the conversation mostly asks for next: open course and set, whether a message waits."""
        found = self._tx.all(_OF_PATIENT, person=person_id)
        if not found:
            return self.get(person_id)
        if not found[0][0]:
            self._tx.keep(Outgoing, WAITING, (), person_id=person_id)
        dialogues, courses, sets = zip(*(_parts(row[1:]) for row in found), strict=True)
        self._tx.keep(Dialogue, _DIALOGUE, tuple(filter(None, dialogues[:1])), person_id=person_id)
        self._tx.keep(Course, OPEN_COURSES, tuple(filter(None, courses)), person_id=person_id)
        self._tx.keep(GuidedSet, _OPEN_SET, tuple(filter(None, sets[:1])), person_id=person_id)
        return self.get(person_id)

    def save(self, dialogue: Dialogue) -> None:
        self._tx.save(dialogue)


class GuidedSets(Part):
    """Rows of sets; whoever counts them finds by `next_at` what is to be said now."""

    def get(self, set_id: str) -> GuidedSet | None:
        return self._tx.get(GuidedSet, set_id)

    def open_of(self, person_id: str) -> GuidedSet | None:
        """The person's set that is not over."""
        return self._tx.find(GuidedSet, _OPEN_SET, person_id=person_id)

    def on(self, course_id: str, date: dt.date) -> tuple[GuidedSet, ...]:
        """Every set begun for that date, in the order in which they were."""
        return self._tx.every(GuidedSet, _SETS_ON, course_id=course_id, date=date)

    def ever_begun(self, course_id: str, exercise: str) -> bool:
        """Whether a set of that exercise was begun in this course."""
        return self._tx.find(GuidedSet, _EVER, course_id=course_id, exercise=exercise) is not None

    def save(self, guided: GuidedSet) -> None:
        self._tx.save(guided)

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
