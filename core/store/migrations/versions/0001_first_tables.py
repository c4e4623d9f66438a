"""First tables: people and their diary, decisions and notices, what came in and what goes out.

Written out in plain types, apart from core.store.tables, so that it stays as it is when the tables move on.
"""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    _clinic()
    _people()
    _diary()
    _decisions()
    _inbox()
    _outbox()


def _text(name: str, *, empty: bool = False) -> sa.Column[str]:
    return sa.Column(name, sa.Text(), nullable=empty)


def _texts(*names: str) -> list[sa.Column[str]]:
    return [_text(name) for name in names]


def _time(name: str, *, empty: bool = False) -> sa.Column[int]:
    return sa.Column(name, sa.BigInteger(), nullable=empty)


def _number(name: str, *, empty: bool = False) -> sa.Column[int]:
    return sa.Column(name, sa.Integer(), nullable=empty)


def _growing(name: str) -> sa.Column[int]:
    return sa.Column(name, sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False)


def _key(table: str, *columns: str) -> sa.PrimaryKeyConstraint:
    return sa.PrimaryKeyConstraint(*columns, name=f"pk_{table}")


def _unique(table: str, *columns: str) -> sa.UniqueConstraint:
    return sa.UniqueConstraint("clinic_id", *columns, name=f"uq_{table}_clinic_id_{'_'.join(columns)}")


def _belongs(table: str, column: str, parent: str) -> sa.ForeignKeyConstraint:
    return sa.ForeignKeyConstraint(
        ["clinic_id", column], [f"{parent}.clinic_id", f"{parent}.id"], name=f"fk_{table}_{parent}"
    )


def _index(table: str, *columns: str) -> None:
    op.create_index(f"ix_{table}_clinic_id_{'_'.join(columns)}", table, ["clinic_id", *columns])


def _partial(name: str, table: str, *columns: str, where: sa.ColumnElement[bool], unique: bool = False) -> None:
    op.create_index(
        name, table, ["clinic_id", *columns], unique=unique, sqlite_where=where, postgresql_where=where
    )


def _filled(column: str) -> sa.ColumnElement[bool]:
    return sa.column(column).is_not(None)


def _blank(column: str) -> sa.ColumnElement[bool]:
    return sa.column(column).is_(None)


def _no(column: str) -> sa.ColumnElement[bool]:
    return ~sa.column(column, sa.Boolean())


def _clinic() -> None:
    op.create_table("keyring", *_texts("clinic_id", "proof"), _key("keyring", "clinic_id"))
    op.create_table("clinics", *_texts("id", "name", "zone", "language", "emergency"), _key("clinics", "id"))
    op.create_table(
        "programmes", *_texts("clinic_id", "version", "text"), _time("at"),
        _key("programmes", "clinic_id", "version"),
    )  # fmt: skip
    op.create_table(
        "invitations",
        *_texts("code_hash", "clinic_id"), _time("created_at"), _time("expires_at"),
        _text("used_by", empty=True), _time("used_at", empty=True), _text("note"),
        _key("invitations", "clinic_id", "code_hash"),
    )  # fmt: skip


def _people() -> None:
    op.create_table(
        "people",
        *_texts("clinic_id", "id", "channel", "address", "language", "zone"),
        sa.Column("evening", sa.Time(), nullable=False), _text("status"), _time("created_at"), _text("name"),
        _time("next_due", empty=True), sa.Column("next_date", sa.Date()), sa.Column("away_since", sa.Date()),
        sa.Column("away_until", sa.Date()),
        _key("people", "clinic_id", "id"), _unique("people", "channel", "address"),
    )  # fmt: skip
    _partial("ix_people_due", "people", "next_due", where=_filled("next_due"))
    op.create_table(
        "dialogues",
        *_texts("clinic_id", "person_id", "flow", "step"), _text("check_in_id", empty=True), _text("facts"),
        _key("dialogues", "clinic_id", "person_id"), _belongs("dialogues", "person_id", "people"),
    )  # fmt: skip


