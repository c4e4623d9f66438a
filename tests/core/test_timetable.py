"""When a person is asked, against zoneinfo and transitions as published.

The transitions are those of the IANA time zone database, version 2026f; who ordered each stands beside it.
"""

import datetime as dt
from zoneinfo import ZoneInfo, available_timezones

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core import timetable
from core.timetable import (
    due_after_change,
    due_after_start,
    end_of_day,
    evening_of,
    instant,
    local_date,
    next_evening,
    next_nudge,
    nudge_ends,
    reminder,
)

EVENING = dt.time(19, 0)
EARLIEST, LATEST = dt.time(12, 0), dt.time(22, 30)  # what a person may choose
ZONES = sorted(zone for zone in available_timezones() if "/" in zone)


def utc(text: str) -> dt.datetime:
    return dt.datetime.fromisoformat(text).replace(tzinfo=dt.UTC)


@pytest.mark.parametrize(
    ("zone", "date", "time", "expected"),
    [
        # Directive 2000/84/EC: last Sunday of March and of October, 01:00 UTC
        ("Europe/Berlin", "2026-03-28", "19:00", "2026-03-28 18:00"),
        ("Europe/Berlin", "2026-03-29", "19:00", "2026-03-29 17:00"),
        ("Europe/Berlin", "2026-03-29", "02:30", "2026-03-29 01:30"),  # skipped: moves forward to 03:30
        ("Europe/Berlin", "2026-10-25", "02:30", "2026-10-25 00:30"),  # twice: the first
        # Egypt, law 24 of 2023: last Friday of April, midnight to 01:00
        ("Africa/Cairo", "2023-04-28", "00:00", "2023-04-27 22:00"),
        ("Africa/Cairo", "2023-04-28", "00:30", "2023-04-27 22:30"),  # skipped: moves forward to 01:30
        ("Africa/Cairo", "2023-04-28", "19:00", "2023-04-28 16:00"),
        # Chile, decree 224 of 2022: first Sunday of September from the 2nd on, midnight to 01:00
        ("America/Santiago", "2023-09-03", "00:00", "2023-09-03 04:00"),
        ("America/Santiago", "2023-09-02", "19:00", "2023-09-02 23:00"),
        ("America/Santiago", "2023-09-03", "19:00", "2023-09-03 22:00"),
        # Lord Howe Island: half an hour, first Sunday of October and of April at 02:00
        ("Australia/Lord_Howe", "2025-10-04", "19:00", "2025-10-04 08:30"),
        ("Australia/Lord_Howe", "2025-10-05", "19:00", "2025-10-05 08:00"),
        ("Australia/Lord_Howe", "2025-10-05", "02:15", "2025-10-04 15:45"),  # skipped: 02:45
        ("Australia/Lord_Howe", "2026-04-05", "01:45", "2026-04-04 14:45"),  # twice: the first
        # Nepal: 5:45 ahead since 1986, no changes
        ("Asia/Kathmandu", "2026-03-02", "19:00", "2026-03-02 13:15"),
        # Newfoundland until 2011: changes at 00:01, so that the clock goes back into the day before
        ("America/St_Johns", "2011-03-13", "00:30", "2011-03-13 04:00"),
        ("America/St_Johns", "2010-11-06", "23:30", "2010-11-07 02:00"),  # twice: the first
        ("America/St_Johns", "2010-11-07", "19:00", "2010-11-07 22:30"),
        # Samoa crossed the date line: no 30 December 2011
        ("Pacific/Apia", "2011-12-29", "19:00", "2011-12-30 05:00"),
        ("Pacific/Apia", "2011-12-31", "19:00", "2011-12-31 05:00"),
    ],
)
def test_a_wall_time_is_the_moment_the_zone_says(zone: str, date: str, time: str, expected: str):
    assert instant(dt.date.fromisoformat(date), dt.time.fromisoformat(time), zone) == utc(expected)


def test_a_date_that_never_happened_is_not_asked_about():
    assert instant(dt.date(2011, 12, 30), EVENING, "Pacific/Apia") is None
    assert next_evening(dt.date(2011, 12, 29), EVENING, "Pacific/Apia")[0] == dt.date(2011, 12, 31)
    assert end_of_day(dt.date(2011, 12, 29), "Pacific/Apia") == utc("2011-12-30 10:00")


