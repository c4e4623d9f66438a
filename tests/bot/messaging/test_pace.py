"""The rate, against the published limits: about 30 messages a second for the bot, about one a second in a chat.

https://core.telegram.org/bots/faq#broadcasting-to-users
"""

import asyncio
import heapq
import random
import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bot.messaging.pace import Bucket, Pace


def leaving_times(bucket: Bucket, wishes: list[tuple[float, str]], lateness: float = 0.0) -> list[tuple[float, str]]:
    """When each message leaves if everybody comes back exactly (or `lateness` seconds after) when told to."""
    waiting = [(at, number, address) for number, (at, address) in enumerate(wishes)]
    heapq.heapify(waiting)
    left = []
    while waiting:
        now, number, address = heapq.heappop(waiting)
        wait = bucket.take(address, now)
        if wait:
            heapq.heappush(waiting, (now + wait + lateness, number, address))
        else:
            left.append((now, address))
    return left


def most_within(times: list[float], window: float) -> int:
    return max(sum(start <= time < start + window for time in times) for start in times)


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.tuples(st.floats(0, 5), st.sampled_from([str(n) for n in range(60)])), min_size=1, max_size=120),
    st.floats(0, 0.02),
)
def test_no_second_holds_more_than_the_25_messages_asked_for_nor_a_chat_more_than_one(
    wishes: list[tuple[float, str]], lateness: float
) -> None:
    left = leaving_times(Bucket(), wishes, lateness)

    assert len(left) == len(wishes)
    assert most_within([at for at, _ in left], 1.0) <= 25
    for chat in {address for _, address in left}:
        assert most_within([at for at, address in left if address == chat], 0.999) == 1


@pytest.mark.parametrize("lateness", [0.0, 0.002])
def test_a_rush_of_prompts_uses_the_asked_rate_although_timers_wake_late(lateness: float) -> None:
    left = leaving_times(Bucket(), [(0.0, str(n)) for n in range(500)], lateness)

    # arithmetic: at the full rate the last of 500 leaves 499 gaps of 1/25 s after the first; 95 % of it must be used
    assert 499 / 25 <= left[-1][0] <= 499 / 25 / 0.95


@pytest.mark.parametrize("seed", range(5))
def test_timers_that_wake_as_late_as_on_a_busy_machine_make_no_second_fuller(seed: int) -> None:
    dice, bucket, now, left = random.Random(seed), Bucket(), 0.0, list[float]()
    while len(left) < 400:
        wait = bucket.take(str(len(left)), now)
        if wait:
            now += wait + dice.choice([0.0, 0.001, dice.uniform(0.0, 0.08)])
        else:
            left.append(now)

    assert most_within(left, 1.024) <= 25  # a message that leaves later may travel a little faster
    assert 399 / left[-1] >= 0.8 * 25  # what a timer is late by more than the catching up is lost


def test_after_a_quiet_time_there_is_no_burst() -> None:
    bucket = Bucket()
    bucket.take("a", 0.0)

    assert bucket.take("b", 1000.0) == 0.0
    assert 0.02 < bucket.take("c", 1000.0) < 0.042


def test_a_halt_lasts_until_its_latest_end_whatever_happens_meanwhile() -> None:
    bucket = Bucket()
    bucket.halt(10.0)
    bucket.halt(4.0)

    assert bucket.take("a", 5.0) == pytest.approx(5.0)
    assert bucket.halted_for(5.0) == pytest.approx(5.0)
    assert bucket.take("a", 10.0) == 0.0
    assert bucket.halted_for(10.5) == 0.0


def test_refusing_to_wait_takes_nothing() -> None:
    bucket = Bucket()
    bucket.take("a", 0.0)
    first = bucket.take("a", 0.1)

    assert bucket.take("a", 0.1) == first
    assert bucket.take("b", 0.1) == 0.0


def test_memory_does_not_grow_with_the_chats_ever_written_to() -> None:
    bucket = Bucket(per_second=1e6)
    for number in range(100_000):
        bucket.take(str(number), number / 1000)

    assert len(bucket._next_in_chat) < 6000


def test_no_limit_means_none_and_a_senseless_rate_is_refused() -> None:
    bucket = Bucket.unlimited()

    assert [bucket.take("a", 1.0) for _ in range(100)] == [0.0] * 100
    for rate, pause in ((0, 1), (-1, 1), (25, -1)):
        with pytest.raises(ValueError, match="rate"):
            Bucket(rate, pause)


async def test_waiting_in_real_time_keeps_the_rate_and_too_long_a_wait_is_said_at_once() -> None:
    bucket, began = Bucket(per_second=100, per_chat_s=0), time.monotonic()

    await asyncio.gather(*(Pace(bucket).turn(str(n)) for n in range(41)))

    assert 0.38 <= time.monotonic() - began < 2
    bucket.halt(time.monotonic() + 50)
    assert await Pace(bucket).turn("x", longest_s=20) == pytest.approx(50, abs=1)
