"""Everything kept about one person: handed over as facts, or made to go."""

from dataclasses import replace
from typing import Any

from sqlalchemy import BindParameter, Table, and_, bindparam, delete, literal_column, or_, select, update

from core.records import (
    Answer,
    CheckIn,
    Course,
    Dialogue,
    Facts,
    GoalReview,
    GuidedSet,
    Notice,
    OutcomeScore,
    Outgoing,
    Person,
    Status,
    StoredDecision,
    Update,
)
from core.store import codec
from core.store import tables as t
from core.store.columns import NO_WORDS
from core.store.transaction import Transaction, mine, rows

NAME_SHOWN = 39  # characters; of a longer name messages show the beginning
_PERSON: BindParameter[str] = bindparam("person")
_COURSES = select(t.courses.c.id).where(mine(t.courses), t.courses.c.person_id == _PERSON)
# named apart from the columns: `values(address="")` would take the name of a column for its own and keep the chat
_IN_CHAT = {
    table: (table.c.channel == bindparam("in_channel")) & (table.c.address == bindparam("in_chat"))
    for table in (t.inbox, t.outbox)
}
_THEIRS = {
    **{
        table: and_(mine(table), table.c.person_id == _PERSON)
        for table in (t.answers, t.courses, t.notices, t.notes, t.tasks, t.dialogues, t.audits)
    },
    **{
        table: and_(mine(table), table.c.course_id.in_(_COURSES))
        for table in (t.decisions, t.guided_sets, t.check_ins, t.outcomes, t.goal_reviews)
    },
    t.outbox: and_(mine(t.outbox), or_(t.outbox.c.person_id == _PERSON, _IN_CHAT[t.outbox])),
    t.inbox: and_(mine(t.inbox), _IN_CHAT[t.inbox]),
    t.invitations: and_(mine(t.invitations), t.invitations.c.used_by == _PERSON),
    t.people: and_(mine(t.people), t.people.c.id == _PERSON),
}
# the empty text written out, or the partial index would not be known to hold
_ABOUT = and_(mine(t.outbox), t.outbox.c.about == _PERSON, t.outbox.c.about != literal_column("''"))
_FORGOTTEN: dict[str, Any] = {"words": NO_WORDS, "address": "", "about": "", "forgotten": True}


def _delete(*tables: Table) -> list[Any]:
    return [delete(table).where(_THEIRS[table]) for table in tables]


def _empty(table: Table, **values: Any) -> Any:
    return update(table).where(_THEIRS[table]).values(**values)


_MESSAGES = (
    *_delete(t.outbox, t.inbox),
    delete(t.outbox).where(_ABOUT, t.outbox.c.done_at.is_(None)),
    update(t.outbox).where(_ABOUT).values(**_FORGOTTEN),  # told already: the key stays taken
)
# that it was used must stay, or somebody could use it again
_INVITATION = _empty(t.invitations, used_by=None, note="")
_ERASE = (
    # children before parents: foreign keys hold
    *_delete(t.answers, t.decisions, t.guided_sets, t.check_ins, t.outcomes, t.goal_reviews, t.courses),
    *_delete(t.notices, t.notes, t.tasks, t.dialogues),
    *_MESSAGES,
    _empty(t.audits, person_id=None, detail=""),  # who of the staff did what and when, no longer to whom
    _INVITATION,
    *_delete(t.people),
)
_FADE = (
    *_delete(t.notes, t.tasks, t.dialogues),
    *_MESSAGES,
    _empty(t.notices, text="", facts={}),
    _empty(t.check_ins, sign_words="", unread=""),
    _empty(t.goal_reviews, said={}),
    _empty(t.decisions, note=""),
    _empty(t.audits, detail=""),
    _INVITATION,
)
_STAFF = select(t.staff.c.id).where(mine(t.staff))
# sealed, so that only reading them tells whom they name
_STAFF_DIALOGUES = select(t.dialogues.c.person_id, t.dialogues.c.facts).where(
    mine(t.dialogues), t.dialogues.c.person_id.in_(_STAFF)
)
_STAFF_TOLD = select(t.outbox.c.id, t.outbox.c.words).where(
    mine(t.outbox), t.outbox.c.person_id.in_(_STAFF), t.outbox.c.done_at.is_not(None), ~t.outbox.c.forgotten
)
_BREAK_OFF = delete(t.dialogues).where(mine(t.dialogues), t.dialogues.c.person_id == bindparam("staff"))
_BLANK = (
    update(t.outbox)
    .where(mine(t.outbox), t.outbox.c.id == bindparam("item"))
    .values(**_FORGOTTEN)
)
# each with what gives its order
_EXPORT: dict[str, tuple[type, str]] = {
    "courses": (Course, "id"), "check_ins": (CheckIn, "date"), "guided_sets": (GuidedSet, "made_at"),
    "decisions": (StoredDecision, "made_at"), "outcomes": (OutcomeScore, "at"), "goals": (GoalReview, "at"),
    "notices": (Notice, "at"), "messages_out": (Outgoing, "id"), "messages_in": (Update, "id"),
    "answers": (Answer, "id"),
}  # fmt: skip


