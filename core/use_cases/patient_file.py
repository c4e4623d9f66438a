"""What is kept of a patient beside the diary: what they want to do again, and the staff's tasks, notes and scores."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import replace

from core.digest.patient_week import DueTask
from core.errors import RefusalError
from core.facts import GoalFacts
from core.ports import UnitOfWork
from core.records import Course, GoalReview, Note, OutcomeScore, Person, Staff, Task
from core.scores.goals import MOST_GOALS, WEEKS, goal_change
from core.scores.prtee import PrteeScore
from core.timetable import evening_of, local_date
from core.use_cases.rights import LONGEST_TEXT, audit, check, course_for, require, trimmed
from core.use_cases.work import Work
from core.weeks import WEEK_DAYS

CHANGE = "change"  # the question of how it is all in all
LONGEST_TASK = 100  # characters: it has to fit a line of the week
MOST_DAYS = 90  # ahead; judgement: later is another appointment
MOST_OPEN = 5  # of one patient


def first_review(work: Work, person: Person, course: Course) -> GoalReview:
    """The one of the start; a new one, not yet kept, where there is none."""
    known = next((each for each in work.uow.people.goals(course.id) if each.week == 0), None)
    return known or _new(work, person, course, 0, [])


def may_change(work: Work, review: GoalReview) -> bool:
    """Goals are named until they are first asked again, so that the same ones are compared."""
    return not any(each.week for each in work.uow.people.goals(review.course_id))


def may_add(work: Work, review: GoalReview) -> bool:
    """Whether there is room for one more."""
    return len(review.goals) < MOST_GOALS and may_change(work, review)


def add_goal(work: Work, review: GoalReview, words: str) -> GoalReview:
    """Keep one more, not yet rated."""
    goals, ratings = [*review.goals, words], [*review.ratings, None]
    return _save(work, replace(review, said={"goals": goals}, rated={"ratings": ratings}))


def drop_goals(work: Work, review: GoalReview) -> GoalReview:
    """Forget what was named, to name it anew."""
    return _save(work, replace(review, said={"goals": []}, rated={"ratings": []}))


def answer(work: Work, review: GoalReview, question: int | str, value: int) -> GoalReview:
    """Keep the rating of the goal of that number, or how it is all in all; said again it replaces."""
    if question == CHANGE:
        return _save(work, replace(review, change=value))
    ratings: list[int | None] = review.ratings
    ratings[int(question)] = value
    return _save(work, replace(review, rated={"ratings": ratings}))


def open_question(review: GoalReview) -> int | str | None:
    """The number of the next goal to rate, CHANGE, or None once all is answered."""
    for number, rating in enumerate(review.ratings):
        if rating is None:
            return number
    return CHANGE if review.week and review.change is None else None


def week_reached(work: Work, person: Person, course: Course) -> int:
    """The latest week of asking that the course has reached; 0 for none."""
    days = (evening_of(work.now, person.zone) - course.episode.started).days
    return max((week for week in WEEKS if days >= week * WEEK_DAYS), default=0)


def due_review(work: Work, person: Person, course: Course, week: int) -> GoalReview | None:
    """A new one for that week; None where it, or a later one, was asked already."""
    reviews = work.uow.people.goals(course.id)
    if any(each.week >= week for each in reviews):
        return None
    goals = next((each.goals for each in reviews if each.week == 0), [])
    return _save(work, _new(work, person, course, week, goals))


def goal_facts(reviews: Sequence[GoalReview]) -> GoalFacts:
    """Each goal with its first and its latest rating, what the change is worth, and how it is all in all."""
    first = next((each for each in reviews if each.week == 0), None)
    later = [each for each in reviews if each.week and any(rating is not None for rating in each.ratings)]
    latest = later[-1] if later else None
    now = latest.ratings if latest else [None] * MOST_GOALS
    return GoalFacts(
        goals=tuple(zip(first.goals, first.ratings, now, strict=False)) if first else (),
        week=latest.week if latest else None,
        change=goal_change(first.ratings, latest.ratings) if first and latest else None,
        overall=next(((each.week, each.change) for each in reversed(reviews) if each.change is not None), None),
    )


def score_due(work: Work, person: Person, course: Course, scored: Sequence[int]) -> int | None:
    """The week of asking that the course has reached without a score of the clinic's questionnaire near it."""
    week = week_reached(work, person, course)
    return None if not week or any(each >= week - 1 for each in scored) else week