@pytest.mark.parametrize(
    ("zone", "date", "over"),
    [
        ("Africa/Cairo", "2023-04-27", "2023-04-27 22:00"),  # its midnight was skipped: over when the clock jumps
        ("America/Santiago", "2023-09-02", "2023-09-03 04:00"),
        ("Europe/Berlin", "2026-03-29", "2026-03-29 22:00"),  # 23 hours long
        ("Europe/Berlin", "2026-10-25", "2026-10-25 23:00"),  # 25 hours long
    ],
)
def test_a_day_is_over_when_the_next_one_begins(zone: str, date: str, over: str):
    assert end_of_day(dt.date.fromisoformat(date), zone) == utc(over)


def changes_in(zone: str, year: int) -> list[dt.date]:
    """The days of that year about which the zone's offset changes."""
    where, day = ZoneInfo(zone), dt.datetime(year, 1, 1, 12, tzinfo=dt.UTC)
    offsets = [(day + dt.timedelta(days=n)).astimezone(where).utcoffset() for n in range(366)]
    return [day.date() + dt.timedelta(days=n) for n in range(1, 366) if offsets[n] != offsets[n - 1]]


@st.composite
def places(draw: st.DrawFn) -> tuple[str, dt.date]:
    """A zone and a day, more often than not one or two days from a change of its clock."""
    zone = draw(st.sampled_from(ZONES))
    year = draw(st.integers(1990, 2037))
    near = changes_in(zone, year)
    if near and draw(st.booleans()):  # type: ignore[arg-type]
        return zone, draw(st.sampled_from(near)) + dt.timedelta(days=draw(st.integers(-4, 2)))
    return zone, dt.date(year, 1, 1) + dt.timedelta(days=draw(st.integers(0, 364)))


def happened(date: dt.date, zone: str) -> bool:
    """Whether any quarter of an hour anywhere near is on that local date: found by looking, not by reckoning."""
    start = dt.datetime.combine(date, dt.time(), tzinfo=dt.UTC) - dt.timedelta(hours=16)
    return any(
        (start + dt.timedelta(minutes=15 * n)).astimezone(ZoneInfo(zone)).date() == date for n in range(4 * 56)
    )


def skipped(date: dt.date, time: dt.time, zone: str) -> bool:
    """Whether the wall clock never showed that time."""
    wall = dt.datetime.combine(date, time, tzinfo=ZoneInfo(zone))
    return wall.astimezone(dt.UTC).astimezone(ZoneInfo(zone)).replace(tzinfo=None) != wall.replace(tzinfo=None)


