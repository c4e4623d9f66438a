"""The tables. Each carries the clinic first in its keys, so that rows can be partitioned by it.

Columns are named after the fields of core.records. Partial indexes keep the cost of a queue with what waits
in it, not with its history. HEAD names the migration that makes exactly these tables (a test compares).
"""

import datetime as dt
from typing import Any

from sqlalchemy import (
    BigInteger,
    Boolean,
    Column,
    ColumnElement,
    Date,
    Double,
    ForeignKeyConstraint,
    Index,
    Integer,
    MetaData,
    PrimaryKeyConstraint,
    Table,
    Text,
    Time,
    UniqueConstraint,
)

from core import records as r
from core.guided import SetPlan
from core.model import Decision, Episode, Flag, Meanwhile, NoticeKind
from core.store.columns import Frozen, Sealed, SealedFacts, SealedWords, UtcTime, Word, growing_key

HEAD = "0001"
metadata = MetaData(
    naming_convention={
        "ix": "ix_%(table_name)s_%(column_0_N_name)s",
        "uq": "uq_%(table_name)s_%(column_0_N_name)s",
        "fk": "fk_%(table_name)s_%(referred_table_name)s",
        "pk": "pk_%(table_name)s",
    }
)


def _text(name: str, *, empty: bool = False) -> Column[str]:
    return Column(name, Text, nullable=empty)


def _time(name: str, *, empty: bool = False) -> "Column[object]":
    return Column(name, UtcTime, nullable=empty)


def _keys(*names: str) -> PrimaryKeyConstraint:
    return PrimaryKeyConstraint("clinic_id", *names)


def _belongs(column: str, table: str) -> ForeignKeyConstraint:
    return ForeignKeyConstraint(["clinic_id", column], [f"{table}.clinic_id", f"{table}.id"])


def _only(name: str, *columns: "Column[Any]", where: ColumnElement[bool], unique: bool = False) -> None:
    """An index of a clinic's rows that are so."""
    clinic = columns[0].table.c.clinic_id
    Index(name, clinic, *columns, unique=unique, sqlite_where=where, postgresql_where=where)


def _planned(name: str, column: "Column[Any]") -> None:
    _only(name, column, where=column.is_not(None))


keyring = Table("keyring", metadata, _text("clinic_id"), _text("proof"), _keys())

clinics = Table(
    "clinics", metadata,
    Column("id", Text, primary_key=True), _text("name"), _text("zone"), _text("language"), _text("emergency"),
    Column("undelivered_hours", Integer, nullable=False), Column("open_hours", Integer, nullable=False),
    _text("hours"), Column("keep_months", Integer, nullable=False), _text("after_keeping"),
)  # fmt: skip

programmes = Table(
    "programmes", metadata, _text("clinic_id"), _text("version"), _text("text"), _time("at"), _keys("version")
)

people = Table(
    "people", metadata,
    _text("clinic_id"), _text("id"), _text("channel"), _text("address"), _text("language"), _text("zone"),
    Column("evening", Time, nullable=False), Column("status", Word(r.Status), nullable=False), _time("created_at"),
    Column("name", Sealed, nullable=False), _time("next_due", empty=True), Column("next_date", Date),
    Column("away_since", Date), Column("away_until", Date), _text("therapist_id", empty=True),
    Column("told_unreadable", Boolean, nullable=False), Column("weak_hurts", Date),
    Column("ask_morning", Boolean, nullable=False), Column("every_second", Boolean, nullable=False),
    _time("fades_at", empty=True),
    Column("nudges", Frozen(tuple[dt.time, ...]), nullable=False), _time("next_nudge", empty=True),
    _keys("id"), UniqueConstraint("clinic_id", "channel", "address"),
)  # fmt: skip
_planned("ix_people_therapist", people.c.therapist_id)
_planned("ix_people_fading", people.c.fades_at)
_planned("ix_people_nudge", people.c.next_nudge)
_planned("ix_people_due", people.c.next_due)

