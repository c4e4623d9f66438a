"""Where each chat's conversation stands."""

from collections.abc import Sequence
from typing import Any

from sqlalchemy import FromClause, and_, bindparam, select

from core.records import OPEN_STATES, Course, Dialogue, GuidedSet
from core.store import tables as t
from core.store.diary import OPEN_COURSES
from core.store.guided import OPEN_SET
from core.store.outbox import NONE_WAITS, PENDING
from core.store.transaction import Part, fields, mine, upsert, values

_DIALOGUE = select(*fields(t.dialogues, Dialogue)).where(
    mine(t.dialogues), t.dialogues.c.person_id == bindparam("person")
)
# what is open of a patient, in one look: at most one row of theirs in each joined table, but for a course a side
_OPEN = {
    Dialogue: (t.dialogues, mine(t.dialogues)),
    Course: (t.courses, t.courses.c.ended_at.is_(None)),
    GuidedSet: (t.guided_sets, t.guided_sets.c.state.in_(OPEN_STATES)),
}
_OPEN_COLUMNS = [column for record, (table, _) in _OPEN.items() for column in fields(table, record)]


def _and_what_is_open() -> FromClause:
    joined: FromClause = t.people
    for table, is_open in _OPEN.values():
        theirs = and_(table.c.clinic_id == t.people.c.clinic_id, table.c.person_id == t.people.c.id)
        joined = joined.outerjoin(table, and_(theirs, is_open))
    return joined


_WAITING = (
    select(t.outbox.c.id)
    .where(t.outbox.c.clinic_id == t.people.c.clinic_id, t.outbox.c.person_id == t.people.c.id, PENDING)
    .exists()
)
_OF_PATIENT = (
    select(_WAITING, *_OPEN_COLUMNS)
    .select_from(_and_what_is_open())
    .where(mine(t.people), t.people.c.id == bindparam("person"))
    .order_by(t.courses.c.side.desc())
)


def _parts(columns: Sequence[Any]) -> list[Any]:
    """A record of each joined table, None where it had no such row."""
    found = []
    for record, (table, _) in _OPEN.items():
        theirs, columns = columns[: len(fields(table, record))], columns[len(fields(table, record)) :]
        found.append(record(*theirs) if theirs[0] is not None else None)
    return found


class Dialogues(Part):
    """Rows about conversations, of staff too; one a person."""

    def get(self, person_id: str) -> Dialogue:
        return self._tx.once(t.dialogues, _DIALOGUE, Dialogue, person=person_id) or Dialogue(person_id, "")

    def of_patient(self, person_id: str) -> Dialogue:
        """As `get`, with what the conversation mostly asks for next: open course and set, whether a message waits."""
        rows = self._tx.all(_OF_PATIENT, person=person_id)
        if not rows:
            return self.get(person_id)
        if not rows[0][0]:
            self._tx.keep(t.outbox, (NONE_WAITS, person_id), True)
        dialogue, course, guided = zip(*(_parts(row[1:]) for row in rows), strict=True)
        self._tx.keep(t.dialogues, (_DIALOGUE, person_id), dialogue[0])
        self._tx.keep(t.courses, (OPEN_COURSES, person_id), tuple(each for each in course if each))
        self._tx.keep(t.guided_sets, (OPEN_SET, person_id), guided[0])
        return self.get(person_id)

    def save(self, dialogue: Dialogue) -> None:
        self._tx.insert(upsert(self._tx.dialect, t.dialogues), values(dialogue))
