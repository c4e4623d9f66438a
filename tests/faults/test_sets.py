"""A set that is counted through by a real process which is killed in the middle."""

from pathlib import Path

from core.records import GuidedState
from tests.faults.sets import measure

# one of the two: on a busy machine a start takes longer than the ten seconds after which nobody knows what was done
GOES_ON = (GuidedState.DONE, 1, "Set 1 of 4 is done. It counts.")
SAYS_SO = (GuidedState.CUT, 0, "Sorry, I was cut off")


async def test_killed_in_the_middle_a_set_goes_on_or_says_so_and_no_chat_is_written_to_twice_a_second(tmp_path: Path):
    found = await measure(tmp_path, people=2, kills=[4.0], away_s=0.0, short=True)
    for state, counted, told in zip(found.states, found.counted, found.told, strict=True):
        how = GOES_ON if state is GuidedState.DONE else SAYS_SO
        assert (state, counted) == how[:2]
        assert told.startswith(how[2])
    assert found.edits > 2
    # about one message a second in one chat, edits included, and 30 in all: bots FAQ, broadcasting
    assert found.chat_gap >= 1.0
    assert found.most_a_second <= 25