def erase(tx: Transaction, person: Person) -> None:
    """Delete every row that names the person, in and out, and what waits to be told to staff about them alone.

    What must stay is emptied: an invitation they used, a message that staff have had (its key stays taken), and
    the trail's lines, which keep who of the staff did what and when, not to whom. On SQLite the bytes go too, once
    this unit is committed. Not reached: copies made before (backups), a digest of several people that
    is about to go out, and what staff typed while it waits in the inbox.
    """
    for statement in _ERASE:
        tx.change(statement, person=person.id, in_channel=person.channel, in_chat=person.address)
    _erase_from_staff(tx, person)
    tx.erased = True


def anonymise(tx: Transaction, person: Person) -> None:
    """Take away who the person is and every word of theirs and about them; ratings, sets and decisions stay.

    On SQLite the bytes go too, once this unit is committed; not from copies made before.
    """
    for statement in _FADE:
        tx.change(statement, person=person.id, in_channel=person.channel, in_chat=person.address)
    _erase_from_staff(tx, person)
    nobody = replace(person, channel="", address=person.id, name="", status=Status.DISCHARGED, fades_at=None)
    tx.save(replace(nobody, nudges=(), next_nudge=None))
    tx.erased = True


def _erase_from_staff(tx: Transaction, person: Person) -> None:
    """Break off what staff are just writing about the person; blank what they had about several at once."""
    for staff_id, facts in tx.all(_STAFF_DIALOGUES):
        if person.id in codec.dumps(facts):
            tx.change(_BREAK_OFF, staff=staff_id)
    name = codec.dumps(person.name)[1:-1][:NAME_SHOWN]
    for number, words in tx.all(_STAFF_TOLD):
        said = codec.dumps(words)
        if person.id in said or (name and name in said):
            tx.change(_BLANK, item=number)


def export(tx: Transaction, person: Person) -> Facts:
    """Everything kept about the person as JSON values.

    With outcome scores and every override, who made it and why. Without the therapist's own notes, messages to
    staff and the trail of access: those are the clinic's file, for the clinic to hand over.
    """
    whole: dict[str, Any] = {"person": person}
    for name, (record, order) in _EXPORT.items():
        table = t.OF[record]
        theirs = rows(record).where(_THEIRS[table]).order_by(table.c[order])
        whole[name] = tx.every(record, theirs, person=person.id, in_channel=person.channel, in_chat=person.address)
    whole["dialogue"] = tx.find(Dialogue, rows(Dialogue, "person_id"), person_id=person.id) or Dialogue(person.id, "")
    facts: Facts = codec.plain(whole)
    return facts