staff = Table(
    "staff", metadata,
    _text("clinic_id"), _text("id"), _text("channel"), _text("address"), Column("name", Sealed, nullable=False),
    Column("lead", Boolean, nullable=False), Column("therapist", Boolean, nullable=False), _text("language"),
    _text("zone"), _time("created_at"), Column("confirmed", Boolean, nullable=False),
    Column("digest_weekday", Integer, nullable=False), Column("digest_time", Time, nullable=False),
    _time("next_digest", empty=True), _time("unreachable_since", empty=True), _time("left_at", empty=True),
    _keys("id"), UniqueConstraint("clinic_id", "channel", "address"),
)  # fmt: skip
_planned("ix_staff_due", staff.c.next_digest)

# no references: a line outlives whom it names
audits = Table(
    "audits", metadata,
    Column("id", growing_key(), primary_key=True), _text("clinic_id"), _text("staff_id"), _time("at"),
    _text("action"), _text("person_id", empty=True), Column("detail", Sealed, nullable=False),
    Index(None, "clinic_id", "at"), Index(None, "clinic_id", "person_id", "at"), sqlite_autoincrement=True,
)  # fmt: skip

notes = Table(
    "notes", metadata,
    _text("clinic_id"), _text("id"), _text("person_id"), _text("staff_id"), _time("at"),
    Column("text", Sealed, nullable=False),
    _keys("id"), _belongs("person_id", "people"), Index(None, "clinic_id", "person_id", "at"),
)  # fmt: skip

tasks = Table(
    "tasks", metadata,
    _text("clinic_id"), _text("id"), _text("person_id"), _text("staff_id"), _time("made_at"),
    Column("due", Date, nullable=False), Column("text", Sealed, nullable=False), _time("done_at", empty=True),
    _keys("id"), _belongs("person_id", "people"),
)  # fmt: skip
_only("ix_tasks_open", tasks.c.person_id, where=tasks.c.done_at.is_(None))
Index("ix_tasks_person", tasks.c.clinic_id, tasks.c.person_id)

courses = Table(
    "courses", metadata,
    _text("clinic_id"), _text("id"), _text("person_id"), _text("side"), _text("programme_version"),
    Column("episode", Frozen(Episode), nullable=False), _time("ended_at", empty=True),
    _keys("id"), _belongs("person_id", "people"), Index(None, "clinic_id", "person_id"),
)  # fmt: skip
_only("uq_courses_open", courses.c.person_id, courses.c.side, where=courses.c.ended_at.is_(None), unique=True)

outcomes = Table(
    "outcomes", metadata,
    _text("clinic_id"), _text("id"), _text("person_id"), _text("course_id"), _time("at"),
    Column("week", Integer, nullable=False), Column("total", Double, nullable=False), Column("pain", Double),
    Column("function", Double), Column("answered", Integer),
    _keys("id"), _belongs("course_id", "courses"), Index(None, "clinic_id", "person_id", "at"),
)  # fmt: skip

goal_reviews = Table(
    "goal_reviews", metadata,
    _text("clinic_id"), _text("id"), _text("person_id"), _text("course_id"), _time("at"),
    Column("week", Integer, nullable=False), Column("said", SealedFacts, nullable=False),
    Column("rated", SealedFacts, nullable=False), Column("change", Integer),
    _keys("id"), _belongs("course_id", "courses"), UniqueConstraint("clinic_id", "course_id", "week"),
)  # fmt: skip

check_ins = Table(
    "check_ins", metadata,
    _text("clinic_id"), _text("id"), _text("course_id"), _text("person_id"), Column("date", Date, nullable=False),
    Column("state", Word(r.CheckInState), nullable=False), _time("due_at"),
    Column("sets_asked", Integer, nullable=False), Column("pain", Integer), Column("sets_done", Integer),
    Column("flag", Word(Flag)), _time("answered_at", empty=True), _time("remind_at", empty=True),
    _time("close_at", empty=True), Column("sign", Word(r.SignQuestion)), Column("sign_words", Sealed, nullable=False),
    Column("sign_again", Boolean, nullable=False), Column("unread", Sealed, nullable=False),
    Column("meanwhile", Word(Meanwhile)), Column("woke_worse", Boolean, nullable=False),
    Column("sets_guided", Integer, nullable=False), Column("sets_above", Integer, nullable=False),
    _keys("id"), _belongs("course_id", "courses"), UniqueConstraint("clinic_id", "course_id", "date"),
)  # fmt: skip
_planned("ix_check_ins_remind", check_ins.c.remind_at)
_planned("ix_check_ins_close", check_ins.c.close_at)

