"""Outgoing messages: stored with the decision that caused them, sent afterwards, at most one a chat at a time.

A claim is a lease: the sender commits it, sends, then reports. A lease that runs out leaves the delivery
unknown: the message goes out once more, a second time it fails. Keys stay unique: `forget_outbox` empties what
was sent to a person but keeps the row with its key, except for replies, whose keys cannot come again because the update
they answer is finished; those rows go.
"""

import datetime as dt
import functools
from collections.abc import Sequence
from typing import Any

from sqlalchemy import ColumnElement, Update, and_, bindparam, delete, or_, select, text, update
from sqlalchemy.sql.dml import ReturningUpdate

from core.records import OutboxItem, OutboxState, Outgoing, Priority
from core.store import tables as t
from core.store.transaction import Transaction, fields, insert_new, mine, values

_row, _first = t.outbox, t.outbox.alias("first")
_NOW = bindparam("now", type_=t.outbox.c.at.type)
_OPEN = and_(mine(_row), _row.c.done_at.is_(None))
PENDING = and_(_OPEN, _row.c.state == OutboxState.PENDING, _row.c.lease_until.is_(None))
_SENDING = and_(_OPEN, _row.c.state == OutboxState.SENDING)
_DUE = or_(_row.c.not_before.is_(None), _row.c.not_before <= _NOW)
_SAME_CHAT = and_(
    _first.c.clinic_id == _row.c.clinic_id, _first.c.channel == _row.c.channel,
    _first.c.address == _row.c.address,
)  # fmt: skip


def _none_of_this_chat(*which: ColumnElement[bool]) -> ColumnElement[bool]:
    """Whether no row of the same chat is like that.

    Looked up for each candidate; NOT EXISTS would become a join, for which PostgreSQL, told that hardly anything
    waits, reads the whole queue once for each message.
    """
    found = select(_first.c.id).where(_SAME_CHAT, *which).limit(1).correlate(_row)
    return found.scalar_subquery().is_(None)


NONE_IN_FLIGHT = _none_of_this_chat(_first.c.lease_until.is_not(None))
# one that waits for another try keeps its place; one that is planned for later does not hold up others
_NOT_OVERTAKEN = _none_of_this_chat(
    _first.c.done_at.is_(None),
    _first.c.state == OutboxState.PENDING,
    or_(_first.c.not_before.is_(None), _first.c.not_before <= _NOW, _first.c.tries > 0),
    or_(
        _first.c.priority < _row.c.priority,
        and_(_first.c.priority == _row.c.priority, _first.c.id < _row.c.id),
    ),
)
_ITEM = [_row.c.id, *fields(_row, Outgoing), _row.c.state, _row.c.tries, _row.c.unknowns]
_NONE_JUST_SENT = _none_of_this_chat(
    _first.c.state == OutboxState.SENT,
    _first.c.done_at > bindparam("quiet_since"),
    _first.c.done_at <= _NOW,  # or a clock that was set back would silence the chat until it has caught up
)
_LANES = {
    None: (),
    True: (_row.c.priority == Priority.DRAWN,),
    False: (_row.c.priority < Priority.DRAWN,),
}


@functools.cache
def _claim(drawn: bool | None, apart: bool) -> ReturningUpdate[Any]:
    quiet = (_NONE_JUST_SENT,) if apart else ()
    # a common table expression: PostgreSQL may run a plain sub-select again for each row, past its limit
    picked = (
        select(_row.c.id)
        .where(PENDING, _DUE, *_LANES[drawn], NONE_IN_FLIGHT, _NOT_OVERTAKEN, *quiet)
        .order_by(_row.c.priority, _row.c.id)
        .limit(bindparam("most"))
        .with_for_update(skip_locked=True)
        .cte("picked")
    )
    return (
        update(_row)
        .where(_row.c.state == OutboxState.PENDING, _row.c.id.in_(select(picked.c.id)))
        .values(
            state=OutboxState.SENDING, tries=_row.c.tries + 1, owner=bindparam("sender"), lease_until=bindparam("until")
        )
        .returning(*_ITEM)
    )


_RENEW = (
    update(_row)
    .where(_SENDING, _row.c.owner == bindparam("sender"), _row.c.id.in_(bindparam("items", expanding=True)))
    .values(lease_until=bindparam("until"))
)
_EXPIRE = (
    update(_row).where(PENDING, _row.c.expires_at <= _NOW).values(state=OutboxState.EXPIRED, done_at=_NOW)
)
# a claim looks at its neighbours in the same chat, so claimers take turns; each takes milliseconds
_TURN = text("SELECT pg_advisory_xact_lock(hashtextextended('outbox ' || :clinic, 0))")
_ONE = (mine(_row), _row.c.id == bindparam("item"))
_SENT = (
    update(_row)
    .where(*_ONE)
    .values(state=OutboxState.SENT, done_at=_NOW, message_id=bindparam("message"), lease_until=None)
)
_RETRY = (
    update(_row)
    .where(*_ONE, _row.c.state == OutboxState.SENDING)
    .values(state=OutboxState.PENDING, not_before=_NOW, lease_until=None)
)
_FAILED = (
    update(_row)
    .where(*_ONE)
    .values(state=OutboxState.FAILED, done_at=_NOW, why=bindparam("reason"), lease_until=None)
)
_STATE = select(_row.c.state, _row.c.unknowns).where(mine(_row), _row.c.key == bindparam("wanted"))
_TWICE = "its delivery was unknown twice"
# a lease that ends absurdly late was given by a clock that has been set back since
_LAPSED = (_SENDING, or_(_row.c.lease_until <= _NOW, _row.c.lease_until > bindparam("absurd")))
_LONGEST_LEASE = dt.timedelta(minutes=5)


