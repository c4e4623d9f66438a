"""The one pace of sending that several processes on one database share.

It is one row: when the next message of the whole clinic may leave. It runs on the database server's own clock, so that
hosts whose clocks differ cannot send faster together.
"""

from sqlalchemy import BigInteger, bindparam, case, cast, func, literal_column, select, update

from core.records import Turns
from core.store import tables as t
from core.store.transaction import Transaction, insert_new, mine

AHEAD_US = 5_000_000  # so far ahead no turn is ever given
LONGEST_HALT_US = 24 * 3600 * 1_000_000

_SERVER_US = {
    "postgresql": cast(func.extract("epoch", func.clock_timestamp()) * 1_000_000, BigInteger),
    "sqlite": literal_column("CAST((julianday('now') - 2440587.5) * 86400000000 AS INTEGER)", BigInteger),
}
_PACE = {
    dialect: select(t.pace.c.next_at, t.pace.c.halted_until, now.label("now")).where(mine(t.pace)).with_for_update()
    for dialect, now in _SERVER_US.items()
}
_NEXT = update(t.pace).where(mine(t.pace)).values(next_at=bindparam("then"))
_HALT = {
    dialect: update(t.pace)
    .where(mine(t.pace))
    .values(
        halted_until=case(
            (t.pace.c.halted_until > now + bindparam("pause"), t.pace.c.halted_until), else_=now + bindparam("pause")
        )
    )
    for dialect, now in _SERVER_US.items()
}


class Sharing(Transaction):
    """The row about how fast all may send together."""

    def take_turns(self, count: int, gap_s: float, ahead_s: float) -> Turns:
        """Take up to `count` turns at sending, `gap_s` apart from each other and from all others' turns.

        Only turns within the next `ahead_s` are given; Turns says how many and when, from now, the first is.
        """
        now, start, halted = self._pace()
        first, gap, ahead = max(start, halted), int(gap_s * 1e6), now + int(ahead_s * 1e6)
        given = min(count, 1 + (ahead - first) // max(gap, 1)) if first <= ahead else 0
        if given:
            self._change(_NEXT, then=first + given * gap)
        return Turns(given, (first - now) / 1e6, max(0, halted - now) / 1e6)

    def halt_turns(self, seconds: float) -> None:
        """Give no turn within the next `seconds`; of several halts the latest end holds."""
        self._pace()
        self._change(_HALT[self._dialect], pause=int(seconds * 1e6))

    def _pace(self) -> tuple[int, int, int]:
        """The server's now, the next turn, the end of a halt, in microseconds; locked until the unit ends."""
        self._must_write()
        row = self._one(_PACE[self._dialect])
        if row is None:
            self._insert(insert_new(self._dialect, t.pace, ("clinic_id",)), {"next_at": 0, "halted_until": 0})
            row = self._one(_PACE[self._dialect])
            assert row is not None
        # a server clock that was set back must not stop all sending until it has caught up
        start = row.next_at if row.next_at < row.now + AHEAD_US else row.now
        halted = row.halted_until if row.halted_until < row.now + LONGEST_HALT_US else 0
        return row.now, max(start, row.now), halted
