"""The rows of the fault table: what is done, on which database, to how many processes."""

import asyncio
from collections.abc import Sequence
from dataclasses import dataclass, field

from tests.faults import troubles as f
from tests.faults.trial import Counts, Fault, run
from tests.postgres import Cluster


@dataclass(frozen=True)
class Row:
    """One trial. `processes` 0 means one on SQLite, otherwise so many on PostgreSQL."""

    name: str
    faults: Sequence[Fault] = field(repr=False)
    processes: int = 0
    poison: bool = False
    people: int = 6
    own_server: bool = False
    quick: bool = False  # shorter pauses and leases than the program's

    @property
    def where(self) -> str:
        return f"PostgreSQL, {self.processes}" if self.processes else "SQLite, 1"


EVERYTHING_ON_THE_WIRE = (
    f.cut_before(2), f.cut_after(2), f.too_fast(1), f.broken_front(1), f.broken_polls(2), f.cut_polls(1), f.repeated(),
    f.shuffled(), f.blocked, f.poisonous,
)  # fmt: skip

# Together these touch every fault in half a minute, side by side.
SHORT = (
    Row("everything on the wire", EVERYTHING_ON_THE_WIRE, poison=True, people=5, quick=True),
    Row("disk full, clock set", (f.full_disk(1), f.stepped_clock(2)), people=4, quick=True),
    Row(
        "SIGKILL, clock set", (f.killed(2), f.late_answers, f.stepped_clock(2, most_s=200)), processes=2, people=5,
        quick=True,
    ),
    Row("database restarted", (f.restarted(1),), processes=2, people=4, own_server=True, quick=True),
)  # fmt: skip

# Each by itself and more often.
LONG = (
    Row("SIGKILL", (f.killed(12), f.late_answers), people=12),
    Row("SIGKILL", (f.killed(12), f.late_answers), processes=3, people=12),
    Row("connection cut before a send", (f.cut_before(8),), people=12),
    Row("connection cut after a send", (f.cut_after(8),), people=12),
    Row("connection cut after a send", (f.cut_after(8),), processes=3, people=12),
    Row("429 with waits", (f.too_fast(6),), people=12),
    Row("429 with waits", (f.too_fast(6),), processes=3, people=12),
    Row("5xx in bursts", (f.broken_front(5), f.broken_polls(5)), people=12),
    Row("403", (f.blocked,), people=12),
    Row("polls cut", (f.cut_polls(8),), people=12),
    Row("the same update again", (f.repeated(40),), people=12),
    Row("the same update again", (f.repeated(40),), processes=3, people=12),
    Row("updates out of order", (f.shuffled(60),), people=12),
    Row("a poisonous update each", (f.poisonous,), poison=True, people=12),
    Row("disk full", (f.full_disk(4),), people=12),
    Row("clock set back and forth", (f.stepped_clock(8),), people=12),
    Row("clock set back and forth", (f.stepped_clock(8),), processes=3, people=12),
    Row("database restarted", (f.restarted(4), f.late_answers), processes=3, people=12, own_server=True),
)


async def try_out(row: Row, cluster: Cluster | None) -> Counts:
    """The counts of one row; `cluster` serves those on PostgreSQL that may share one."""
    own = Cluster(durable=True) if row.own_server else None
    try:
        return await run(
            row.faults, cluster=(own or cluster) if row.processes else None, processes=row.processes or 1,
            people=row.people, poison=row.poison, quick=row.quick,
        )  # fmt: skip
    finally:
        if own:
            own.stop()


async def side_by_side(rows: Sequence[Row], cluster: Cluster | None) -> dict[str, Counts | BaseException]:
    """The counts of rows tried at the same time, by name."""
    found = await asyncio.gather(*(try_out(row, cluster) for row in rows), return_exceptions=True)
    return {row.name: counts for row, counts in zip(rows, found, strict=True)}