def _new(work: Work, person: Person, course: Course, week: int, goals: list[str]) -> GoalReview:
    empty: list[int | None] = [None] * len(goals)
    said, rated = {"goals": goals}, {"ratings": empty}
    return GoalReview(work.new_id(), person.clinic_id, person.id, course.id, work.now, week, said, rated)


def _save(work: Work, review: GoalReview) -> GoalReview:
    work.uow.people.save_goals(review)
    return review


def add_task(work: Work, staff: Staff, person: Person, due: dt.date, text: str) -> Task:
    """Put a task down; the patient is not told. RefusalError for a day that is over or far, and for a sixth task."""
    require(work, staff, person, "task")
    today = local_date(work.now, staff.zone)
    if not today <= due <= today + dt.timedelta(days=MOST_DAYS):
        raise RefusalError(f"{due} is no day from {today} on within {MOST_DAYS} days", "task_day", most=MOST_DAYS)
    if len(work.uow.people.tasks(person.id)) >= MOST_OPEN:
        raise RefusalError(f"person {person.id} has {MOST_OPEN} open tasks", "task_many", most=MOST_OPEN)
    one_line = " ".join(trimmed(text, LONGEST_TASK).split())
    task = Task(work.new_id(), person.clinic_id, person.id, staff.id, work.now, due, one_line)
    work.uow.people.save_task(task)
    return task


def finish_task(work: Work, staff: Staff, person: Person, ending: str) -> Task:
    """The open task whose id ends so is done. RefusalError when it is not open any more."""
    check(work, staff, person, "task_done")
    task = next((each for each in work.uow.people.tasks(person.id) if ending and each.id.endswith(ending)), None)
    if task is None:
        raise RefusalError(f"person {person.id} has no open task {ending!r}", "task_gone")
    require(work, staff, person, "task_done")
    work.uow.people.save_task(replace(task, done_at=work.now))
    return task


def due_tasks(uow: UnitOfWork, person: Person, until: dt.date) -> tuple[DueTask, ...]:
    """What is open and due by `until`, the earliest first."""
    return tuple(DueTask(each.id, each.due, each.text) for each in uow.people.tasks(person.id) if each.due <= until)


def add_note(work: Work, staff: Staff, person: Person, text: str) -> Note:
    """Keep a note for the file; the person is not told."""
    check(work, staff, person, "note")
    note = Note(work.new_id(), person.clinic_id, person.id, staff.id, work.now, trimmed(text, LONGEST_TEXT))
    work.uow.people.add_note(note)
    audit(work, staff, "note", person)
    return note


def record_outcome(work: Work, staff: Staff, person: Person, score: PrteeScore, side: str = "") -> OutcomeScore:
    """Keep a questionnaire's score, for the week of the course it was filled in, rounded."""
    check(work, staff, person, "outcome")
    course = course_for(work, person, side)
    days = (local_date(work.now, person.zone) - course.episode.started).days
    outcome = OutcomeScore(
        id=work.new_id(),
        clinic_id=person.clinic_id,
        person_id=person.id,
        course_id=course.id,
        at=work.now,
        week=max(round(days / 7), 0),
        total=score.total,
        pain=score.pain,
        function=score.function,
        answered=score.answered,
    )
    work.uow.people.save_outcome(outcome)
    audit(work, staff, "outcome", person)
    return outcome
