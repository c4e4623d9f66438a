"""Deciding stored diaries once more: whether each decision comes out as stored, and what another programme changes.

Nothing is written. What people answered stays as it was, and so does what staff did, each where it stood: how the pain
would have gone under another dose is not known. A rule that has changed since cannot be run any more, so agreement is
demanded of decisions of the present rule version only; those of an older one are counted as such.
"""

import datetime as dt
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace

from core.model import Decision, Episode, Evening, Move, NoticeKind
from core.ports import UnitOfWork
from core.programme import Programme
from core.records import Course, Person, StoredDecision
from core.rule import RULE_VERSION, begin
from core.timetable import ONE_DAY, evening_of
from core.use_cases.entries import LOOK_BACK, decide_entry, entry_of
from core.use_cases.work import Programmes


@dataclass(frozen=True, slots=True)
class Way:
    """What a course came to: the step at the end, moves by kind, days without a dose, notices by kind."""

    step: int
    moves: Counter[Move]
    stopped_days: int
    notices: Counter[NoticeKind]


@dataclass(frozen=True, slots=True)
class Difference:
    """One decision that comes out differently."""

    date: dt.date
    was: Decision
    would: Decision


@dataclass(frozen=True, slots=True)
class Replayed:
    """One course decided once more.

    The stored decisions are made again from where each began, by its own programme: `agree` counts those that come out
    the same, `differ` has those that do not, `older` counts those of an older rule, `older_same` of them those that the
    present one makes likewise. `changes` are of the whole course lived again.
    """

    person_id: str
    course: Course
    decisions: int
    agree: int
    older: int
    older_same: int
    differ: tuple[StoredDecision, ...]
    changes: tuple[Difference, ...]  # in move, dose, notices or advice
    was: Way
    would: Way


@dataclass(slots=True)
class Sum:
    """Many courses together, one at a time: it holds counts only."""

    courses: int = 0
    changed: int = 0  # courses with any change
    decisions: int = 0
    agree: int = 0
    older: int = 0
    older_same: int = 0
    differ: int = 0
    changes: int = 0
    moves: int = 0  # decisions with another move
    further: int = 0  # courses that end on a higher step
    behind: int = 0
    stopped_days: int = 0  # more, or less where negative
    notices: Counter[NoticeKind] = field(default_factory=Counter)  # likewise

    def add(self, one: Replayed) -> None:
        """Count one course in."""
        self.courses += 1
        self.changed += bool(one.changes)
        self.decisions += one.decisions
        self.agree += one.agree
        self.older += one.older
        self.older_same += one.older_same
        self.differ += len(one.differ)
        self.changes += len(one.changes)
        self.moves += other_moves(one.changes)
        self.further += one.would.step > one.was.step
        self.behind += one.would.step < one.was.step
        self.stopped_days += one.would.stopped_days - one.was.stopped_days
        self.notices.update(one.would.notices)
        self.notices.subtract(one.was.notices)


def other_moves(changes: Iterable[Difference]) -> int:
    """How many of the changes are of the move itself, not of the dose alone."""
    return sum(each.was.move != each.would.move for each in changes)


def replay_person(
    uow: UnitOfWork, programmes: Programmes, person: Person, now: dt.datetime, other: Programme | None = None
) -> Iterator[Replayed]:
    """Each course of a person in turn, by `other` or else by its own programme, and by the present rule.

    `now` ends the days of a stop that still lasts. Courses without a decision are left out.
    """
    for course in uow.diary.courses(person.id):
        stored = uow.decisions.of(course.id)
        if stored:
            until = evening_of(min(course.ended_at or now, now), person.zone) + ONE_DAY
            yield _replay_course(uow, programmes, course, stored, until, other)


def _replay_course(
    uow: UnitOfWork,
    programmes: Programmes,
    course: Course,
    stored: Sequence[StoredDecision],
    until: dt.date,
    other: Programme | None,
) -> Replayed:
    own = programmes.get(uow, course.programme_version)
    diary = uow.diary.evenings(course.id, stored[0].date - LOOK_BACK, stored[-1].date)
    of_now = [each for each in stored if each.decision.rule_version == RULE_VERSION]
    older = [each for each in stored if each.decision.rule_version != RULE_VERSION]
    differ = tuple(each for each in of_now if not _agrees(uow, programmes, each, diary))
    lived = _live_again(own, other or own, stored, diary)
    changes = (
        Difference(each.date, each.decision, would)
        for each, would in zip(stored, lived, strict=True)
        if _told(each.decision) != _told(would)
    )
    return Replayed(
        person_id=course.person_id,
        course=course,
        decisions=len(stored),
        agree=len(of_now) - len(differ),
        older=len(older),
        older_same=sum(_agrees(uow, programmes, each, diary) for each in older),
        differ=differ,
        changes=tuple(changes),
        was=_way([each.decision for each in stored], until),
        would=_way(lived, until),
    )


def _agrees(uow: UnitOfWork, programmes: Programmes, stored: StoredDecision, diary: Sequence[Evening]) -> bool:
    programme = programmes.get(uow, stored.decision.programme_version)
    made = decide_entry(programme, stored.before, diary, entry_of(stored), again=True)
    return replace(made, rule_version=stored.decision.rule_version) == stored.decision


def _live_again(
    own: Programme, other: Programme, stored: Sequence[StoredDecision], diary: Sequence[Evening]
) -> list[Decision]:
    episode = _beginning(own, other, stored[0].before)
    lived = []
    for each in stored:
        lived.append(decide_entry(other, episode, diary, entry_of(each), again=True))
        episode = lived[-1].after
    return lived


def _beginning(own: Programme, other: Programme, first: Episode) -> Episode:
    """As the course would have begun; after an injection it begins gently, whatever the start rating."""
    gently = first.step != begin(own, first.started, first.start_rating).step
    return begin(other, first.started, first.start_rating, gently=gently)


def _told(decision: Decision) -> tuple[object, ...]:
    """What of a decision reaches people; versions and the rule's own memory do not."""
    return decision.move, decision.dose, decision.notices, decision.ask_red_flags, decision.see_clinician


def _way(decisions: Sequence[Decision], until: dt.date) -> Way:
    notices = {(kind, each.date) for each in decisions for kind in each.notices}  # as it is told: once a date
    ends = [*(each.for_date for each in decisions[1:]), until]
    return Way(
        step=decisions[-1].step,
        moves=Counter(each.move for each in decisions),
        stopped_days=sum(
            max((end - each.for_date).days, 0)
            for each, end in zip(decisions, ends, strict=True)
            if each.dose is None
        ),
        notices=Counter(kind for kind, _ in notices),
    )
