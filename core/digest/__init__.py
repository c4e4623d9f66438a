"""The week of one therapist's caseload: who needs attention first, and the counts. Pure facts, no words."""

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass, replace
from math import ceil

from core.digest.attention import Attention, Urgency, place
from core.digest.patient_week import PatientWeek

PANELS = 8  # patients in a picture: four rows of two are what a six-inch phone shows readably at once
PAGES = 100  # patients in a file: a few megabytes, and seconds to draw


@dataclass(frozen=True, slots=True)
class Counts:
    """`active` to `left` part the caseload: each patient is in exactly one. The others count whom they fit."""

    patients: int
    active: int  # asked every evening
    stopped: int  # for danger
    halted: int  # by the therapist
    away: int
    unreachable: int
    left: int
    completed: int
    silent: int
    moved_up: int
    stepped_back: int
    rated: int  # evenings
    asked: int


@dataclass(frozen=True, slots=True)
class Digest:
    """One therapist's week; `patients` in the order in which they need attention."""

    monday: dt.date
    patients: tuple[PatientWeek, ...]
    counts: Counts
    unreadable: tuple[str, ...] = ()  # names of those of whom nothing could be read

    @property
    def sunday(self) -> dt.date:
        return self.monday + dt.timedelta(days=6)


def needing(digest: Digest) -> tuple[PatientWeek, ...]:
    """Who has a line of their own in the message and a panel in a picture."""
    return tuple(each for each in digest.patients if each.urgency in (Urgency.ACT, Urgency.LOOK))


def having(digest: Digest, code: Attention) -> tuple[PatientWeek, ...]:
    """Whom one reason holds for, whatever else does; of two courses the first for which it does."""
    sides = (next((side for side in (each, *each.others) if code in side.attention), None) for each in digest.patients)
    return tuple(filter(None, sides))


def calm(digest: Digest) -> tuple[PatientWeek, ...]:
    """Whom the therapist need not do anything about."""
    return tuple(each for each in digest.patients if each.urgency not in (Urgency.ACT, Urgency.LOOK))


def pictures(digest: Digest) -> int:
    """How many pictures the digest takes; none when nobody needs attention."""
    return ceil(len(needing(digest)) / PANELS)


def files(digest: Digest) -> int:
    """How many files the digest takes; one also for nobody, with the overview alone."""
    return max(ceil(len(digest.patients) / PAGES), 1)


def in_file(digest: Digest, part: int) -> tuple[PatientWeek, ...]:
    """The patients in the file `part`, from 0; of whoever has two courses both, one after the other."""
    some = digest.patients[part * PAGES : (part + 1) * PAGES]
    return tuple(week for each in some for week in (each, *each.others))


def _together(weeks: Iterable[PatientWeek]) -> Iterable[PatientWeek]:
    """One a patient, in their order: of two courses the more urgent one, with the other beside it."""
    by_person: dict[str, list[PatientWeek]] = {}
    for week in sorted(weeks, key=_order):
        by_person.setdefault(week.who.id, []).append(week)
    return (replace(first, others=tuple(others)) for first, *others in by_person.values())


def digest(weeks: Iterable[PatientWeek], monday: dt.date, unreadable: Iterable[str] = ()) -> Digest:
    """The week's digest. Raises ValueError when a patient's facts are of another week."""
    patients = tuple(_together(weeks))
    for each in patients:
        if each.monday != monday:
            raise ValueError(f"facts of the week of {each.monday} in the digest of {monday}; gather that week's")
    return Digest(monday, patients, _counts(patients), tuple(unreadable))


def _order(week: PatientWeek) -> tuple[object, ...]:
    return place(week.attention, week.who.settled, week.change, week.this.mean, week.who.name, week.who.id)


def state(week: PatientWeek) -> str:
    """Which one part of the caseload a patient belongs to; the name of a field of Counts."""
    for name, holds in (
        ("stopped", week.stopped_for is not None),
        ("halted", week.halted is not None),
        ("left", week.who.left),
        ("unreachable", week.who.unreachable),
        ("away", week.who.away),
        ("completed", week.completed),
    ):
        if holds:
            return name
    return "active"


def _counts(patients: tuple[PatientWeek, ...]) -> Counts:
    states = [state(each) for each in patients]
    return Counts(
        patients=len(patients),
        active=states.count("active"),
        stopped=states.count("stopped"),
        halted=states.count("halted"),
        away=states.count("away"),
        unreachable=states.count("unreachable"),
        left=states.count("left"),
        completed=states.count("completed"),
        silent=sum(Attention.SILENT in each.attention for each in patients),
        moved_up=sum(any(move.up for side in (each, *each.others) for move in side.moves) for each in patients),
        stepped_back=sum(not all(move.up for side in (each, *each.others) for move in side.moves) for each in patients),
        rated=sum(side.this.week.rated for each in patients for side in (each, *each.others)),
        asked=sum(side.this.week.asked for each in patients for side in (each, *each.others)),
    )
