"""A quarter's results, worked by hand, and what a researcher must not be able to count."""

import datetime as dt
from dataclasses import replace

import pytest
from scipy import stats

from core.ports import Store, UnitOfWork
from core.programme.file import default_programme
from core.records import CheckInState, Person, Status
from core.rule import begin
from core.use_cases.clinic import HALVES_WEEKS, AtWeek, Dealt, Results, interval, quarter, result_rows, results, student
from core.use_cases.work import Programmes, Work
from tests.builders import a_check_in, a_clinic, a_course, a_notice, a_person, a_staff, an_audit, new_id
from tests.core.use_cases.world import unworded

NOW = dt.datetime(2026, 7, 3, 9, tzinfo=dt.UTC)


@pytest.mark.parametrize("freedom", [1, 2, 3, 4, 5, 7, 12, 30, 200])
def test_the_interval_is_that_of_students_t(freedom: int):
    # scipy.stats, another hand's t
    assert student(freedom) == pytest.approx(stats.t.ppf(0.975, freedom), rel=0.01)
    values = [(-1.0) ** n * n / 3 for n in range(freedom + 1)]
    expected = stats.ttest_1samp(values, 0).confidence_interval(0.95)
    assert interval(values) == pytest.approx((expected.low, expected.high), abs=0.12 if freedom < 4 else 0.05)


def test_a_quarter_has_its_three_months():
    assert quarter(2026, 2) == (dt.date(2026, 4, 1), dt.date(2026, 7, 1))
    assert quarter(2026, 4) == (dt.date(2026, 10, 1), dt.date(2027, 1, 1))


def _told_and_dealt_with(uow: UnitOfWork, person: Person, at: dt.datetime) -> None:
    """Two notices, one answered after three hours; an act that was taken back; and a great many notices later on."""
    hours = dt.timedelta(hours=1)
    uow.notices.add(a_notice(person, at=at))
    uow.audit.add(an_audit(person, action="note", at=at + 3 * hours))
    uow.notices.add(a_notice(person, at=at + 5 * hours))
    uow.audit.add(an_audit(person, action="up", at=at + 6 * hours))
    uow.audit.add(an_audit(person, action="undo", at=at + 7 * hours))
    for number in range(1_001):
        uow.notices.add(a_notice(person, at=NOW - dt.timedelta(minutes=number)))


def test_who_began_left_and_reached_week_six_with_which_change(store: Store):
    programme = default_programme()
    started = dt.date(2026, 4, 6)
    with store.writing() as uow:
        uow.clinics.save(a_clinic())
        uow.clinics.save_programme(programme.version, programme.text, NOW)
        staff = a_staff()
        uow.staff.save(staff)
        for number, now in enumerate((2, 3, 4, 5, 9)):
            gone = {"status": Status.LEFT, "away_since": dt.date(2026, 4, 20)} if number == 4 else {}
            person = a_person(address=f"chat-{number}", therapist_id=staff.id, **gone)
            uow.people.save(person)
            episode = replace(begin(programme, started, 5), first_week_mean=5.0)
            course = a_course(person_id=person.id, episode=episode, programme_version=programme.version)
            uow.diary.save_course(course)
            for day in range(35, 42):
                date = started + dt.timedelta(days=day)
                uow.diary.add_check_in(
                    a_check_in(course_id=course.id, date=date, pain=now, state=CheckInState.ANSWERED)
                )
        _told_and_dealt_with(uow, person, dt.datetime(2026, 4, 8, 12, tzinfo=dt.UTC))
        found = results(Work(uow, NOW, new_id, Programmes(programme), unworded), *quarter(2026, 2))
        before = results(Work(uow, NOW, new_id, Programmes(programme), unworded), *quarter(2026, 1))

    assert (found.began, found.finished, found.left) == (5, 0, 1)
    assert (found.dealt, before.dealt) == (Dealt(2, 1, 3.0), Dealt(0, 0, None))
    six = found.marks[0]
    assert (six.week, six.people, six.following, six.measured) == (6, 5, 4, 4)
    assert six.change == pytest.approx((-3 - 2 - 1 - 0) / 4)
    assert six.low < six.change < six.high
    # Ikonen 2022, as the evidence derives it: untreated pain has fallen by 21 to 27 % at week 6
    most, least = six.untreated
    assert (most / 5, least / 5) == (pytest.approx(-0.27, abs=0.006), pytest.approx(-0.21, abs=0.006))
    assert HALVES_WEEKS[0] < HALVES_WEEKS[1]
    assert (before.began, before.marks[0].people, before.marks[0].change) == (0, 0, None)


def test_small_cells_and_what_would_give_them_away_are_hidden_from_a_researcher():
    mark = AtWeek(6, 20, 18, 4, -1.0, -2.0, 0.0, (-1.2, -0.9))
    found = Results(
        dt.date(2026, 4, 1), dt.date(2026, 7, 1), 20, 3, 0, 900, 12, (mark,), Dealt(9, 7, 3.5), "",
    )  # fmt: skip
    hidden, whole = dict(result_rows(found, masked=True)), dict(result_rows(found))

    assert (hidden["began"], hidden["finished"], hidden["left"]) == ("20", "<5", "0")
    assert hidden["week_6_people"] == "20"
    assert hidden["week_6_following"] == ""  # two left: 20 less 18
    assert (hidden["week_6_measured"], hidden["week_6_change"], hidden["week_6_low"]) == ("<5", "", "")
    assert (whole["week_6_following"], whole["finished"], whole["week_6_change"]) == ("18", "3", "-1.00")