def _once_more(*which: object) -> Update:
    return (
        update(_row)
        .where(*which, _row.c.unknowns == 0)  # type: ignore[arg-type]
        .values(state=OutboxState.PENDING, unknowns=1, not_before=bindparam("later"), lease_until=None)
    )


def _give_up(*which: object) -> Update:
    return (
        update(_row)
        .where(*which, _row.c.unknowns > 0)  # type: ignore[arg-type]
        .values(state=OutboxState.FAILED, done_at=bindparam("later"), why=_TWICE, lease_until=None)
    )


_CANCEL = (
    update(_row)
    .where(PENDING, _row.c.person_id == bindparam("person"), _row.c.kind.in_(bindparam("kinds", expanding=True)))
    .values(state=OutboxState.EXPIRED, done_at=_row.c.at)
)
_OLD = (mine(_row), _row.c.done_at < bindparam("since"), ~_row.c.forgotten)
_FORGET_REPLIES = delete(_row).where(*_OLD, _row.c.priority == Priority.REPLY)
_FORGET = update(_row).where(*_OLD).values(facts={}, address="", about="", forgotten=True)


class Outbox(Transaction):
    """Rows about what goes out."""

    def enqueue(self, message: Outgoing) -> bool:
        new = insert_new(self._dialect, t.outbox, ("clinic_id", "key"))
        fresh = {"state": OutboxState.PENDING, "tries": 0, "unknowns": 0, "forgotten": False}
        return self._insert(new, {**values(message), **fresh})

    def cancel_pending(self, person_id: str, kinds: Sequence[str]) -> int:
        """Let messages of these kinds expire that nobody has begun to send; their keys stay taken."""
        return self._change(_CANCEL, person=person_id, kinds=list(kinds))

    def claim_outbox(
        self,
        now: dt.datetime,
        limit: int,
        owner: str,
        lease_s: float,
        *,
        drawn: bool | None = None,
        apart_s: float = 0.0,
    ) -> tuple[OutboxItem, ...]:
        """Take messages to send, replies first, at most one a chat; commit at once, then send.

        `tries` counts this claim. A later message to the same chat waits while one is being sent or tried again.
        `drawn` True takes only what takes seconds to make, False only the rest. A chat that had a message within the
        last `apart_s` waits, whoever sent it.
        """
        self._must_write()
        if self._dialect == "postgresql":
            self._one(_TURN)
        self._change(_EXPIRE, now=now)
        until = now + dt.timedelta(seconds=lease_s)
        more = {"quiet_since": now - dt.timedelta(seconds=apart_s)} if apart_s else {}
        rows = self._all(_claim(drawn, apart_s > 0), now=now, most=limit, sender=owner, until=until, **more)
        items = [
            OutboxItem(number, Outgoing(*message), state, tries, unknowns)
            for number, *message, state, tries, unknowns in rows
        ]
        return tuple(sorted(items, key=lambda item: (item.message.priority, item.id)))

    def renew_outbox(self, item_ids: Sequence[int], owner: str, until: dt.datetime) -> int:
        """Prolong the leases of what `owner` still has in hand; says how many it still had."""
        return self._change(_RENEW, items=list(item_ids), sender=owner, until=until) if item_ids else 0

    def outbox_sent(self, item_id: int, at: dt.datetime, message_id: str | None) -> None:
        self.outbox_all_sent(((item_id, at, message_id),))

    def outbox_all_sent(self, sent: Sequence[tuple[int, dt.datetime, str | None]]) -> None:
        """As `outbox_sent`, for many at once: id, moment, the service's message id."""
        self._change_all(_SENT, [{"item": item, "now": at, "message": message} for item, at, message in sent])

    def outbox_retry(self, item_id: int, not_before: dt.datetime) -> None:
        """Known not to be delivered: try again from `not_before` on."""
        self._change(_RETRY, item=item_id, now=not_before)

    def outbox_unknown(self, item_id: int, not_before: dt.datetime) -> None:
        """It may have been delivered: once more from `not_before` on; the second time it fails."""
        if not self._change(_once_more(*_ONE, _SENDING), item=item_id, later=not_before):
            self._change(_give_up(*_ONE, _SENDING), item=item_id, later=not_before)

    def outbox_failed(self, item_id: int, at: dt.datetime, why: str) -> None:
        """Refused for good; `why` must not hold the person's words."""
        self._change(_FAILED, item=item_id, now=at, reason=why)

    def message_state(self, key: str) -> OutboxState | None:
        """How far a message has come; UNKNOWN while it waits to go out once more. None for an unknown key."""
        row = self._one(_STATE, wanted=key)
        if row is None:
            return None
        state: OutboxState = row.state
        return OutboxState.UNKNOWN if state is OutboxState.PENDING and row.unknowns else state

    def recover_outbox(self, now: dt.datetime, *, alone: bool = False) -> int:
        """Take back leases that ran out, as unknown deliveries; says how many.

        `alone` promises that no other process is sending: then every lease is one of a process that died.
        """
        lapsed = now + dt.timedelta(days=1) if alone else now
        which = {"now": lapsed, "absurd": lapsed + _LONGEST_LEASE, "later": now}
        return self._change(_give_up(*_LAPSED), **which) + self._change(_once_more(*_LAPSED), **which)

    def forget_outbox(self, before: dt.datetime) -> int:
        """Forget what finished messages said and to whom; says how many (see the top of this module)."""
        replies = self._change(_FORGET_REPLIES, since=before)
        return replies + self._change(_FORGET, since=before)
