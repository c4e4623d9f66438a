"""A week of the digest: cut in the therapist's zone, told as it was then, and the week that the lists show."""

import datetime as dt

import pytest

from core.digest.attention import Attention
from core.digest.patient_week import flares_of
from core.model import NoticeKind, Reason, ReasonCode
from core.records import Notice
from core.rule.override import Act, Override
from core.use_cases.caseload import caseload_row
from core.use_cases.coming_back import come_back
from core.use_cases.digesting import gather
from core.use_cases.exporting import subjects_of
from core.use_cases.gathering import course_facts
from core.use_cases.leaving import go_away
from core.use_cases.overriding import act
from core.use_cases.person_page import decisions_on, person_page
from tests.builders import a_decision, an_episode
from tests.core.use_cases.world import World

MONDAY = dt.date(2026, 3, 2)
NEXT = MONDAY + dt.timedelta(days=7)


@pytest.mark.parametrize(
    ("zone", "week"), [("Pacific/Auckland", NEXT), ("UTC", MONDAY), ("America/Los_Angeles", MONDAY)]
)
def test_the_week_is_cut_at_midnight_of_the_therapist(small: World, zone: str, week: dt.date):
    """IANA zones: Sunday 20:00 UTC is Monday morning in Auckland."""
    staff = small.staff(zone=zone)
    who = small.somebody(therapist_id=staff.id)
    at = dt.datetime(2026, 3, 8, 20, tzinfo=dt.UTC)
    notice = Notice("n", small.person(who).clinic_id, who, NoticeKind.CLINICAL_QUESTION, "k", at)
    small.do(lambda work: work.uow.notices.add(notice))
    told = {
        monday: NoticeKind.CLINICAL_QUESTION in small.do(
            lambda work, monday=monday: gather(work.uow, work.programmes, staff, monday)
        ).patients[0].who.notices
        for monday in (MONDAY, NEXT)
    }  # fmt: skip
    assert told == {MONDAY: week == MONDAY, NEXT: True}  # what nobody has acted on is told again


def test_an_old_week_is_told_as_it_was_then(small: World):
    staff = small.staff(zone="UTC")
    who = small.somebody(therapist_id=staff.id)

    def away(monday: dt.date) -> bool:
        return small.do(lambda work: gather(work.uow, work.programmes, staff, monday)).patients[0].who.away

    small.now = dt.datetime(2026, 3, 13, 9, tzinfo=dt.UTC)
    small.do(lambda work: go_away(work, small.person(who), None))
    assert [away(MONDAY), away(NEXT)] == [False, True]
    small.now = dt.datetime(2026, 3, 18, 9, tzinfo=dt.UTC)
    small.do(lambda work: come_back(work, small.person(who)))
    assert [away(MONDAY), away(NEXT), away(NEXT + dt.timedelta(days=7))] == [False, True, False]


def test_on_a_monday_morning_list_page_and_digest_have_one_weekly_mean(small: World):
    staff = small.staff(zone="UTC")
    who = small.somebody(therapist_id=staff.id)
    for day in range(7):
        small.now = dt.datetime(2026, 3, 2 + day, 20, tzinfo=dt.UTC)
        small.answer(who, pain=day, sets=3)
    small.now = dt.datetime(2026, 3, 9, 8, tzinfo=dt.UTC)
    week = small.do(lambda work: gather(work.uow, work.programmes, staff, MONDAY)).patients[0]
    row = small.do(lambda work: caseload_row(work, small.person(who)))
    facts = small.do(lambda work: course_facts(work, small.person(who), small.course(who)))
    assert week.this.mean == row.mean == facts.mean == 3
    assert set(row.attention) == set(week.attention) - {Attention.AWAY}


def test_the_standard_export_reads_a_courses_evenings_at_once(small: World):
    staff = small.staff(zone="UTC")
    who = small.somebody(therapist_id=staff.id)
    for day in range(9):
        small.now = dt.datetime(2026, 3, 2 + day, 20, tzinfo=dt.UTC)
        small.answer(who, pain=4, sets=3)

    def read(work):
        asked = []
        one = type(work.uow.diary).check_in_on
        type(work.uow.diary).check_in_on = lambda diary, *given: asked.append(given) or one(diary, *given)
        try:
            return subjects_of(work, small.person(who)), len(asked)
        finally:
            type(work.uow.diary).check_in_on = one

    (subject,), asked = small.do(read)
    assert (len(subject.ratings), asked) == (9, 0)


def test_what_staff_did_carries_its_own_date(small: World):
    staff = small.staff(zone="UTC")
    who = small.somebody(therapist_id=staff.id)
    small.now = dt.datetime(2026, 3, 4, 9, tzinfo=dt.UTC)
    small.do(lambda work: act(work, staff, small.person(who), Override(Act.BACK), "sore from moving house"))
    page = small.do(lambda work: person_page(work, staff, small.person(who)))
    assert page.course
    assert [each.date for each in page.course.decisions] == [dt.date(2026, 3, 4)]
    shown = small.do(lambda work: decisions_on(work, small.person(who)))
    assert [each.date for each in shown] == [dt.date(2026, 3, 4)]
    week = small.do(lambda work: gather(work.uow, work.programmes, staff, MONDAY)).patients[0]
    assert [each.date for each in week.told] == [dt.date(2026, 3, 4)]
    assert small.decisions(who)[0].decision.for_date == dt.date(2026, 3, 4)


def test_a_second_flare_is_one_too_and_one_that_stays_on_the_first_step_is_none():
    """EVIDENCE 17.2: a flare is found by the running excess, whatever step it leads to; staying is no new one."""
    days = [dt.date(2026, 3, 2) + dt.timedelta(days=day) for day in (0, 20, 21)]
    codes = (ReasonCode.FLARE, ReasonCode.FLARE_AGAIN, ReasonCode.STAY_EXCESS)
    flared = (days[0], days[1], days[1])
    decisions = [
        a_decision(date=day, reasons=(Reason(code),), after=an_episode(flared=on))
        for day, code, on in zip(days, codes, flared, strict=True)
    ]
    assert flares_of(decisions) == tuple(days[:2])
