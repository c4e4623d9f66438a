"""Where each chat's conversation stands."""

from sqlalchemy import FromClause, and_, bindparam, select

from core.records import OPEN_STATES, Course, Dialogue, GuidedSet
from core.store import tables as t
from core.store.diary import OPEN_COURSE
from core.store.guided import OPEN_SET
from core.store.outbox import NONE_WAITS, PENDING
from core.store.transaction import Part, fields, mine, upsert, values

_DIALOGUE = select(*fields(t.dialogues, Dialogue)).where(
    mine(t.dialogues), t.dialogues.c.person_id == bindparam("person")
)
# what is open of a patient, in one look: each of the joined tables has at most one such row of theirs
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
)


class Dialogues(Part):
    """Rows about conversations, of staff too; one a person."""

    def get(self, person_id: str) -> Dialogue:
        return self._tx.once(t.dialogues, _DIALOGUE, Dialogue, person=person_id) or Dialogue(person_id, "")

    def of_patient(self, person_id: str) -> Dialogue:
        """As `get`, with what the conversation mostly asks for next: open course and set, whether a message waits."""
        row = self._tx.one(_OF_PATIENT, person=person_id)
        if row is None:
            return self.get(person_id)
        waits, *rest = row
        if not waits:
            self._tx.keep(t.outbox, (NONE_WAITS, person_id), True)
        for (record, (table, _)), query in zip(_OPEN.items(), (_DIALOGUE, OPEN_COURSE, OPEN_SET), strict=True):
            columns, rest = rest[: len(fields(table, record))], rest[len(fields(table, record)) :]
            self._tx.keep(table, (query, person_id), record(*columns) if columns[0] is not None else None)
        return self.get(person_id)

    def save(self, dialogue: Dialogue) -> None:
        self._tx.insert(upsert(self._tx.dialect, t.dialogues), values(dialogue))
