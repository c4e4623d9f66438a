"""What is told beside the numbers: an injection unloads the elbow, open questions about signs leave no sets."""

import datetime as dt
from dataclasses import replace

import pytest

from core.errors import OverrideError
from core.model import Flag, Move
from core.programme.thresholds import Injection
from core.rule import clear_danger, decide, deny_signs, dose_on, report_danger, report_injection
from core.rule.override import Act, Override, override
from tests.courses import PROGRAMME, TODAY, codes, diary, episode, evening, live, numbers, said, tonight

DAY = dt.timedelta(days=1)
CALM = (3, 3, 3, 3, 3, 3, 3)
# Couppé 2022 (evidence row L6): loading was taught two weeks after the injection
TWO_WEEKS = 14


def test_an_injection_leaves_no_load_for_two_weeks_and_then_the_gentle_step():
    made = report_injection(PROGRAMME, episode(step=6), TODAY)
    doses = [dose_on(PROGRAMME, made.after, TODAY + day * DAY).asked for day in range(1, TWO_WEEKS + 3)]

    assert doses[:TWO_WEEKS] == [0] * TWO_WEEKS
    assert all(asked > 0 for asked in doses[TWO_WEEKS:])
    gentle = PROGRAMME.numbered(PROGRAMME.rule.begin.gentle_step)
    assert (made.move, made.step, made.flag) == (Move.REGRESS, gentle, Flag.INJECTION)
    assert made.dose is not None
    assert made.dose.asked == 0
    assert numbers(made, "injection") == {"days": TWO_WEEKS}
    assert made.reasons[0].figures[0].rows == ("L6",)


def test_the_days_without_load_are_the_programmes_own():
    figure = replace(PROGRAMME.rule.injection.rest_days, value=3.0)
    shorter = replace(PROGRAMME, rule=replace(PROGRAMME.rule, injection=Injection(figure)))
    made = report_injection(shorter, episode(), TODAY)

    assert [dose_on(shorter, made.after, TODAY + day * DAY).asked > 0 for day in (1, 2, 3, 4)] == [
        False, False, False, True,
    ]  # fmt: skip


def test_nothing_moves_up_until_the_therapist_has_looked():
    waits = episode(step=5, days=60, awaits_look=True)
    calm = diary(*CALM * 4)
    looked = override(PROGRAMME, waits, TODAY - DAY, Override(Act.LOOKED))

    assert tonight(replace(waits, awaits_look=False), calm).move is Move.ADVANCE
    assert codes(tonight(waits, calm))[0] == "stay_look"
    assert tonight(looked.after, calm).move is Move.ADVANCE
    with pytest.raises(OverrideError, match="nothing to lift"):
        override(PROGRAMME, looked.after, TODAY, Override(Act.LOOKED))


def test_evenings_without_load_say_so_and_count_for_nothing():
    injected = report_injection(PROGRAMME, episode(step=5, idle_days=0), TODAY - 3 * DAY)
    made = decide(PROGRAMME, injected.after, (evening(0, 1, None, 0),), TODAY)

    assert codes(made) == ["unloaded"]
    assert numbers(made, "unloaded") == {"days": TWO_WEEKS - 3}
    assert (made.dose and made.dose.asked, made.after.idle_days) == (0, 0)


def test_a_second_injection_counts_from_its_own_day():
    first = report_injection(PROGRAMME, episode(), TODAY - 10 * DAY)
    second = report_injection(PROGRAMME, first.after, TODAY)
    assert second.after.unloaded_until == TODAY + (TWO_WEEKS + 1) * DAY


def test_an_injection_told_while_stopped_holds_when_the_stop_is_lifted():
    stopped = report_danger(PROGRAMME, episode(), TODAY - DAY, Flag.RED_FLAG).after
    told = report_injection(PROGRAMME, stopped, TODAY)
    lifted = clear_danger(PROGRAMME, told.after, TODAY + DAY)

    assert (told.move, told.dose) == (Move.PAUSE, None)
    assert lifted.dose is not None
    assert lifted.dose.asked == 0


def test_open_questions_about_signs_leave_no_sets_however_many_evenings_go_by():
    severe = tonight(episode(), diary(*CALM, 8))
    later = severe.after
    for day in (1, 2, 3):
        made = decide(PROGRAMME, later, (), TODAY + day * DAY)
        today = TODAY + day * DAY
        answered = decide(PROGRAMME, later, (replace(evening(0, 3, None, 0), date=today),), today)
        later = answered.after
        assert made.dose is not None
        assert made.dose.asked == 0
        assert answered.dose is not None
        assert answered.dose.asked == 0
        assert codes(answered)[0] == "signs_open"


def test_a_no_gives_the_dose_that_the_evening_by_itself_would_have_given():
    severe = tonight(episode(), diary(*CALM, 8))
    at_once = deny_signs(PROGRAMME, severe.after, diary(*CALM, 8), TODAY)
    next_day = TODAY + DAY
    calm = (*diary(*CALM, 8), replace(evening(0, 3, None, 0), date=next_day))
    waited = decide(PROGRAMME, severe.after, calm, next_day)
    later = deny_signs(PROGRAMME, waited.after, calm, next_day)

    assert at_once.dose is not None
    assert at_once.dose.asked == 0
    assert later.dose == dose_on(PROGRAMME, later.after, next_day + DAY)
    assert later.dose.asked > 0
    assert later.after.signs_asked is None


def test_a_high_evening_meanwhile_is_still_eased_after_the_no():
    asked = episode(signs_asked=TODAY - DAY)
    made = deny_signs(PROGRAMME, asked, diary(*CALM, 6), TODAY)
    assert "above_ceiling_day" in codes(made)


@pytest.mark.parametrize("flag", [Flag.RED_FLAG, Flag.URGENT])
def test_a_stop_answers_the_questions(flag: Flag):
    stopped = report_danger(PROGRAMME, episode(signs_asked=TODAY), TODAY, flag)
    assert stopped.after.signs_asked is None


def test_silence_after_a_very_bad_day_gives_no_dose_in_a_whole_course():
    lived = live(6, lambda day, _: said(9) if day == 0 else None, denies=False)
    assert [decision.dose.asked for _, decision in lived if decision.dose] == [0] * 6
