"""What the clinic keeps of a person beside the diary: notes for the file and outcome scores."""

from sqlalchemy import bindparam, select

from core.records import Note, Outcome
from core.store import tables as t
from core.store.transaction import Transaction, fields, mine, upsert, values

_NOTES = (
    select(*fields(t.notes, Note))
    .where(mine(t.notes), t.notes.c.person_id == bindparam("person"))
    .order_by(t.notes.c.at.desc(), t.notes.c.id.desc())
)
_OUTCOMES = (
    select(*fields(t.outcomes, Outcome))
    .where(mine(t.outcomes), t.outcomes.c.person_id == bindparam("person"))
    .order_by(t.outcomes.c.at, t.outcomes.c.id)
)


class CaseFile(Transaction):
    """Rows of the clinic's file. A note is only added; an outcome can be put right under its id."""

    def add_note(self, note: Note) -> None:
        """Raises StoreError for a person who is not here."""
        self._insert(t.notes.insert(), values(note))

    def notes(self, person_id: str) -> tuple[Note, ...]:
        return tuple(Note(*row) for row in self._all(_NOTES, person=person_id))

    def save_outcome(self, outcome: Outcome) -> None:
        """Insert or replace. Raises StoreError for a course that is not here."""
        self._insert(upsert(self._dialect, t.outcomes), values(outcome))

    def outcomes(self, person_id: str) -> tuple[Outcome, ...]:
        return tuple(Outcome(*row) for row in self._all(_OUTCOMES, person=person_id))