def _diary() -> None:
    op.create_table(
        "courses",
        *_texts("clinic_id", "id", "person_id", "elbow", "programme_version", "episode"),
        _time("ended_at", empty=True),
        _key("courses", "clinic_id", "id"), _belongs("courses", "person_id", "people"),
    )  # fmt: skip
    _index("courses", "person_id")
    _partial("uq_courses_open", "courses", "person_id", where=_blank("ended_at"), unique=True)
    op.create_table(
        "check_ins",
        *_texts("clinic_id", "id", "course_id", "person_id"), sa.Column("date", sa.Date(), nullable=False),
        _text("state"), _time("due_at"), _number("sets_asked"), _number("pain", empty=True),
        _number("sets_done", empty=True), _text("flag", empty=True), _time("answered_at", empty=True),
        _time("remind_at", empty=True), _time("close_at", empty=True),
        _key("check_ins", "clinic_id", "id"), _belongs("check_ins", "course_id", "courses"),
        _unique("check_ins", "course_id", "date"),
    )  # fmt: skip
    _partial("ix_check_ins_remind", "check_ins", "remind_at", where=_filled("remind_at"))
    _partial("ix_check_ins_close", "check_ins", "close_at", where=_filled("close_at"))
    op.create_table(
        "answers",
        _growing("id"), *_texts("clinic_id", "check_in_id", "person_id"), _time("at"), _number("pain", empty=True),
        _number("sets_done", empty=True), _text("flag", empty=True), _text("source"),
        _text("message_id", empty=True),
        _key("answers", "id"), _belongs("answers", "check_in_id", "check_ins"), sqlite_autoincrement=True,
    )  # fmt: skip
    _index("answers", "person_id", "message_id")
    _index("answers", "check_in_id")


def _decisions() -> None:
    op.create_table(
        "decisions",
        _growing("number"), *_texts("clinic_id", "id", "course_id"), sa.Column("date", sa.Date(), nullable=False),
        _time("made_at"), *_texts("before", "decision"), sa.Column("superseded", sa.Boolean(), nullable=False),
        _text("kind"),
        _key("decisions", "number"), _unique("decisions", "id"), _belongs("decisions", "course_id", "courses"),
        sqlite_autoincrement=True,
    )  # fmt: skip
    _index("decisions", "course_id", "date")
    live_evening = _no("superseded") & (sa.column("kind", sa.Text()) == "evening")
    _partial("uq_decisions_evening", "decisions", "course_id", "date", where=live_evening, unique=True)
    op.create_table(
        "notices",
        *_texts("clinic_id", "id", "person_id", "kind", "key"), _time("at"), *_texts("facts", "text"),
        _key("notices", "clinic_id", "id"), _belongs("notices", "person_id", "people"), _unique("notices", "key"),
    )  # fmt: skip
    _index("notices", "at")
    _index("notices", "person_id")


def _inbox() -> None:
    op.create_table(
        "inbox",
        _growing("id"), *_texts("clinic_id", "channel"), sa.Column("update_id", sa.BigInteger(), nullable=False),
        _text("address"), _time("received_at"), _text("payload"), _number("tries"), _time("retry_at", empty=True),
        _time("done_at", empty=True), sa.Column("dead", sa.Boolean(), nullable=False), _text("why", empty=True),
        _key("inbox", "id"), _unique("inbox", "channel", "update_id"), sqlite_autoincrement=True,
    )  # fmt: skip
    _index("inbox", "channel", "address")
    _partial("ix_inbox_forget", "inbox", "done_at", where=_filled("done_at"))
    _partial("ix_inbox_waiting", "inbox", "id", where=_blank("done_at"))
    _partial("ix_inbox_chat", "inbox", "channel", "address", "update_id", where=_blank("done_at"))


def _outbox() -> None:
    op.create_table(
        "outbox",
        _growing("id"), *_texts("key", "clinic_id", "person_id", "channel", "address", "kind", "facts", "priority"),
        _time("at"), _time("not_before", empty=True), _time("expires_at", empty=True), _text("state"),
        _number("tries"), _number("unknowns"), _text("owner", empty=True), _time("lease_until", empty=True),
        _time("done_at", empty=True), _text("message_id", empty=True), _text("why", empty=True),
        sa.Column("forgotten", sa.Boolean(), nullable=False),
        _key("outbox", "id"), _unique("outbox", "key"), sqlite_autoincrement=True,
    )  # fmt: skip
    _index("outbox", "person_id")
    _index("outbox", "channel", "address")
    _partial("ix_outbox_claim", "outbox", "priority", "id", where=_blank("done_at"))
    _partial("ix_outbox_later", "outbox", "not_before", where=_blank("done_at"))
    _partial("ix_outbox_expire", "outbox", "expires_at", where=_blank("done_at"))
    _partial("ix_outbox_chat", "outbox", "channel", "address", where=_blank("done_at"))
    _partial("ix_outbox_lease", "outbox", "channel", "address", where=_filled("lease_until"))
    _partial("ix_outbox_forget", "outbox", "done_at", where=_no("forgotten"))
