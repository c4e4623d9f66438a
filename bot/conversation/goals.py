"""What the person wants to do again: named after the start, rated by tap or typed, asked again at some weeks.

A button carries the id of the asking it belongs to, so that it works whatever is being asked meanwhile.
"""

from bot.conversation.talk import PersonTalk
from core.records import Course, GoalReview
from core.scores.goals import CHANGE_MOST, HIGHEST, MOST_GOALS
from core.use_cases.patient_file import (
    CHANGE,
    add_goal,
    answer,
    drop_goals,
    due_review,
    first_review,
    goal_facts,
    may_add,
    may_change,
    open_question,
    week_reached,
)

FLOW = "goals"
NAMING, RATING = "name", "rate"
MOST_LETTERS = 80
ADD, ANEW, LATER, DONE = "add", "anew", "later", "done"


def offer(talk: PersonTalk) -> None:
    """Once the programme is set up; nobody has to."""
    talk.say("goals.offer", most=MOST_GOALS)


def show(talk: PersonTalk) -> None:
    """What was named, and the question that is still open; the first one where nothing was."""
    course = _course(talk)
    assert course
    reviews = talk.work.uow.people.goals(course.id)
    waiting = reviews[-1] if reviews and open_question(reviews[-1]) is not None else None
    if not reviews or not reviews[0].goals:
        _ask_for_words(talk)
    elif waiting:
        _go_on(talk, waiting)
    else:
        _list(talk, reviews[0])


def _course(talk: PersonTalk) -> Course | None:
    """The one that the goals are kept with: goals are the person's, and of two courses it is always the first."""
    return next(iter(talk.courses()), None)


def ask_if_due(talk: PersonTalk) -> None:
    """After an evening's answer: at some weeks, how it is with them now."""
    course = _course(talk)
    if course is None:
        return
    week = week_reached(talk.work, talk.person, course)
    if not week or talk.dialogue.flow:
        return
    if review := due_review(talk.work, talk.person, course, week):
        talk.say("goals.again", week=review.week)
        _go_on(talk, review)


def typed_answer(talk: PersonTalk) -> bool:
    """Take a typed line as what was asked for; False where it is something else."""
    words, course = " ".join(talk.came.text.split()), _course(talk)
    if course is None:
        return False
    review = first_review(talk.work, talk.person, course)
    if talk.dialogue.step == RATING:
        asked = _review(talk, course, str(talk.dialogue.facts.get("review")))
        question = open_question(asked) if asked else None
        if asked is None or question is None or not _is_number(words) or not _fits(question, int(words)):
            return False
        _go_on(talk, answer(talk.work, asked, question, int(words)))
    elif talk.typed("words.no"):
        talk.nothing_open()
        talk.say("goals.later")
    elif len(words) > MOST_LETTERS:
        talk.say("goals.shorter", most=MOST_LETTERS)
    elif not words or not may_add(talk.work, review):
        return False
    else:
        _go_on(talk, add_goal(talk.work, review, words))
    return True


def on_tap(talk: PersonTalk, argument: str) -> None:
    """A tapped number, or a button under the goals: `review.question.value`, or a word alone."""
    name, _, rest = argument.partition(".")
    course = _course(talk)
    if course is None:
        talk.say("button.old")
    elif name in (LATER, DONE):
        if talk.dialogue.flow == FLOW:
            talk.nothing_open()
        talk.say("goals.later" if name == LATER else "goals.done")
    elif name in (ADD, ANEW):
        review = first_review(talk.work, talk.person, course)
        if name == ANEW and may_change(talk.work, review):
            review = drop_goals(talk.work, review)
        if may_add(talk.work, review):
            _ask_for_words(talk)
        else:
            talk.say("button.old")
    else:
        _tapped_number(talk, course, name, rest)


def _tapped_number(talk: PersonTalk, course: Course, review_id: str, rest: str) -> None:
    review = _review(talk, course, review_id)
    where, _, value = rest.partition(".")
    question: int | str = int(where) if where.isdecimal() else where
    known = review is not None and (question == CHANGE or question in range(len(review.goals)))
    if review is None or not known or not _is_number(value) or not _fits(question, int(value)):
        talk.say("button.old")
    else:
        _go_on(talk, answer(talk.work, review, question, int(value)))


def _review(talk: PersonTalk, course: Course, review_id: str) -> GoalReview | None:
    return next((each for each in talk.work.uow.people.goals(course.id) if each.id == review_id), None)


def _is_number(words: str) -> bool:
    return words.removeprefix("-").removeprefix("+").isdecimal() and len(words) <= len("-10")


def _fits(question: int | str, value: int) -> bool:
    return abs(value) <= CHANGE_MOST if question == CHANGE else 0 <= value <= HIGHEST


def _ask_for_words(talk: PersonTalk) -> None:
    talk.wait_for(FLOW, NAMING)
    talk.say("goals.name")


def _go_on(talk: PersonTalk, review: GoalReview) -> None:
    """The next question; what they come to once there is none."""
    question = open_question(review)
    if question is None:
        _list(talk, review)
        return
    talk.wait_for(FLOW, RATING, talk.dialogue.check_in_id, review=review.id)
    goal = None if isinstance(question, str) else review.goals[question]
    talk.say("goals.change" if goal is None else "goals.rate", review=review.id, question=question, goal=goal)


def _list(talk: PersonTalk, review: GoalReview) -> None:
    more = review.week == 0 and may_add(talk.work, review)
    fewer = review.week == 0 and may_change(talk.work, review)
    talk.nothing_open()
    told = goal_facts(talk.work.uow.people.goals(review.course_id))
    talk.say("goals.list", goals=told, more=more, anew=fewer, asked_again=bool(review.week))
