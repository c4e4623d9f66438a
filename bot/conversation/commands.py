"""Commands and the buttons that stand for them: today, how, why, progress, pause, resume, and the rest."""

import datetime as dt
from collections.abc import Callable

from bot.buttons import Verb, carried
from bot.conversation import danger, enrol, evening, flows, goals, guiding, questions, signs
from bot.conversation.noting import ask_again
from bot.conversation.talk import PersonTalk
from core.facts import DoseFacts
from core.model import Dose, Figure
from core.programme import Programme
from core.records import CheckInState, Course, Role, Status
from core.rule.course import is_stopped
from core.timetable import local_date
from core.use_cases.deciding import as_told, dose_for, last_told
from core.use_cases.gathering import (
    course_facts,
    decision_facts,
    dose_facts,
    figure_facts,
    sheet_facts,
    side_of,
    why_no_sets,
)
from core.use_cases.joining import MAY_RETURN, come_again, role_of
from core.use_cases.leaving import go_away, leave
from core.use_cases.patient_file import goal_facts

ALWAYS = frozenset({"privacy", "export", "erase", "help", "problem", "stop"})
THEIR_OWN = frozenset({"privacy", "export", "erase"})  # also before the programme, and after it
OUTSIDE = frozenset({Status.UNCONFIRMED, Status.DISCHARGED})
NOT_ASKED = OUTSIDE | {Status.SCREENED_OUT, Status.LEFT}
STILL = {
    Status.UNCONFIRMED: "newcomer.still",
    Status.DISCHARGED: "discharged.still",
    Status.SCREENED_OUT: "screen.still",
    Status.LEFT: "left.still",
    Status.AWAY: "away.still",
}


def on_command(talk: PersonTalk) -> None:
    """A slash command, with what follows it."""
    name = talk.came.command
    flows.let_drop(talk)
    if name == "start":
        _start(talk)
    elif name in COMMANDS:
        run(talk, name)
    else:
        talk.say("help.unknown_command", command=name[:32])


def run(talk: PersonTalk, name: str) -> None:
    """Run a command by its name, however it was asked for."""
    if name not in COMMANDS:
        talk.say("button.old")
    elif talk.person.status in OUTSIDE and name not in THEIR_OWN:
        say_still(talk)
    elif name in ALWAYS:
        COMMANDS[name](talk)
    elif talk.person.status == Status.ENROLLING:
        talk.say("enrol.first")
        enrol.ask_open_question(talk)
    elif talk.person.status == Status.SCREENED_OUT:
        say_still(talk)
    elif talk.course() is None:
        talk.say("left.still")
    else:
        COMMANDS[name](talk)


def on_button(talk: PersonTalk, name: str) -> None:
    """A button that stands for a command."""
    flows.let_drop(talk)
    run(talk, name)


def say_still(talk: PersonTalk) -> None:
    """That it is still so: not confirmed yet, to be looked at first, away, left, discharged."""
    talk.say(STILL[talk.person.status], emergency=talk.emergency)


def came_again(talk: PersonTalk) -> bool:
    """Whether the text is a new invitation by which somebody who left or was discharged begins anew; it is used."""
    code = talk.came.text.strip()
    if talk.person.status not in MAY_RETURN or not code or role_of(talk.work, code) != Role.PATIENT:
        return False
    again = come_again(talk.work, talk.person, code, talk.came.name)
    if again is None:
        return False
    talk.person = again
    if again.status == Status.ENROLLING:
        enrol.welcome(talk)
    else:
        talk.say("newcomer.wait", emergency=talk.emergency)
    return True


def _start(talk: PersonTalk) -> None:
    course = talk.course()
    if came_again(talk):
        return
    if talk.came.text.strip() and role_of(talk.work, talk.came.text):
        talk.say("start.other_account")  # the invitation stays good
    elif talk.person.status == Status.ENROLLING:
        enrol.ask_open_question(talk)
    elif talk.person.status in (Status.LEFT, Status.AWAY, Status.UNREACHABLE):
        flows.resume(talk)
    elif talk.person.status in STILL:
        say_still(talk)
    elif course is None or not danger.still_stopped(talk, course):
        talk.say("help.menu", **flows.next_question(talk))


def _of_each(
    tell: Callable[[PersonTalk, Course], None], *, of_dose: bool = False
) -> Callable[[PersonTalk], None]:
    """The command for each course of the person; `of_dose`: it is told once where both arms have the same dose."""

    def run_for(talk: PersonTalk) -> None:
        courses = talk.courses()
        if of_dose and len(courses) > 1 and not any(is_stopped(each.episode) for each in courses):
            one, other = (_next_dose(talk, each) for each in courses)
            talk.of_both = one == other
        for course in talk.each_course():
            tell(talk, course)
            if talk.of_both:
                break
        talk.of_both = False

    return run_for


def _today(talk: PersonTalk, course: Course) -> None:
    if danger.still_stopped(talk, course):
        return
    if talk.person.status == Status.AWAY:
        talk.say("away.still")
        return
    today = local_date(talk.work.now, talk.person.zone)
    date, dose = _next_dose(talk, course)
    talk.say("today", dose=dose_facts(talk.programme, dose), date=date, today=today)
    if talk.of_both or course == talk.courses()[-1]:
        signs.put_instead(talk)