def whole_minutes(least: dt.time, most: dt.time) -> st.SearchStrategy[dt.time]:
    low, high = (each.hour * 60 + each.minute for each in (least, most))
    return st.integers(low, high).map(lambda n: dt.time(n // 60, n % 60))


@settings(max_examples=250, deadline=None)
@given(places(), whole_minutes(dt.time(0, 0), dt.time(23, 59)))
def test_evenings_follow_each_other_and_leave_no_date_out(place: tuple[str, dt.date], evening: dt.time):
    zone, date = place
    due = dt.datetime.min.replace(tzinfo=dt.UTC)
    for _ in range(6):
        following, next_due = next_evening(date, evening, zone)
        assert following > date
        assert next_due > due
        local = next_due.astimezone(ZoneInfo(zone))
        assert (local.date(), local.time()) == (following, evening) or skipped(following, evening, zone)
        assert local.replace(tzinfo=None) >= dt.datetime.combine(following, evening)
        for left_out in range(1, (following - date).days):
            assert not happened(date + dt.timedelta(days=left_out), zone)
        date, due = following, next_due


@settings(max_examples=250, deadline=None)
@given(places(), whole_minutes(EARLIEST, LATEST))
def test_reminder_and_end_of_the_day_come_after_the_question(place: tuple[str, dt.date], evening: dt.time):
    zone, before = place
    date, due = next_evening(before, evening, zone)
    end = end_of_day(date, zone)
    assert due < end
    # at the very end the date has changed; a moment before it had not, unless the clock went back about midnight
    assert local_date(end, zone) > date
    remind = reminder(due, zone)
    if remind is not None:
        local = remind.astimezone(ZoneInfo(zone))
        assert remind - due == dt.timedelta(hours=2)
        assert local.date() == date
        assert local.time() <= dt.time(21, 30)
        assert remind < timetable.reminders_end(date, zone)
        assert remind < end
    elif not changes_in(zone, date.year):
        assert evening > dt.time(19, 30)


@settings(max_examples=150, deadline=None)
@given(
    st.sampled_from(ZONES),
    st.integers(0, 42 * 365 * 24 * 60).map(lambda minutes: utc("1995-01-01") + dt.timedelta(minutes=minutes)),
    whole_minutes(EARLIEST, LATEST),
    st.none() | st.integers(-3, 2),
)
def test_a_change_of_plan_never_asks_twice_nor_in_the_past(
    zone: str, now: dt.datetime, evening: dt.time, asked_ago: int | None
):
    today = local_date(now, zone)
    asked = None if asked_ago is None else today + dt.timedelta(days=asked_ago)
    date, due = due_after_change(now, evening, zone, asked)
    assert due >= now
    assert date >= today
    assert asked is None or date > asked
    ahead, ahead_due = due_after_start(now, evening, zone, asked)
    assert ahead >= date
    assert ahead_due - now >= dt.timedelta(hours=1)


HOURS = st.lists(whole_minutes(dt.time(0, 0), dt.time(23, 59)), max_size=3, unique=True)


@settings(max_examples=80, deadline=None)
@given(places(), HOURS, whole_minutes(EARLIEST, LATEST))
def test_each_hour_of_each_day_comes_once_in_order_and_keeps_the_quiet_hours(
    place: tuple[str, dt.date], hours: list[dt.time], evening: dt.time
):
    zone, date = place
    end = end_of_day(date + dt.timedelta(days=2), zone)
    moment, came = instant(date, dt.time(12), zone) or end_of_day(date, zone), []
    start = moment
    while (following := next_nudge(moment, hours, zone)) is not None and following < end:
        assert following > moment
        came, moment = [*came, following], following
        local, until = following.astimezone(ZoneInfo(zone)), nudge_ends(following, evening, zone)
        if until > following:
            assert dt.time(8) <= local.time() < min(dt.time(21), evening)
            last = (until - dt.timedelta(seconds=1)).astimezone(ZoneInfo(zone))
            assert (last.date(), until - following <= dt.timedelta(hours=1)) == (local.date(), True)
            assert last.time() < min(dt.time(21), evening)
    assert bool(came) == bool(hours)
    # found by looking at every minute: a wall time that was shown is met at its first showing, each of them
    walls = [start + dt.timedelta(minutes=n) for n in range(1, int((end - start) / dt.timedelta(minutes=1)))]
    shown_as = [(each, each.astimezone(ZoneInfo(zone))) for each in walls]
    shown = {each for each, wall in shown_as if wall.fold == 0 and wall.time().replace(tzinfo=None, fold=0) in hours}
    assert shown <= set(came)
    for extra in set(came) - shown:  # of a time that the clock skipped: later than it by as much
        days = [local_date(extra, zone) + dt.timedelta(days=n) for n in (-1, 0)]
        assert any(skipped(day, hour, zone) for hour in hours for day in days)


def test_an_earlier_hour_chosen_late_in_the_evening_is_asked_at_once():
    now = utc("2026-03-02 22:10")
    assert due_after_change(now, dt.time(18, 0), "Europe/Lisbon", dt.date(2026, 3, 1)) == (dt.date(2026, 3, 2), now)


@pytest.mark.parametrize(
    ("moment", "evening", "morning"),
    [
        ("2026-03-02 23:59", "2026-03-02", False),
        ("2026-03-03 00:10", "2026-03-02", False),
        ("2026-03-03 03:59", "2026-03-02", False),
        ("2026-03-03 04:00", "2026-03-03", True),
        ("2026-03-03 11:59", "2026-03-03", True),
        ("2026-03-03 12:00", "2026-03-03", False),
    ],
)
def test_the_night_belongs_to_the_evening_before(moment: str, evening: str, morning: bool):
    # the hours are judgement; Lisbon is on UTC in winter
    assert evening_of(utc(moment), "Europe/Lisbon") == dt.date.fromisoformat(evening)
    assert timetable.is_morning(utc(moment), "Europe/Lisbon") is morning
