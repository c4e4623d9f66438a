"""Staff: therapists and leads, whose patients are whose, the trail, notes, outcome scores, overrides.

Columns are added in place, with a default where none may be empty: nothing is copied however long the tables are,
and a process of the version before can go on writing meanwhile.
"""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    _staff()
    _audits()
    _notes()
    _outcomes()
    _people()
    _decisions()
    _notices()
    _invitations()
    _dialogues()
    _outbox()


def _texts(*names: str) -> list[sa.Column[str]]:
    return [sa.Column(name, sa.Text(), nullable=False) for name in names]


def _time(name: str, *, empty: bool = False) -> sa.Column[int]:
    return sa.Column(name, sa.BigInteger(), nullable=empty)


def _number(name: str, *, empty: bool = False) -> sa.Column[int]:
    return sa.Column(name, sa.Integer(), nullable=empty)


def _yes_no(name: str) -> sa.Column[bool]:
    return sa.Column(name, sa.Boolean(), nullable=False)


def _score(name: str, *, empty: bool = True) -> sa.Column[float]:
    return sa.Column(name, sa.Double(), nullable=empty)


def _key(table: str, *columns: str) -> sa.PrimaryKeyConstraint:
    return sa.PrimaryKeyConstraint(*columns, name=f"pk_{table}")


def _belongs(table: str, column: str, parent: str) -> sa.ForeignKeyConstraint:
    return sa.ForeignKeyConstraint(
        ["clinic_id", column], [f"{parent}.clinic_id", f"{parent}.id"], name=f"fk_{table}_{parent}"
    )


def _index(table: str, *columns: str) -> None:
    op.create_index(f"ix_{table}_clinic_id_{'_'.join(columns)}", table, ["clinic_id", *columns])


def _partial(name: str, table: str, column: str, *, where: sa.ColumnElement[bool]) -> None:
    op.create_index(name, table, ["clinic_id", column], sqlite_where=where, postgresql_where=where)


def _filled(column: str) -> sa.ColumnElement[bool]:
    return sa.column(column).is_not(None)


def _add(table: str, column: str, *, default: str | None = None) -> None:
    """Add a text; without a default it may be empty."""
    op.add_column(table, sa.Column(column, sa.Text(), nullable=default is None, server_default=default))


def _staff() -> None:
    op.create_table(
        "staff",
        *_texts("clinic_id", "id", "channel", "address", "name"), _yes_no("lead"), _yes_no("therapist"),
        *_texts("language", "zone"), _time("created_at"), _yes_no("confirmed"), _number("digest_weekday"),
        sa.Column("digest_time", sa.Time(), nullable=False), _time("next_digest", empty=True),
        _time("left_at", empty=True),
        _key("staff", "clinic_id", "id"),
        sa.UniqueConstraint("clinic_id", "channel", "address", name="uq_staff_clinic_id_channel_address"),
    )  # fmt: skip
    _partial("ix_staff_due", "staff", "next_digest", where=_filled("next_digest"))


def _audits() -> None:
    op.create_table(
        "audits",
        sa.Column("id", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        *_texts("clinic_id", "staff_id"), _time("at"), *_texts("action"), sa.Column("person_id", sa.Text()),
        *_texts("detail"), _key("audits", "id"), sqlite_autoincrement=True,
    )  # fmt: skip
    _index("audits", "at")
    _index("audits", "person_id", "at")


def _notes() -> None:
    op.create_table(
        "notes",
        *_texts("clinic_id", "id", "person_id", "staff_id"), _time("at"), *_texts("text"),
        _key("notes", "clinic_id", "id"), _belongs("notes", "person_id", "people"),
    )  # fmt: skip
    _index("notes", "person_id", "at")


def _outcomes() -> None:
    op.create_table(
        "outcomes",
        *_texts("clinic_id", "id", "person_id", "course_id"), _time("at"), _number("week"),
        _score("total", empty=False), _score("pain"), _score("function"), _number("answered", empty=True),
        _key("outcomes", "clinic_id", "id"), _belongs("outcomes", "course_id", "courses"),
    )  # fmt: skip
    _index("outcomes", "person_id", "at")


def _people() -> None:
    _add("people", "therapist_id")
    _partial("ix_people_therapist", "people", "therapist_id", where=_filled("therapist_id"))


def _decisions() -> None:
    _add("decisions", "by", default="")
    _add("decisions", "note", default="")


def _notices() -> None:
    """Those about one person are read newest first."""
    op.drop_index("ix_notices_clinic_id_person_id", "notices")
    _index("notices", "person_id", "at")


def _invitations() -> None:
    _add("invitations", "role", default="patient")
    _add("invitations", "inviter_id")


def _dialogues() -> None:
    """Staff have dialogues too, so that the key need not be a patient's any more."""
    with op.batch_alter_table("dialogues") as dialogues:
        dialogues.drop_constraint("fk_dialogues_people", type_="foreignkey")


def _outbox() -> None:
    _add("outbox", "about", default="")
    _partial("ix_outbox_about", "outbox", "about", where=sa.column("about", sa.Text()) != "")