# one open set a person, and each set of a date counts once
guided_sets = Table(
    "guided_sets", metadata,
    _text("clinic_id"), _text("id"), _text("person_id"), _text("course_id"), Column("date", Date, nullable=False),
    Column("number", Integer, nullable=False), Column("of", Integer, nullable=False), _text("exercise"),
    Column("plan", Frozen(SetPlan), nullable=False), Column("state", Word(r.GuidedState), nullable=False),
    _time("made_at"), Column("counted", Boolean, nullable=False), _time("began_at", empty=True),
    _time("next_at", empty=True), _text("message_id", empty=True),
    _keys("id"), _belongs("course_id", "courses"), Index(None, "clinic_id", "course_id", "date"),
)  # fmt: skip
_only("uq_guided_sets_open", guided_sets.c.person_id, where=guided_sets.c.state.in_(r.OPEN_STATES), unique=True)
_only(
    "uq_guided_sets_counted", guided_sets.c.course_id, guided_sets.c.date,
    guided_sets.c.number, where=guided_sets.c.counted, unique=True,
)  # fmt: skip
_planned("ix_guided_sets_next", guided_sets.c.next_at)

answers = Table(
    "answers", metadata,
    Column("id", growing_key(), primary_key=True), _text("clinic_id"), _text("check_in_id"), _text("person_id"),
    _time("at"), Column("pain", Integer), Column("sets_done", Integer), Column("flag", Word(Flag)), _text("source"),
    _text("message_id", empty=True),
    _belongs("check_in_id", "check_ins"), Index(None, "clinic_id", "person_id", "message_id"),
    Index(None, "clinic_id", "check_in_id"), sqlite_autoincrement=True,
)  # fmt: skip

# `number` keeps the order of several decisions of one date
decisions = Table(
    "decisions", metadata,
    Column("number", growing_key(), primary_key=True),
    _text("clinic_id"), _text("id"), _text("course_id"), Column("date", Date, nullable=False), _time("made_at"),
    Column("before", Frozen(Episode), nullable=False), Column("decision", Frozen(Decision), nullable=False),
    Column("superseded", Boolean, nullable=False), _text("kind"), _text("by"), Column("note", Sealed, nullable=False),
    UniqueConstraint("clinic_id", "id"), _belongs("course_id", "courses"),
    Index(None, "clinic_id", "course_id", "date"), sqlite_autoincrement=True,
)  # fmt: skip
_only(
    "uq_decisions_evening", decisions.c.course_id, decisions.c.date,
    where=~decisions.c.superseded & (decisions.c.kind == "evening"), unique=True,
)  # fmt: skip

notices = Table(
    "notices", metadata,
    _text("clinic_id"), _text("id"), _text("person_id"), Column("kind", Word(NoticeKind), nullable=False),
    _text("key"), _time("at"), Column("facts", SealedFacts, nullable=False), Column("text", Sealed, nullable=False),
    _time("look_at", empty=True),
    _keys("id"), _belongs("person_id", "people"), UniqueConstraint("clinic_id", "key"),
    Index(None, "clinic_id", "at"), Index(None, "clinic_id", "person_id", "at"),
)  # fmt: skip
_planned("ix_notices_look", notices.c.look_at)

invitations = Table(
    "invitations", metadata,
    _text("code_hash"), _text("clinic_id"), _time("created_at"), _time("expires_at"), _text("used_by", empty=True),
    _time("used_at", empty=True), Column("note", Sealed, nullable=False),
    Column("role", Word(r.Role), nullable=False), _text("inviter_id", empty=True),
    _keys("code_hash"),
)  # fmt: skip

# of staff too: `person_id` is then theirs
dialogues = Table(
    "dialogues", metadata,
    _text("clinic_id"), _text("person_id"), _text("flow"), _text("step"), _text("check_in_id", empty=True),
    Column("facts", SealedFacts, nullable=False), _keys("person_id"),
)  # fmt: skip

