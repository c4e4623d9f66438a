"""A programme file with the older level decides as it always has: the level ratchets, and a step back measures anew."""

import datetime as dt
import re
from dataclasses import replace

import pytest

from core.errors import ProgrammeError
from core.model import Decision, Episode, Evening, Move
from core.programme.file import default_programme_text, load_programme
from core.rule import decide
from tests.courses import TODAY, back, codes, diary, episode, numbers

FLARE = """
allowance = { value = 1, from = ["judgement"], why = "as it was" }
limit = { value = 4, from = ["judgement"], why = "as it was" }
daily_cap = { value = 2, from = ["judgement"], why = "as it was" }
stay_days = { value = 7, from = ["judgement"], why = "as it was" }
level_ratings = { value = 14, from = ["judgement"], why = "as it was" }
ratchet_days = { value = 7, from = ["judgement"], why = "as it was" }
"""
BOTH = 'level_days = { value = 42, from = ["judgement"], why = "both ways" }\n'


def text_with(flare: str) -> str:
    return re.sub(r"(?<=\[rule\.flare\]\n).*?(?=\n\[rule\.weeks\])", flare, default_programme_text(), flags=re.DOTALL)


OLDER = load_programme(text_with(FLARE))


def tonight(state: Episode, evenings: tuple[Evening, ...]) -> Decision:
    return decide(OLDER, state, evenings, TODAY)


def test_two_evenings_three_above_the_level_step_back_and_the_level_is_measured_anew() -> None:
    calm = [3] * 12
    first = tonight(episode(load_g=500), diary(*calm, 2, 6))
    assert (first.move, first.after.excess) == (Move.HOLD, 2.0)

    tomorrow = TODAY + dt.timedelta(days=1)
    evenings = (*diary(*calm, 2, 6), Evening(tomorrow, pain=6, sets_done=2, sets_asked=2))
    second = decide(OLDER, first.after, evenings, tomorrow)

    assert (second.move, second.step, codes(second)[0]) == (Move.REGRESS, 4, "flare")
    assert numbers(second, "flare") == {"excess": 4.0, "limit": 4.0, "level": 3.0}
    assert second.after.level == pytest.approx((3 * 11 + 2 + 6 + 6) / 14)  # the latest fourteen ratings


def test_it_does_not_wait_after_a_step_back_and_any_excess_keeps_a_person_where_they_are() -> None:
    again = tonight(episode(excess=3.0, step_backs=(back(1),)), diary(*[3] * 13, 6))
    little = tonight(episode(excess=1.5), diary(*[3] * 14))

    assert codes(again)[0] == "flare"
    assert (codes(little)[0], little.after.excess) == ("stay_excess", 0.5)


@pytest.mark.parametrize(
    ("evenings", "level"),
    [([2] * 14, 2.0), ([4] * 14, 3.0), ([None] * 11 + [0, 0, 0], 3.0), ([None] * 10 + [1, 1, 1, 1], 1.0)],
)
def test_the_level_follows_improvement_once_a_week_and_never_rises(evenings: list[int | None], level: float) -> None:
    due = tonight(episode(days=3, level_set=back(7)), diary(*evenings))
    early = tonight(episode(days=3, level_set=back(6)), diary(*evenings))

    assert due.after.level == level
    assert early.after.level == 3.0


def test_a_flare_on_the_lowest_step_measures_anew() -> None:
    decision = tonight(episode(1, excess=3.0), diary(*[3] * 13, 6))

    assert (decision.move, decision.after.excess, decision.after.flared) == (Move.HOLD, 0.0, TODAY)
    assert decision.after.level == pytest.approx((3 * 13 + 6) / 14)


@pytest.mark.parametrize(
    ("flare", "found"),
    [
        (FLARE + BOTH, "level_days, level_ratings, ratchet_days"),
        (FLARE.replace("ratchet_days", "# ratchet_days"), "level_ratings"),
        (re.sub("(?m)^(level|ratchet)", r"# \1", FLARE), "neither"),
    ],
)
def test_a_file_names_one_way_to_the_level_and_all_of_it(flare: str, found: str) -> None:
    with pytest.raises(ProgrammeError, match=rf"rule\.flare.*: found {found}; expected level_days and"):
        load_programme(text_with(flare))


def test_the_default_programme_keeps_no_level_that_only_falls() -> None:
    state = replace(episode(), level=1.0)
    decision = decide(load_programme(default_programme_text()), state, diary(*[3] * 42), TODAY)

    assert decision.after.level == pytest.approx(3 * sum(0.5 ** (age / 106.4) for age in range(1, 42)) / 41)
