"""A set that is counted through by a real process which is killed in the middle."""

from pathlib import Path

from core.records import GuidedState
from tests.faults.sets import measure


async def test_killed_in_the_middle_a_set_goes_on_counts_once_and_no_chat_is_written_to_twice_a_second(tmp_path: Path):
    found = await measure(tmp_path, people=2, kills=[4.0], away_s=0.0, short=True)
    assert found.counted == [1, 1]
    assert set(found.states) == {GuidedState.DONE}
    assert all(text.startswith("Set 1 of 4 is done. It counts.") for text in found.told)
    assert found.edits > 2 * 5
    # about one message a second in one chat, edits included, and 30 in all: bots FAQ, broadcasting
    assert found.chat_gap >= 1.0
    assert found.most_a_second <= 25
