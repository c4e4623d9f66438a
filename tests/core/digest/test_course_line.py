import datetime as dt

from hypothesis import given
from hypothesis import strategies as st

from core.digest.patient_week import Made, course_line
from core.model import Evening
from tests.builders import a_decision, an_episode
from tests.caseload import MONDAY, SUNDAY, fennel_lane

DAY = dt.timedelta(days=1)


def test_a_course_worked_by_hand():
    """It begins on a Wednesday on step 2, moves up on the second Monday's evening and flares on the Thursday."""
    wednesday, monday, thursday = MONDAY - 5 * DAY, MONDAY, MONDAY + 3 * DAY
    start = an_episode(started=wednesday, since=wednesday, step=2)
    up = a_decision(date=monday, step=3, after=an_episode(step=3, since=monday + DAY))
    flare = a_decision(date=thursday, step=3, after=an_episode(step=3, since=monday + DAY, flared=thursday))
    later = a_decision(date=SUNDAY + DAY, step=4, after=an_episode(step=4, since=SUNDAY + 2 * DAY))
    pains = (5, 4, None, 6, 5, 3, 3, 4, 8, None, 7, 7)
    diary = tuple(Evening(wednesday + n * DAY, pain=pain) for n, pain in enumerate((*pains, 9)))

    line = course_line(start, diary, [Made(up), Made(flare), Made(later)], SUNDAY)

    assert (line.first, line.last, len(line.evenings)) == (wednesday, SUNDAY, 12)
    assert line.steps == ((wednesday, monday, 2), (monday + DAY, SUNDAY, 3))
    assert line.flares == (thursday,)
    # the first week is Wednesday to Sunday: 20 in four ratings; the second 32 in six
    assert line.means == ((wednesday + 2 * DAY, 5.0), (thursday, 32 / 6))


@given(st.integers(0, 19), st.one_of(st.none(), st.integers(1, 30)))
def test_a_stretch_of_any_course_stays_within_it_and_misses_no_step(place, weeks):
    _, course = fennel_lane_courses[place]

    line = course.line(weeks)

    begins = max(line.first, course.start.started)
    assert line.last == SUNDAY
    assert all(line.first <= each.date <= SUNDAY for each in line.evenings)
    assert line.steps[0][0] == begins
    assert line.steps[-1][1] == SUNDAY
    for (_, end, step), (start, _, after) in zip(line.steps, line.steps[1:], strict=False):
        assert start == end + DAY
        assert step != after
    assert all(line.first <= date <= SUNDAY and 0 <= mean <= 10 for date, mean in line.means)
    assert [date for date, _ in line.means] == sorted(date for date, _ in line.means)


fennel_lane_courses = fennel_lane()
