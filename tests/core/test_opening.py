"""Opening hours as a lead writes them, and when the clinic opens next, by the clinic's own wall clock."""

import datetime as dt

import pytest

from core.timetable import opens_next, read_hours

HOURS = "Mon-Fri 08:00-18:00, Sat 09:00-12:00"


def at(text: str) -> dt.datetime:
    return dt.datetime.fromisoformat(text).replace(tzinfo=dt.UTC)


@pytest.mark.parametrize(
    ("now", "opens"),
    [
        ("2026-03-02T07:59", "2026-03-02T08:00"),  # a Monday; Lisbon keeps UTC in winter (tz database)
        ("2026-03-02T08:00", None),
        ("2026-03-02T17:59", None),
        ("2026-03-02T18:00", "2026-03-03T08:00"),
        ("2026-03-06T20:00", "2026-03-07T09:00"),
        ("2026-03-07T12:00", "2026-03-09T08:00"),
        ("2026-07-06T07:30", None),  # and is an hour ahead in summer
        ("2026-03-28T13:00", "2026-03-30T08:00"),  # over the night on which the clock goes forward
    ],
)
def test_when_it_opens_next(now: str, opens: str | None):
    found = opens_next(HOURS, at(now), "Europe/Lisbon")
    assert (found.replace(tzinfo=None).isoformat("T", "minutes") if found else None) == opens


def test_without_hours_nothing_is_said():
    assert opens_next("", at("2026-03-02T03:00"), "Europe/Lisbon") is None


def test_two_spans_of_a_day_leave_the_noon_closed():
    assert opens_next("Mon 08:00-12:00, Mon 14:00-18:00", at("2026-03-02T13:00"), "UTC") == at("2026-03-02T14:00")


@pytest.mark.parametrize("wrong", ["always", "Mon 8-18", "Mon 18:00-08:00", "Fri-Mon 08:00-12:00", "Mon 08:00-24:00"])
def test_what_cannot_be_read_is_refused(wrong: str):
    with pytest.raises(ValueError, match=r"is not a day|ends before"):
        read_hours(wrong)
