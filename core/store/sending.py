"""Messages in the hands of who sends them, at most one a chat at a time.

A claim is a lease on a message that still waits; just before the call the sender commits that it leaves. A lease that
runs out gives the message back: as it was when it had not left, otherwise as one whose delivery is unknown, which goes
out again. How often and for how long is the sender's to say.
"""

import datetime as dt
import functools
from collections.abc import Collection, Sequence
from typing import Any

from sqlalchemy import ColumnElement, and_, bindparam, case, literal, or_, select, text, update
from sqlalchemy.sql.dml import ReturningUpdate

from core.records import LOCKED, OutboxItem, OutboxState, Outgoing, Priority
from core.store import tables as t
from core.store.outbox import OPEN, PENDING
from core.store.transaction import Part, fields, mine

_row, _first = t.outbox, t.outbox.alias("first")
_NOW = bindparam("now", type_=t.outbox.c.at.type)
_IN_HAND = and_(OPEN, _row.c.lease_until.is_not(None))
_SENDING = and_(_IN_HAND, _row.c.state == OutboxState.SENDING)
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
_ITEM = [_row.c.id, *fields(Outgoing), _row.c.state, _row.c.tries, _row.c.unknowns]
_NONE_JUST_SENT = _none_of_this_chat(
    _first.c.state == OutboxState.SENT,
    _first.c.done_at > bindparam("quiet_since"),
    _first.c.done_at <= _NOW,  # or a clock that was set back would silence the chat until it has caught up
)
_NOT_RESTING = _row.c.address.not_in(bindparam("resting", expanding=True))
_LANES = {
    None: (),
    True: (_row.c.priority == Priority.DRAWN,),
    False: (_row.c.priority < Priority.DRAWN,),
}


@functools.cache
def _claim(drawn: bool | None, apart: bool, resting: bool) -> ReturningUpdate[Any]:
    quiet = ((_NONE_JUST_SENT,) if apart else ()) + ((_NOT_RESTING,) if resting else ())
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
        .where(_row.c.state == OutboxState.PENDING, _row.c.lease_until.is_(None), _row.c.id.in_(select(picked.c.id)))
        .values(tries=_row.c.tries + 1, owner=bindparam("sender"), lease_until=bindparam("until"))
        .returning(*_ITEM)
    )


_OURS = or_(_row.c.owner == bindparam("sender"), _row.c.owner == literal(LOCKED) + bindparam("sender"))
_OWNERS = select(_row.c.owner).where(_IN_HAND).distinct()
_RENEW = (
    update(_row)
    .where(_IN_HAND, _OURS, _row.c.id.in_(bindparam("items", expanding=True)))
    .values(lease_until=bindparam("until"))
)
_LEAVE = (
    update(_row)
    .where(
        _IN_HAND, _row.c.state == OutboxState.PENDING, _OURS,
        _row.c.id.in_(bindparam("items", expanding=True)),
    )
    .values(state=OutboxState.SENDING)
    .returning(_row.c.id)
)  # fmt: skip
_EXPIRE = (
    update(_row)
    .where(PENDING, _row.c.expires_at <= _NOW)
    .values(state=OutboxState.EXPIRED, done_at=_NOW, lost=_row.c.tries > 0)
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
    update(_row).where(*_ONE, _IN_HAND).values(state=OutboxState.PENDING, not_before=_NOW, lease_until=None)
)
_PUT_BACK = _RETRY.values(tries=_row.c.tries - 1)
_FAILED = (
    update(_row)
    .where(*_ONE)
    .values(
        state=OutboxState.FAILED, done_at=_NOW, why=bindparam("reason"), lost=bindparam("is_lost"), lease_until=None
    )
)
# a lease that ends absurdly late was given by a clock that has been set back since
_LAPSED = or_(
    _row.c.lease_until <= _NOW, _row.c.lease_until > bindparam("absurd"),
    _row.c.owner.in_(bindparam("dead", expanding=True)),
)  # fmt: skip
_LONGEST_LEASE = dt.timedelta(minutes=5)
_FREE = {"state": OutboxState.PENDING, "lease_until": None}
_AGAIN = {**_FREE, "unknowns": _row.c.unknowns + 1, "not_before": bindparam("again")}
_UNKNOWN = update(_row).where(*_ONE, _SENDING).values(**_AGAIN)
# at once after one death; whatever kills us again and again must not repeat itself in a chat every few seconds
_AFTER = (dt.timedelta(), dt.timedelta(seconds=10), dt.timedelta(minutes=1))  # judgement
_LATER = case(
    (_row.c.unknowns == 0, bindparam("after_0", type_=_row.c.at.type)),
    (_row.c.unknowns == 1, bindparam("after_1", type_=_row.c.at.type)),
    else_=bindparam("after_2", type_=_row.c.at.type),
)
_LAPSED_SENDING = update(_row).where(_SENDING, _LAPSED).values(**_AGAIN | {"not_before": _LATER})
_LAPSED_IN_HAND = update(_row).where(_IN_HAND, _row.c.state == OutboxState.PENDING, _LAPSED).values(**_FREE)