def _next_dose(talk: PersonTalk, course: Course) -> tuple[dt.date, Dose]:
    """The dose that is still to be done: today's, tomorrow's once this evening is decided, the first one's before."""
    date = max(local_date(talk.work.now, talk.person.zone), course.episode.started)
    check_in = talk.work.uow.diary.check_in_on(course.id, date)
    latest = last_told(talk.work, course)
    if check_in and check_in.state == CheckInState.ANSWERED and latest and latest.decision.dose:
        told = as_told(talk.work, course, latest.decision)
        return told.for_date, told.dose or latest.decision.dose
    return date, dose_for(talk.work, course, date)


def _how(talk: PersonTalk, course: Course) -> None:
    if danger.still_stopped(talk, course):
        return
    dose = dose_facts(talk.programme, _next_dose(talk, course)[1], how=True)
    _look(talk, course, dose)
    talk.say("how", dose=dose)


def _sheet(talk: PersonTalk, course: Course) -> None:
    today = local_date(talk.work.now, talk.person.zone)
    if why_no_sets(course.episode, today):
        _how(talk, course)
    else:
        talk.say("how.sheet", **sheet_facts(talk.work, talk.person, course))


def _moving(talk: PersonTalk, course: Course) -> None:
    if danger.still_stopped(talk, course):
        return
    if not _look(talk, course, dose_facts(talk.programme, _next_dose(talk, course)[1], how=True), moving=True):
        _how(talk, course)


def _look(talk: PersonTalk, course: Course, dose: DoseFacts, *, moving: bool = False) -> bool:
    """How each exercise of the dose looks; False where the programme has a picture of none."""
    seen = [each.key for each in dose.exercises if each.key in dose.pictures]
    for key in seen:
        talk.say("how.look", dose=dose, exercise=key, side=course.side, moving=moving)
    return bool(seen)


def _why(talk: PersonTalk, course: Course) -> None:
    programme = talk.work.programme_of(course)
    latest = last_told(talk.work, course)
    talk.say(
        "why",
        decided=decision_facts(programme, latest.decision) if latest else None,
        dose=dose_facts(programme, _next_dose(talk, course)[1]),
        figures=figure_facts(programme, _numbers_of(programme, course.episode.step)),
    )


def _numbers_of(programme: Programme, step: int) -> list[Figure]:
    """What the step's dose and length rest on; `figures` are named by their path in the programme file."""
    paths = (f"step[{step}].exercise", f"step[{step}].load", f"step[{step}].least")
    return [figure for figure in programme.figures if figure.name.startswith(paths)]


def _progress(talk: PersonTalk, course: Course) -> None:
    goals_told = goal_facts(talk.work.uow.people.goals(course.id))
    talk.say("progress", course=course_facts(talk.work, talk.person, course), goals=goals_told)


def _change(talk: PersonTalk) -> None:
    answered = [(each, last) for each in talk.courses() if (last := evening.last_answered(talk, each))]
    if len(answered) > 1:
        sides = [(side_of(talk.programme, each.side), carried(Verb.LAST_ANSWER, last.id)) for each, last in answered]
        talk.say("which_side.change", sides=sides)
    elif answered:
        talk.about(answered[0][0].id)
        ask_again(talk, answered[0][1])
    else:
        talk.say("chat.nothing_open")


def _pause(talk: PersonTalk) -> None:
    if talk.person.status == Status.ACTIVE:
        talk.person = go_away(talk.work, talk.person, None)
    talk.wait_for("away")
    talk.say("away.until")


def _stop(talk: PersonTalk) -> None:
    if talk.person.status == Status.ENROLLING:
        talk.wait_for("enrol", "consent")  # what was agreed to is taken back
    if talk.person.status != Status.LEFT:
        leave(talk.work, talk.person)
        talk.refresh()
    talk.nothing_open()
    talk.say("left")


def _ask(flow: str, facts: Callable[[PersonTalk], dict[str, object]]) -> Callable[[PersonTalk], None]:
    """Put a short question, whatever else was open."""

    def ask(talk: PersonTalk) -> None:
        talk.wait_for(flow)
        talk.say(f"{flow}.ask", **facts(talk))

    return ask


def _cut_in(flow: str) -> Callable[[PersonTalk], None]:
    """Put one before what is open."""

    def ask(talk: PersonTalk) -> None:
        talk.cut_in(flow)
        talk.say(f"{flow}.ask", emergency=talk.emergency)

    return ask


def _export(talk: PersonTalk) -> None:
    data = dict(talk.work.uow.people.export(talk.person.id))
    # an earlier copy inside each new one would double it every time
    data["messages_out"] = [each for each in data["messages_out"] if each["kind"] != "export"]
    talk.say("export", data=data)


COMMANDS: dict[str, Callable[[PersonTalk], None]] = {
    "today": _of_each(_today, of_dose=True),
    "set": lambda talk: guiding.start(talk),
    "how": _of_each(_how, of_dose=True),
    "sheet": _of_each(_sheet),
    "moving": _of_each(_moving, of_dose=True),
    "why": _of_each(_why),
    "progress": _of_each(_progress),
    "goals": goals.show,
    "change": _change,
    "pause": _pause,
    "resume": lambda talk: flows.resume(talk),
    "evening": _ask("time", lambda talk: {"evening": talk.person.evening}),
    "nudges": lambda talk: guiding.ask_hours(talk),
    "zone": _ask("zone", lambda talk: {"zone": talk.person.zone, "zones": []}),
    "problem": _cut_in("problem"),
    "questions": questions.offer,
    "ask": questions.pass_on,
    "learn": lambda talk: questions.learn(talk),
    "privacy": lambda talk: talk.say("privacy"),
    "export": _export,
    "erase": _cut_in("erase"),
    "stop": _stop,
    "help": lambda talk: talk.say("help", emergency=talk.emergency),
}
