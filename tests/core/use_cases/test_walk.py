"""Whole courses lived at random: whatever happens, each local date is asked about once, and none is lost."""

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass, field

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.model import Flag
from core.records import CheckInState, Status
from core.timetable import evening_of, local_date
from core.use_cases.answering import Said
from core.use_cases.coming_back import clear, come_back
from core.use_cases.leaving import go_away
from core.use_cases.planning import change_evening, change_zone
from core.use_cases.reporting import danger_told
from tests.core.use_cases.world import World, assert_replays
from tests.examples import examples

# east and west, across the date line, with midnights and half hours of their own; the walk begins before the
# European and the southern change of clocks of 2026
ZONES = ("Europe/Lisbon", "Pacific/Auckland", "Pacific/Honolulu", "Africa/Cairo", "Asia/Kathmandu", "America/Santiago",
         "Australia/Lord_Howe", "Pacific/Kiritimati")  # fmt: skip
EVENINGS = ("12:00", "17:30", "19:00", "21:30", "22:30")
START = dt.datetime(2026, 3, 20, 9, 0, tzinfo=dt.UTC)

DAY = dt.timedelta(days=1)

Step = tuple[str, int, int]
steps = st.lists(
    st.tuples(
        st.sampled_from(
            ("live", "live", "live", "answer", "answer", "answer", "answer", "half", "down", "down long", "zone",
             "evening", "away", "back", "danger", "clear", "change")
        ),
        st.integers(1, 30),
        st.integers(0, 10),
    ),
    min_size=20,
    max_size=45,
)


@dataclass
class Story:
    """What happened, told apart from the program's own books: when it was down, and when nobody was to be asked."""

    world: World
    who: str
    down: list[tuple[dt.datetime, dt.datetime]] = field(default_factory=list)
    quiet: list[tuple[dt.datetime, dt.datetime]] = field(default_factory=list)  # away or stopped
    moved: list[dt.datetime] = field(default_factory=list)
    asked_dates: set[dt.date] = field(default_factory=set)

    def quiet_now(self) -> bool:
        person = self.world.person(self.who)
        return person.status != Status.ACTIVE or self.world.course(self.who).episode.paused_for is not None

    def take(self, step: Step) -> None:
        what, hours, number = step
        begin, quiet = self.world.now, self.quiet_now()
        until = begin + dt.timedelta(hours=hours)
        if what.startswith("down"):
            self.world.now = until if what == "down" else begin + dt.timedelta(hours=hours * 3)
            self.down.append((begin, self.world.now))
            self.world.tick()
        else:
            self.world.live_until(until)
        self.act(what, number)
        if quiet or self.quiet_now():
            self.quiet.append((begin, self.world.now))

    def act(self, what: str, number: int) -> None:
        world, who = self.world, self.who
        person = world.person(who)
        stopped = world.course(who).episode.paused_for
        if what in ("answer", "half", "change"):
            self.say(what, number)
        elif what == "zone":
            world.on(who, change_zone, ZONES[number % len(ZONES)])
            self.moved.append(world.now)
        elif what == "evening":
            world.on(who, change_evening, dt.time.fromisoformat(EVENINGS[number % len(EVENINGS)]))
        elif what == "away":
            until = local_date(world.now, person.zone) + dt.timedelta(days=number + 1)
            world.on(who, go_away, until if number % 2 else None)
        elif what == "back" and not stopped and person.status == Status.AWAY:
            world.on(who, come_back)
        elif what == "danger":
            world.on(who, danger_told, Said(flag=Flag.RED_FLAG), world.now)
        elif what == "clear" and stopped:
            world.on(who, clear, "looked at")

    def say(self, what: str, number: int) -> None:
        world, who = self.world, self.who
        tonight = evening_of(world.now, world.person(who).zone)
        if what == "change":
            earlier = world.check_in(who, tonight - dt.timedelta(days=number))
            if earlier and earlier.pain is not None:
                world.answer_for(who, earlier.date, (earlier.pain + 3) % 11)
        elif tonight >= world.course(who).episode.started:
            world.answer(who, number, (99 if number % 3 else 1) if what == "answer" else None)


@pytest.mark.long
@examples(12)
@given(steps)
def test_whatever_happens_each_date_is_asked_once_and_every_decision_replays(
    fresh: Callable[[dt.datetime], World], walk: list[Step]
):
    world = fresh(START)
    story = Story(world, world.somebody())
    for step in walk:
        story.take(step)
        planned_when_it_should_be(story)
    story.take(("live", 60, 0))  # the last open evening is closed
    asked_once(story)
    none_lost(story)
    assert_replays(world, story.who)


def planned_when_it_should_be(story: Story) -> None:
    """A question is planned if and only if one is to come."""
    person = story.world.person(story.who)
    course = story.world.course(story.who)
    if person.status == Status.ACTIVE:
        assert (person.next_due is None) == (course.episode.paused_for is not None)
    latest = story.world.decisions(story.who)
    assert not latest or course.episode == latest[-1].decision.after


def asked_once(story: Story) -> None:
    """At most one question and one reminder a date, each in its time."""
    questions = story.world.messages(story.who, "evening.ask")
    dates = [message.facts["check_in"]["date"] for _, message in questions]
    assert len(dates) == len(set(dates))
    reminders = [message.facts["check_in"]["date"] for _, message in story.world.messages(story.who, "evening.remind")]
    assert len(reminders) == len(set(reminders))
    for at, message in questions:
        check_in = story.world.check_in(story.who, dt.date.fromisoformat(message.facts["check_in"]["date"]))
        assert check_in
        assert check_in.due_at <= at <= check_in.due_at + dt.timedelta(hours=3)


def none_lost(story: Story) -> None:
    """Every date has a check-in, or nobody was to be asked, or the person crossed it by moving."""
    world, who = story.world, story.who
    person = world.person(who)
    date, last = world.course(who).episode.started, local_date(world.now, person.zone) - dt.timedelta(days=2)
    while date <= last:
        check_in = world.check_in(who, date)
        noon = dt.datetime.combine(date, dt.time(12), dt.UTC)
        if check_in is None:
            near_quiet = any(begin - DAY <= noon <= end + DAY for begin, end in story.quiet)
            near_move = any(abs(moved - noon) <= 2 * DAY for moved in story.moved)
            assert near_quiet or near_move, f"{date} was lost"
        elif check_in.state == CheckInState.NOT_ASKED:
            assert missed_by_downtime(story, check_in.due_at), date
        date += dt.timedelta(days=1)


def missed_by_downtime(story: Story, due: dt.datetime) -> bool:
    """Whether we were down when it was due, and long enough: after the latest hour a day has 90 minutes left."""
    return any(begin <= due and end - due >= dt.timedelta(minutes=90) for begin, end in story.down)
