"""Messages to send, as those see them who queue them; `sending` has what their senders do.

Keys stay unique: `forget` empties what was sent to a person but keeps the row with its key, except for replies, whose
keys cannot come again because the update they answer is finished; those rows go at once, the others after three months.
"""

import datetime as dt
from collections.abc import Sequence

from sqlalchemy import and_, bindparam, delete, or_, select, update

from core.records import Box, Lost, OutboxState, Outgoing, Priority, Worded
from core.store import tables as t
from core.store.columns import NO_WORDS
from core.store.transaction import Part, mine, rows

_row = t.outbox
_NOW = bindparam("now", type_=t.outbox.c.at.type)
OPEN = and_(mine(_row), _row.c.done_at.is_(None))
PENDING = and_(OPEN, _row.c.state == OutboxState.PENDING, _row.c.lease_until.is_(None))
WAITING = rows(Outgoing, "person_id").where(PENDING)
_LOST = (
    select(_row.c.id, _row.c.kind, _row.c.priority, _row.c.at, _row.c.done_at)
    .where(mine(_row), _row.c.lost)
    .order_by(_row.c.id)
    .limit(bindparam("most"))
)
_TOLD = update(_row).where(mine(_row), _row.c.id.in_(bindparam("items", expanding=True))).values(lost=False)
_STATE = select(_row.c.state, _row.c.unknowns).where(mine(_row), _row.c.key == bindparam("wanted"))
_WORD = (
    update(_row)
    .where(mine(_row), _row.c.key == bindparam("wanted"), ~_row.c.forgotten)
    .values(words=bindparam("said", type_=_row.c.words.type))
)
_ARRIVED_AS = select(_row.c.message_id).where(
    mine(_row), _row.c.key == bindparam("wanted"), _row.c.state == OutboxState.SENT
)
_LAST = (
    rows(Outgoing, "channel", "address")
    .where(~_row.c.forgotten, _row.c.state.in_((OutboxState.PENDING, OutboxState.SENDING, OutboxState.SENT)))
    .order_by(_row.c.id.desc())
    .limit(bindparam("most"))
)
_CANCEL = (
    update(_row)
    .where(PENDING, _row.c.person_id == bindparam("person"), _row.c.kind.in_(bindparam("kinds", expanding=True)))
    .values(state=OutboxState.EXPIRED, done_at=_row.c.at)
)
_CANCEL_OF_COURSE = _CANCEL.where(_row.c.key.contains(bindparam("course")))
_CANCEL_TO = (
    update(_row)
    .where(
        OPEN, _row.c.state == OutboxState.PENDING, _row.c.person_id == bindparam("person"),
        (bindparam("which") == "") | (_row.c.about == bindparam("which")),
    )
    .values(state=OutboxState.EXPIRED, done_at=_row.c.at, lease_until=None)
)  # fmt: skip
_CANCEL_PATIENT = _CANCEL_TO.where(_row.c.priority != Priority.DANGER)
_WAYS = select(_row.c.person_id, _row.c.state).where(
    mine(_row), _row.c.notice_id == bindparam("which"), _row.c.notice_id != ""
)
_OLD = (mine(_row), _row.c.done_at < bindparam("since"), ~_row.c.forgotten)
_FORGET_REPLIES = delete(_row).where(*_OLD, _row.c.priority == Priority.REPLY)
_FORGET = update(_row).where(*_OLD).values(words=NO_WORDS, address="", about="", forgotten=True)
_FORGET_KEYS = delete(_row).where(mine(_row), _row.c.done_at < bindparam("since"), _row.c.forgotten.is_(True))
KEYS_KEPT = dt.timedelta(days=90)  # judgement: nothing that is asked, decided or told comes up again after so long
# two looks by partial indexes: what could leave now, and what is in some sender's hand
_ANY_MESSAGE = select(
    select(_row.c.id)
    .where(mine(_row), _row.c.done_at.is_(None), or_(_row.c.not_before.is_(None), _row.c.not_before <= _NOW))
    .exists()
    | select(_row.c.id).where(mine(_row), _row.c.lease_until.is_not(None)).exists()
)


class Outbox(Part):
    """Rows about what goes out."""

    def put(self, message: Outgoing) -> bool:
        self._tx.left.add(Box.OUT)
        return self._tx.add_new(
            message, state=OutboxState.PENDING, tries=0, unknowns=0, forgotten=False, lost=False
        )

    def word(self, key: str, words: Worded) -> None:
        """The words of a message that could be worded only when it was drawn."""
        self._tx.change(_WORD, wanted=key, said=words)

    def cancel(self, person_id: str, kinds: Sequence[str], course_id: str = "") -> int:
        """Let messages of these kinds expire that nobody has begun to send; their keys stay taken.

        With `course_id` only those whose key names that course.
        """
        if self._tx.kept(Outgoing, WAITING, person_id=person_id) == ():
            return 0
        if course_id:
            return self._tx.change(_CANCEL_OF_COURSE, person=person_id, kinds=list(kinds), course=f":{course_id}:")
        return self._tx.change(_CANCEL, person=person_id, kinds=list(kinds))

    def cancel_to(self, person_id: str, about: str = "", *, but_danger: bool = False) -> int:
        """Let everything expire that waits for this chat and has not left, or only what is about one patient."""
        return self._tx.change(_CANCEL_PATIENT if but_danger else _CANCEL_TO, person=person_id, which=about)

    def ways_of(self, notice_id: str) -> tuple[tuple[str, OutboxState], ...]:
        """Whom this notice was queued for, and how far each message has come."""
        return tuple((row[0], row[1]) for row in self._tx.as_it_stands(_WAYS, which=notice_id))

    def state(self, key: str) -> OutboxState | None:
        """How far a message has come; UNKNOWN while it waits to go out once more. None for an unknown key."""
        row = self._tx.one(_STATE, wanted=key)
        if row is None:
            return None
        state: OutboxState = row.state
        return OutboxState.UNKNOWN if state is OutboxState.PENDING and row.unknowns else state

    def arrived_as(self, key: str) -> str | None:
        """What the channel calls the message of that key, "" where it does not say; None while it has not arrived."""
        row = self._tx.one(_ARRIVED_AS, wanted=key)
        return (row.message_id or "") if row else None

    def latest(self, channel: str, address: str, limit: int) -> tuple[Outgoing, ...]:
        """The latest messages to a chat that were sent or soon will be, the latest first."""
        return self._tx.standing(Outgoing, _LAST, channel=channel, address=address, most=limit)

    def waits(self, now: dt.datetime) -> bool:
        """Whether a message could leave, or is in somebody's hand; without a lock."""
        row = self._tx.one(_ANY_MESSAGE, now=now)
        return bool(row and row[0])

    def lost(self, limit: int = 1000) -> tuple[Lost, ...]:
        """What was given up and not yet told to a lead, oldest first."""
        return self._tx.standing(Lost, _LOST, most=limit)

    def lost_told(self, item_ids: Sequence[int]) -> None:
        self._tx.change(_TOLD, items=list(item_ids))

    def forget(self, before: dt.datetime) -> int:
        """Forget what messages finished before said and to whom; says how many (see the top of this module)."""
        gone = self._tx.change(_FORGET_KEYS, since=before - KEYS_KEPT) + self._tx.change(_FORGET_REPLIES, since=before)
        return gone + self._tx.change(_FORGET, since=before)