# `done_at` is empty while an update waits; `dead` ones were given up
inbox = Table(
    "inbox", metadata,
    Column("id", growing_key(), primary_key=True), _text("clinic_id"), _text("channel"),
    Column("update_id", BigInteger, nullable=False), _text("address"), _time("received_at"),
    _time("turn"), Column("payload", Sealed, nullable=False), Column("tries", Integer, nullable=False),
    _time("retry_at", empty=True), _time("done_at", empty=True), Column("dead", Boolean, nullable=False),
    _text("why", empty=True),
    UniqueConstraint("clinic_id", "channel", "update_id"),
    Index(None, "clinic_id", "channel", "address"), sqlite_autoincrement=True,
)  # fmt: skip
_planned("ix_inbox_forget", inbox.c.done_at)
_only("ix_inbox_waiting", inbox.c.turn, inbox.c.id, where=inbox.c.done_at.is_(None))
_only("ix_inbox_chat", inbox.c.channel, inbox.c.address, inbox.c.update_id, where=inbox.c.done_at.is_(None))

# `done_at` is empty while a message is pending or being sent, `lease_until` filled only while it is in a sender's hand;
# `lost` ones ended without having been delivered, and no lead was told yet
outbox = Table(
    "outbox", metadata,
    Column("id", growing_key(), primary_key=True), _text("key"), _text("clinic_id"), _text("person_id"),
    _text("channel"), _text("address"), _text("kind"), Column("words", SealedWords, nullable=False),
    Column("priority", Word(r.Priority), nullable=False), _time("at"), _time("not_before", empty=True),
    _time("expires_at", empty=True), Column("state", Word(r.OutboxState), nullable=False),
    Column("tries", Integer, nullable=False), Column("unknowns", Integer, nullable=False),
    _text("owner", empty=True), _time("lease_until", empty=True), _time("done_at", empty=True),
    _text("message_id", empty=True), _text("why", empty=True), Column("forgotten", Boolean, nullable=False),
    Column("lost", Boolean, nullable=False), _text("about"), _text("notice_id"), _time("due_at", empty=True),
    UniqueConstraint("clinic_id", "key"), Index(None, "clinic_id", "person_id"),
    Index(None, "clinic_id", "channel", "address"), sqlite_autoincrement=True,
)  # fmt: skip
# each of the first three can serve its own query only: a planner with old figures would otherwise read one of them
# from end to end where it should look at one chat
_open = outbox.c.done_at.is_(None)
_only("ix_outbox_claim", outbox.c.priority, outbox.c.id, where=_open & outbox.c.lease_until.is_(None))
_only("ix_outbox_later", outbox.c.not_before, where=_open & outbox.c.not_before.is_not(None))
_only("ix_outbox_expire", outbox.c.expires_at, where=_open & outbox.c.expires_at.is_not(None))
_only("ix_outbox_chat", outbox.c.channel, outbox.c.address, where=outbox.c.done_at.is_(None))
_only("ix_outbox_lease", outbox.c.channel, outbox.c.address, where=outbox.c.lease_until.is_not(None))
_only("ix_outbox_lost", outbox.c.id, where=outbox.c.lost)
_only("ix_outbox_forget", outbox.c.done_at, where=~outbox.c.forgotten)
_only("ix_outbox_forgotten", outbox.c.done_at, where=outbox.c.forgotten.is_(True))
_only("ix_outbox_notice", outbox.c.notice_id, where=outbox.c.notice_id != "")
_only("ix_outbox_about", outbox.c.about, where=outbox.c.about != "")

# one row a clinic, in microseconds of the database server's clock
pace = Table(
    "pace", metadata,
    _text("clinic_id"), Column("next_at", BigInteger, nullable=False),
    Column("halted_until", BigInteger, nullable=False), _keys(),
)  # fmt: skip

OF: dict[type, Table] = {
    r.Clinic: clinics, r.Person: people, r.Staff: staff, r.Audit: audits, r.Note: notes, r.Task: tasks,
    r.Invitation: invitations, r.Course: courses, r.OutcomeScore: outcomes, r.GoalReview: goal_reviews,
    r.CheckIn: check_ins, r.GuidedSet: guided_sets, r.Answer: answers, r.StoredDecision: decisions, r.Notice: notices,
    r.Dialogue: dialogues, r.Update: inbox, r.Outgoing: outbox,
}  # fmt: skip
SEALED: tuple["Column[object]", ...] = tuple(
    column for table in metadata.sorted_tables for column in table.c
    if isinstance(column.type, Sealed | SealedFacts | SealedWords) or column is keyring.c.proof
)  # fmt: skip
