"""While anything goes wrong, nothing is lost and nothing counts twice: real processes, real databases, a stand-in."""

import asyncio
import random
import re
import signal
import time

import pytest

from bot.messaging import claims
from bot.run import parts as holding
from core.store import engine, locks
from tests.faults import dangers, outages
from tests.faults.outages import Outage
from tests.faults.rows import LONG, SHORT, Row, side_by_side, try_out
from tests.faults.trial import Counts, clinic
from tests.postgres import Cluster
from tests.standin import Late


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


FOUR_MINUTES = [Outage("cut after", 240.0), Outage("504", 240.0, processes=2)]  # each kind: test_outcomes, outages


def test_an_outage_of_minutes_leaves_nobody_untold_and_repeats_only_what_had_arrived(postgres: Cluster) -> None:
    for told in asyncio.run(outages.side_by_side(FOUR_MINUTES, postgres)):
        assert told.wrong == 0, told


def test_danger_is_told_whatever_is_wrong_with_the_clinic_itself() -> None:
    for heard in asyncio.run(dangers.side_by_side(dangers.SHORT)):
        assert isinstance(heard, dangers.Heard), heard
        assert heard.wrong == 0, heard


@pytest.mark.slow
@pytest.mark.parametrize("name", [name for name in dangers.WRONGS if name not in dangers.SHORT])
async def test_danger_is_told_by_each_by_itself(name: str) -> None:
    assert (await dangers.live_through(name)).wrong == 0


@pytest.mark.slow
@pytest.mark.parametrize("row", LONG, ids=lambda row: f"{row.name} ({row.where})")
def test_each_fault_by_itself_and_often(postgres: Cluster, row: Row) -> None:
    check(asyncio.run(try_out(row, postgres)))


def test_what_a_process_holds_is_given_back_within_half_a_minute_of_its_death() -> None:
    """By arithmetic: messages, polling, and what the server ends of itself; each is tried for real in a slow test."""
    assert claims.LEASE_S + claims.RECOVER_S <= 30
    assert locks.SILENT_S + holding.LOOK_S <= 30
    assert claims.RENEW_S * 2 < claims.LEASE_S, "one lost renewal costs nothing"
    assert max(holding.LOOK_S, holding.STILL_S) * 3 < locks.SILENT_S
    idle = re.search(r"idle_in_transaction_session_timeout=(\d+)s", engine._SESSION)
    assert idle
    assert int(idle[1]) <= 30


async def test_what_a_killed_process_was_sending_is_sent_by_another_within_seconds(postgres: Cluster) -> None:
    """Its lease of 20 s was waited for before; the service is made slow, so that the death comes within the call."""
    async with clinic(postgres, 2, 1.0, random.Random("sending")) as trial:
        first = await trial.start()
        await trial.begun()
        second = await trial.start()
        await asyncio.sleep(5)
        second.send_signal(signal.SIGSTOP)  # so that it is the first that sends
        trial.standin.troubles.add("sendMessage", Late(60))
        phone = trial.patients[0].phone
        phone.says("3, did 4")

        async def arrives(times: int) -> None:
            while sum("4 of 4 sets" in text for text in phone.texts) < times:
                await asyncio.sleep(0.05)

        async with asyncio.timeout(30):
            await arrives(1)
        await trial.kill(first)
        second.send_signal(signal.SIGCONT)
        began = time.monotonic()
        async with asyncio.timeout(30):
            await arrives(2)  # whether it had arrived nobody could know
        took = time.monotonic() - began
        await trial.end()
    print(f"sent again by another {took:.1f} s after the death of the one that was sending")
    assert took < 15


@pytest.mark.parametrize("after", ["the other one", "itself, started again"])
async def test_after_a_death_somebody_polls_and_answers_within_seconds(postgres: Cluster, after: str) -> None:
    """24 s before, when polling went by a lease in the database. A start takes some seconds by itself."""
    async with clinic(postgres, 2, 1.0, random.Random(after)) as trial:
        first = await trial.start()
        await trial.begun()  # so that the first one polls
        if after == "the other one":
            await trial.start()
        await asyncio.sleep(5)  # nothing is in its hand any more: that would be given back by its lease
        await trial.kill(first)
        began, patient = time.monotonic(), trial.patients[0]
        patient.phone.says("3, did 4")
        if after != "the other one":
            await trial.start()
        while "4 of 4 sets" not in patient.phone.texts[-1]:
            await asyncio.sleep(0.05)
            assert time.monotonic() < began + 30
        took = time.monotonic() - began
        await trial.end()
    print(f"answered by {after} {took:.1f} s after the death of the one that polled")
    assert took < 18
