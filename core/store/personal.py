"""Everything kept about one person: handed over as facts, or made to go."""

from dataclasses import replace
from typing import Any

from sqlalchemy import BindParameter, and_, bindparam, delete, literal_column, or_, select, update

from core.records import (
    CheckIn,
    Course,
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
from core.store.dialogues import Dialogues
from core.store.diary import Diary
from core.store.sealed import NO_WORDS
from core.store.transaction import Transaction, fields, mine, upsert, values

NAME_SHOWN = 39  # characters; of a longer name messages show the beginning
_PERSON: BindParameter[str] = bindparam("person")
_COURSES = select(t.courses.c.id).where(mine(t.courses), t.courses.c.person_id == _PERSON)
# named apart from the columns: `values(address="")` would take the name of a column for its own and keep the chat
_IN_CHAT = {
    table: (table.c.channel == bindparam("in_channel")) & (table.c.address == bindparam("in_chat"))
    for table in (t.inbox, t.outbox)
}
# the empty text written out, or the partial index would not be known to hold
_ABOUT = and_(mine(t.outbox), t.outbox.c.about == _PERSON, t.outbox.c.about != literal_column("''"))
# children before parents: foreign keys hold
_ERASE = (
    delete(t.answers).where(mine(t.answers), t.answers.c.person_id == _PERSON),
    delete(t.decisions).where(mine(t.decisions), t.decisions.c.course_id.in_(_COURSES)),
    delete(t.guided_sets).where(mine(t.guided_sets), t.guided_sets.c.course_id.in_(_COURSES)),
    delete(t.check_ins).where(mine(t.check_ins), t.check_ins.c.course_id.in_(_COURSES)),
    delete(t.outcomes).where(mine(t.outcomes), t.outcomes.c.course_id.in_(_COURSES)),
    delete(t.goal_reviews).where(mine(t.goal_reviews), t.goal_reviews.c.course_id.in_(_COURSES)),
    delete(t.courses).where(mine(t.courses), t.courses.c.person_id == _PERSON),
    delete(t.notices).where(mine(t.notices), t.notices.c.person_id == _PERSON),
    delete(t.notes).where(mine(t.notes), t.notes.c.person_id == _PERSON),
    delete(t.tasks).where(mine(t.tasks), t.tasks.c.person_id == _PERSON),
    delete(t.dialogues).where(mine(t.dialogues), t.dialogues.c.person_id == _PERSON),
    delete(t.outbox).where(mine(t.outbox), or_(t.outbox.c.person_id == _PERSON, _IN_CHAT[t.outbox])),
    delete(t.inbox).where(mine(t.inbox), _IN_CHAT[t.inbox]),
    delete(t.outbox).where(_ABOUT, t.outbox.c.done_at.is_(None)),
    # told already: the key stays taken
    update(t.outbox).where(_ABOUT).values(words=NO_WORDS, address="", about="", forgotten=True),
    # who of the staff did what and when, no longer to whom
    update(t.audits).where(mine(t.audits), t.audits.c.person_id == _PERSON).values(person_id=None, detail=""),
    # that it was used must stay, or somebody could use it again
    update(t.invitations)
    .where(mine(t.invitations), t.invitations.c.used_by == _PERSON)
    .values(used_by=None, note=""),
    delete(t.people).where(mine(t.people), t.people.c.id == _PERSON),
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
    .values(words=NO_WORDS, address="", about="", forgotten=True)
)
_FADE = (
    delete(t.notes).where(mine(t.notes), t.notes.c.person_id == _PERSON),
    delete(t.tasks).where(mine(t.tasks), t.tasks.c.person_id == _PERSON),
    delete(t.dialogues).where(mine(t.dialogues), t.dialogues.c.person_id == _PERSON),
    *(each for each in _ERASE if each.table in (t.outbox, t.inbox)),
    update(t.notices).where(mine(t.notices), t.notices.c.person_id == _PERSON).values(text="", facts={}),
    update(t.check_ins)
    .where(mine(t.check_ins), t.check_ins.c.course_id.in_(_COURSES))
    .values(sign_words="", unread=""),
    update(t.goal_reviews).where(mine(t.goal_reviews), t.goal_reviews.c.course_id.in_(_COURSES)).values(said={}),
    update(t.decisions).where(mine(t.decisions), t.decisions.c.course_id.in_(_COURSES)).values(note=""),
    update(t.audits).where(mine(t.audits), t.audits.c.person_id == _PERSON).values(detail=""),
    update(t.invitations)
    .where(mine(t.invitations), t.invitations.c.used_by == _PERSON)
    .values(used_by=None, note=""),
)
_EXPORT: dict[str, tuple[type, Any]] = {
    "courses": (
        Course,
        select(*fields(t.courses, Course)).where(mine(t.courses), t.courses.c.person_id == _PERSON),
    ),
    "check_ins": (
        CheckIn,
        select(*fields(t.check_ins, CheckIn))
        .where(mine(t.check_ins), t.check_ins.c.course_id.in_(_COURSES))
        .order_by(t.check_ins.c.date),
    ),
    "guided_sets": (
        GuidedSet,
        select(*fields(t.guided_sets, GuidedSet))
        .where(mine(t.guided_sets), t.guided_sets.c.course_id.in_(_COURSES))
        .order_by(t.guided_sets.c.made_at),
    ),
    "decisions": (
        StoredDecision,
        select(*fields(t.decisions, StoredDecision))
        .where(mine(t.decisions), t.decisions.c.course_id.in_(_COURSES))
        .order_by(t.decisions.c.made_at),
    ),
    "outcomes": (
        OutcomeScore,
        select(*fields(t.outcomes, OutcomeScore))
        .where(mine(t.outcomes), t.outcomes.c.person_id == _PERSON)
        .order_by(t.outcomes.c.at),
    ),
    "goals": (
        GoalReview,
        select(*fields(t.goal_reviews, GoalReview))
        .where(mine(t.goal_reviews), t.goal_reviews.c.person_id == _PERSON)
        .order_by(t.goal_reviews.c.at),
    ),
    "notices": (
        Notice,
        select(*fields(t.notices, Notice))
        .where(mine(t.notices), t.notices.c.person_id == _PERSON)
        .order_by(t.notices.c.at),
    ),
    "messages_out": (
        Outgoing,
        select(*fields(t.outbox, Outgoing))
        .where(mine(t.outbox), or_(t.outbox.c.person_id == _PERSON, _IN_CHAT[t.outbox]))
        .order_by(t.outbox.c.id),
    ),
    "messages_in": (
        Update,
        select(*fields(t.inbox, Update)).where(mine(t.inbox), _IN_CHAT[t.inbox]).order_by(t.inbox.c.id),
    ),
}


def erase(tx: Transaction, person: Person) -> None:
    """Delete every row that names the person, in and out, and what waits to be told to staff about them alone.

    What must stay is emptied: an invitation they used, a message that staff have had (its key stays taken), and
    the trail's lines, which keep who of the staff did what and when, not to whom. On SQLite the bytes go too, once
    this unit is committed. Not reached: copies made before (backups), a digest of several people that
    is about to go out, and what staff typed while it waits in the inbox.
    """
    tx.must_write()
    for statement in _ERASE:
        tx.change(statement, person=person.id, in_channel=person.channel, in_chat=person.address)
    _erase_from_staff(tx, person)
    tx.erased = True


def anonymise(tx: Transaction, person: Person) -> None:
    """Take away who the person is and every word of theirs and about them; ratings, sets and decisions stay.

    On SQLite the bytes go too, once this unit is committed; not from copies made before.
    """
    tx.must_write()
    for statement in _FADE:
        tx.change(statement, person=person.id, in_channel=person.channel, in_chat=person.address)
    _erase_from_staff(tx, person)
    nobody = replace(person, channel="", address=person.id, name="", status=Status.DISCHARGED, fades_at=None)
    nobody = replace(nobody, nudges=(), next_nudge=None)
    tx.insert(upsert(tx.dialect, t.people), values(nobody))
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
    whole: dict[str, Any] = {"person": values(person)}
    for name, (record, query) in _EXPORT.items():
        rows = tx.all(query, person=person.id, in_channel=person.channel, in_chat=person.address)
        whole[name] = [record(*row) for row in rows]
    whole["answers"] = Diary(tx).answers(person.id)
    whole["dialogue"] = Dialogues(tx).get(person.id)
    facts: Facts = codec.plain(whole)
    return facts
