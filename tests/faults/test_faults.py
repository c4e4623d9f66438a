"""While anything goes wrong, nothing is lost and nothing counts twice: real processes, real databases, a stand-in."""

import asyncio

import pytest

from tests.faults.rows import LONG, SHORT, Row, side_by_side, try_out
from tests.faults.trial import Counts
from tests.postgres import Cluster


@pytest.fixture(scope="module")
def found(postgres: Cluster) -> dict[str, Counts | BaseException]:
    """The short trials, at the same time, since they mostly wait."""
    return asyncio.run(side_by_side(SHORT, postgres))


def check(counts: Counts | BaseException) -> None:
    if isinstance(counts, BaseException):
        raise counts
    assert counts.wrong == 0, counts
    assert counts.said > 0
    assert counts.faults > 0


@pytest.mark.parametrize("row", SHORT, ids=lambda row: row.name)
def test_nothing_is_lost_and_nothing_counts_twice(found: dict[str, Counts | BaseException], row: Row) -> None:
    check(found[row.name])


@pytest.mark.slow
@pytest.mark.parametrize("row", LONG, ids=lambda row: f"{row.name} ({row.where})")
def test_each_fault_by_itself_and_often(postgres: Cluster, row: Row) -> None:
    check(asyncio.run(try_out(row, postgres)))