class Sending(Part):
    """The outbox's rows, from a claim to what became of it."""

    def claim(
        self,
        now: dt.datetime,
        limit: int,
        owner: str,
        lease_s: float,
        *,
        drawn: bool | None = None,
        apart_s: float = 0.0,
        resting: Sequence[str] = (),
    ) -> tuple[OutboxItem, ...]:
        """Take messages to send, replies first, at most one a chat; commit at once, then send.

        `tries` counts this claim. A later message to the same chat waits while one is being sent or tried again.
        `drawn` True takes only what takes seconds to make, False only the rest. A chat that had a message within the
        last `apart_s` waits, whoever sent it, and so do the addresses in `resting`.
        """
        self._tx.must_write()
        if self._tx.dialect == "postgresql":
            self._tx.one(_TURN)
        self._tx.change(_EXPIRE, now=now)
        until = now + dt.timedelta(seconds=lease_s)
        more: dict[str, Any] = {"quiet_since": now - dt.timedelta(seconds=apart_s)} if apart_s else {}
        if resting:
            more["resting"] = list(resting)
        claim = _claim(drawn, apart_s > 0, bool(resting))
        rows = self._tx.as_it_stands(claim, now=now, most=limit, sender=owner, until=until, **more)
        items = [
            OutboxItem(number, Outgoing(*message), state, tries, unknowns)
            for number, *message, state, tries, unknowns in rows
        ]
        return tuple(sorted(items, key=lambda item: (item.message.priority, item.id)))

    def renew(self, item_ids: Sequence[int], owner: str, until: dt.datetime) -> int:
        """Prolong the leases of what `owner` still has in hand; says how many it still had."""
        return self._tx.change(_RENEW, items=list(item_ids), sender=owner, until=until) if item_ids else 0

    def leaves(self, item_ids: Sequence[int], owner: str) -> frozenset[int]:
        """Note, just before the call, that these are being sent; only those that come back are still `owner`'s to send.

        Commit before the call: from then on their delivery is unknown until it is told.
        """
        self._tx.must_write()
        return frozenset(row[0] for row in self._tx.all(_LEAVE, items=list(item_ids), sender=owner))

    def sent(self, item_id: int, at: dt.datetime, message_id: str | None) -> None:
        self.all_sent(((item_id, at, message_id),))

    def all_sent(self, sent: Sequence[tuple[int, dt.datetime, str | None]]) -> None:
        """As `sent`, for many at once: id, moment, the service's message id."""
        self._tx.change_all(_SENT, [{"item": item, "now": at, "message": message} for item, at, message in sent])

    def retry(self, item_id: int, not_before: dt.datetime) -> None:
        """Known not to be delivered: try again from `not_before` on."""
        self._tx.change(_RETRY, item=item_id, now=not_before)

    def put_back(self, item_id: int, not_before: dt.datetime) -> None:
        """It was not tried: others wait for the same, and whoever is most urgent then goes first."""
        self._tx.change(_PUT_BACK, item=item_id, now=not_before)

    def unknown(self, item_id: int, not_before: dt.datetime) -> None:
        """It may have been delivered: again from `not_before` on."""
        self._tx.change(_UNKNOWN, item=item_id, again=not_before)

    def failed(self, item_id: int, at: dt.datetime, why: str, *, lost: bool = True) -> None:
        """Refused for good or given up; `lost` until a lead was told so. `why` must not hold the person's words."""
        self._tx.change(_FAILED, item=item_id, now=at, reason=why, is_lost=lost)

    def owners(self) -> frozenset[str]:
        """Who has anything in hand."""
        return frozenset(row.owner for row in self._tx.all(_OWNERS))

    def recover(self, now: dt.datetime, *, alone: bool = False, dead: Collection[str] = ()) -> int:
        """Take back leases that ran out, and all of the `dead`; says how many deliveries are unknown thereby.

        `alone` promises that no other process is sending: then every lease is one of a process that died.
        """
        lapsed = now + dt.timedelta(days=1) if alone else now
        which = {"now": lapsed, "absurd": lapsed + _LONGEST_LEASE, "dead": list(dead)}
        self._tx.change(_LAPSED_IN_HAND, **which)
        later = {f"after_{deaths}": now + pause for deaths, pause in enumerate(_AFTER)}
        return self._tx.change(_LAPSED_SENDING, **which, **later)
