"""Commands and the buttons that stand for them: today, how, why, progress, pause, resume, and the rest."""

from collections.abc import Callable

from bot.conversation import enrol, evening, flows
from bot.conversation.progress_facts import progress_facts
from bot.conversation.talk import Talk
from core.model import Figure
from core.programme import Programme
from core.records import Status
from core.timetable import evening_of, local_date
from core.use_cases.deciding import dose_for
from core.use_cases.facts import decision_facts, dose_facts, figure_facts
from core.use_cases.leaving import go_away, leave

ALWAYS = frozenset({"privacy", "export", "erase", "help", "problem", "stop"})


def on_command(talk: Talk) -> None:
    """A slash command, with what follows it."""
    name = talk.came.command
    if name == "start":
        _start(talk)
    elif name in COMMANDS:
        run(talk, name)
    else:
        talk.say("help.unknown_command", command=name[:32])


def run(talk: Talk, name: str) -> None:
    """Run a command by its name, however it was asked for."""
    if name not in COMMANDS:
        talk.say("button.old")
    elif name in ALWAYS:
        COMMANDS[name](talk)
    elif talk.person.status == Status.ENROLLING:
        talk.say("enrol.first")
        _ask_open_question(talk)
    elif talk.person.status == Status.SCREENED_OUT or talk.course() is None:
        talk.say("screen.still")
    else:
        COMMANDS[name](talk)


def _ask_open_question(talk: Talk) -> None:
    step = talk.dialogue.step if talk.dialogue.flow == "enrol" else "consent"
    enrol.welcome(talk) if step == "consent" else enrol.ask(talk, step)


def _start(talk: Talk) -> None:
    if talk.person.status == Status.ENROLLING:
        _ask_open_question(talk)
    elif talk.person.status in (Status.LEFT, Status.AWAY, Status.UNREACHABLE):
        flows.resume(talk)
    elif talk.person.status == Status.SCREENED_OUT:
        talk.say("screen.still")
    else:
        talk.say("help.menu")


def _today(talk: Talk) -> None:
    course = talk.course()
    assert course
    programme = talk.work.shelf.get(talk.work.uow, course.programme_version)
    if course.episode.paused_for:
        talk.say("danger.still", flag=course.episode.paused_for.value, emergency=talk.emergency)
        return
    today = local_date(talk.work.now, talk.person.zone)
    date = max(today, course.episode.started)
    check_in = talk.work.uow.check_in_on(course.id, date)
    dose = dose_for(talk.work, course, date)
    if check_in and check_in.state.value == "answered":
        latest = talk.work.uow.latest_decision(course.id)
        if latest and latest.decision.dose:
            date, dose = latest.decision.for_date, latest.decision.dose
    talk.say("today", dose=dose_facts(programme, dose), date=date.isoformat(), today=today.isoformat())


def _how(talk: Talk) -> None:
    course = talk.course()
    assert course
    programme = talk.work.shelf.get(talk.work.uow, course.programme_version)
    dose = dose_for(talk.work, course, evening_of(talk.work.now, talk.person.zone))
    talk.say("how", dose=dose_facts(programme, dose))


def _why(talk: Talk) -> None:
    course = talk.course()
    assert course
    programme = talk.work.shelf.get(talk.work.uow, course.programme_version)
    latest = talk.work.uow.latest_decision(course.id)
    talk.say(
        "why",
        decision=decision_facts(programme, latest.decision) if latest else None,
        dose=dose_facts(programme, dose_for(talk.work, course, local_date(talk.work.now, talk.person.zone))),
        figures=figure_facts(programme, _numbers_of(programme, course.episode.step)),
    )


def _numbers_of(programme: Programme, step: int) -> list[Figure]:
    """What the step's dose and length rest on; `figures` are named by their path in the programme file."""
    paths = (f"step[{step}].dose", f"step[{step}].load", f"step[{step}].least")
    return [figure for figure in programme.figures if figure.name.startswith(paths)]


def _progress(talk: Talk) -> None:
    course = talk.course()
    assert course
    talk.say("progress", **progress_facts(talk, course))


def _change(talk: Talk) -> None:
    course = talk.course()
    answered = evening.last_answered(talk, course) if course else None
    if answered is None:
        talk.say("chat.nothing_open")
    else:
        evening.ask_again(talk, answered)


def _pause(talk: Talk) -> None:
    if talk.person.status == Status.ACTIVE:
        talk.person = go_away(talk.work, talk.person, None)
    talk.wait_for("away")
    talk.say("away.until")


def _stop(talk: Talk) -> None:
    if talk.person.status != Status.LEFT:
        leave(talk.work, talk.person)
        talk.refresh()
    talk.nothing_open()
    talk.say("left")


def _evening(talk: Talk) -> None:
    talk.wait_for("time")
    talk.say("time.ask", evening=talk.person.evening.isoformat("minutes"))


def _zone(talk: Talk) -> None:
    talk.wait_for("zone")
    talk.say("zone.ask", zone=talk.person.zone, zones=[])


def _problem(talk: Talk) -> None:
    talk.wait_for("problem")
    talk.say("problem.ask", emergency=talk.emergency)


def _erase(talk: Talk) -> None:
    talk.wait_for("erase")
    talk.say("erase.ask")


def _export(talk: Talk) -> None:
    talk.say("export", data=talk.work.uow.export(talk.person.id))


COMMANDS: dict[str, Callable[[Talk], None]] = {
    "today": _today,
    "how": _how,
    "why": _why,
    "progress": _progress,
    "change": _change,
    "pause": _pause,
    "resume": lambda talk: flows.resume(talk),
    "evening": _evening,
    "zone": _zone,
    "problem": _problem,
    "privacy": lambda talk: talk.say("privacy"),
    "export": _export,
    "erase": _erase,
    "stop": _stop,
    "help": lambda talk: talk.say("help", emergency=talk.emergency),
}
