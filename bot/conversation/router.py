"""Where a thing a person did goes: the way in, a command, a button, an edit, or plain words.

Whose button it is, and whether it is too late for it, is looked at here for all of them.
"""

from collections.abc import Callable
from dataclasses import replace

from bot.buttons import VERSION, Verb
from bot.conversation import commands, danger, enrol, flows, goals, guiding, questions, sides, signs
from bot.conversation.danger import tapped_red_flags
from bot.conversation.noting import ask_again, ask_other_side, confirmed, note, on_weight
from bot.conversation.staff.router import handle_staff
from bot.conversation.talk import ChatSettings, PersonTalk, StaffTalk, say_slow
from bot.conversation.typed import typed_button
from bot.ports import Came, Incoming
from core.records import CheckIn, Course, Person, Priority, Staff, Status
from core.timetable import ONE_DAY
from core.use_cases.answering import Said, is_complete, record
from core.use_cases.coming_back import come_back
from core.use_cases.joining import accept_any, role_of
from core.use_cases.leaving import cannot_reach
from core.use_cases.work import Recipient, Work, queue

HIGHEST_PAIN = 10


def handle(work: Work, came: Incoming, chats: ChatSettings, update_key: str, *, flooded: bool = False) -> None:
    """Answer one thing a person did. All of it happens in the caller's transaction, replies included.

    `flooded` holds the replies back from a chat that sends far too much.
    """
    person = work.uow.people.patient_at(came.channel, came.address)
    if person:
        flow = work.uow.dialogues.of_patient(person.id).flow
        if person.status is not Status.SCREENED_OUT:  # nothing is to be tapped until the therapist has looked
            came = _as_tap(work, came, asked=bool(flow), numbers=False)
        talk = PersonTalk(work, person, came, chats, update_key, flooded)
        _route(talk)
        talk.send()
        return
    staff = work.uow.staff.at(came.channel, came.address, lock=True)
    if staff and staff.left_at is None:
        flow = work.uow.dialogues.get(staff.id).flow
        came = _as_tap(work, came, asked=bool(flow), numbers=not flow)
        _on_staff(StaffTalk(work, staff, came, chats, update_key, flooded))
    elif came.came in (Came.BLOCKED, Came.UNBLOCKED):
        return
    elif flooded:
        say_slow(work, _stranger(came, chats), chats.clinic.emergency)
    else:
        _way_in(work, came, chats, update_key)


def _as_tap(work: Work, came: Incoming, *, asked: bool, numbers: bool) -> Incoming:
    """A typed label as the tap it stands for; the words stay with it."""
    data = typed_button(work.uow, came, asked=asked, numbers=numbers)
    return replace(came, came=Came.TAP, data=data) if data else came


def _on_staff(talk: StaffTalk) -> None:
    if talk.came.command == "start" and talk.came.text.strip() and role_of(talk.work, talk.came.text):
        talk.say("start.other_account")  # the invitation stays good
        talk.send()
    else:
        handle_staff(talk)


def _way_in(work: Work, came: Incoming, chats: ChatSettings, update_key: str) -> None:
    """A newcomer with a good code becomes a patient or staff; anybody else gets a polite way in and nothing else."""
    newcomer = _newcomer(work, came, chats)
    code = came.text.strip() if came.came in (Came.TEXT, Came.COMMAND) else ""
    joined = accept_any(work, code, newcomer) if code else None
    if isinstance(joined, Staff):
        # as if they had only said hello: the code is used up, and means nothing more
        hello = replace(came, came=Came.COMMAND, command="start", text="")
        staff_talk = StaffTalk(work, joined, hello, chats, update_key)
        if joined.lead:  # of whom nobody asks to be confirmed
            staff_talk.say("therapist.welcome", lead=True)
            staff_talk.send()
        else:
            handle_staff(staff_talk)
    elif joined:
        talk = PersonTalk(work, joined, came, chats, update_key)
        if joined.status == Status.UNCONFIRMED:
            talk.say("newcomer.wait", emergency=talk.emergency)
        else:
            enrol.welcome(talk)
        talk.send()
    else:
        _turn_away(work, came, chats, update_key, bad_code=came.command == "start" and bool(code))


def _newcomer(work: Work, came: Incoming, chats: ChatSettings) -> Person:
    return Person(
        id=work.new_id(),
        clinic_id=chats.clinic.id,
        channel=came.channel,
        address=came.address,
        language=came.language or chats.clinic.language,
        zone=chats.clinic.zone,
        evening=chats.evening,
        status=Status.ENROLLING,
        created_at=work.now,
        name=came.name,
    )


def _turn_away(work: Work, came: Incoming, chats: ChatSettings, update_key: str, *, bad_code: bool) -> None:
    kind = "stranger.bad_code" if bad_code else "stranger.way_in"
    facts = {"emergency": chats.clinic.emergency}
    queue(work, _stranger(came, chats), kind, facts, key=f"reply:{update_key}:0", priority=Priority.REPLY)


def _stranger(came: Incoming, chats: ChatSettings) -> Recipient:
    clinic = chats.clinic
    return Recipient("", clinic.id, came.channel, came.address, came.language or clinic.language, clinic.zone)


def _route(talk: PersonTalk) -> None:
    came = talk.came.came
    if came == Came.BLOCKED:
        cannot_reach(talk.work, talk.person)
    elif came == Came.UNBLOCKED:
        _unblocked(talk)
    else:
        _reached_us(talk)
        if not guiding.took(talk):
            stopped = guiding.interrupt(talk)
            if command := _said(talk):
                commands.run(talk, command)
            ask_other_side(talk)
            _go_on_enrolling(talk)
            guiding.say_interrupted(talk, stopped)


def _go_on_enrolling(talk: PersonTalk) -> None:
    """Once a question about a sign is settled, the one of the enrolment follows that it stood before."""
    settled = any(each.kind in signs.SETTLED for each in talk.replies)
    if settled and talk.person.status == Status.ENROLLING and talk.dialogue.flow in ("", "enrol"):
        enrol.ask_open_question(talk)


def _unblocked(talk: PersonTalk) -> None:
    if talk.person.status == Status.UNREACHABLE:
        _reached_us(talk, at_once=True)
    elif talk.person.status in commands.STILL:
        commands.say_still(talk)
    else:
        flows.say_back(talk, {})


def _reached_us(talk: PersonTalk, *, at_once: bool = False) -> None:
    """Who could not be reached and writes again is back; what they wrote is answered like anything else."""
    if talk.person.status == Status.UNREACHABLE:
        talk.person, decided = come_back(talk.work, talk.person)
        if decided or at_once:
            flows.say_back(talk, decided)


def _said(talk: PersonTalk) -> str | None:
    """Answer it; the name of a command that is to follow."""
    came = talk.came.came
    if came == Came.EDIT:
        return sides.on_edit(talk)
    if came == Came.TAP:
        return _on_tap(talk)
    if came == Came.COMMAND:
        commands.on_command(talk)
        return None
    command = None if came == Came.OTHER else _on_text(talk)
    if came == Came.OTHER or talk.came.file:
        questions.cannot_read(talk)
    return command


def _on_text(talk: PersonTalk) -> str | None:
    status = talk.person.status
    if commands.came_again(talk):
        return None
    if talk.dialogue.flow in flows.FLOWS:
        return flows.on_text(talk)
    if status == Status.ENROLLING:
        return enrol.on_text(talk)
    if status not in commands.NOT_ASKED:
        return sides.on_text(talk)
    if not signs.heard_danger(talk):
        commands.say_still(talk)
    elif status == Status.SCREENED_OUT:
        return danger.wish_beside(talk)
    return None


def _on_tap(talk: PersonTalk) -> str | None:
    """A button that was tapped, or typed by its label; the name of a command that is to follow."""
    version, _, rest = talk.came.data.partition(".")
    verb, _, argument = rest.partition(".")
    if version == VERSION and verb in BUTTONS:
        return BUTTONS[verb](talk, argument)
    if version == VERSION and verb in OF_AN_EVENING:
        _of_an_evening(talk, verb, *argument.partition(".")[::2])
    else:
        talk.say("button.old")
    return None


def _of_an_evening(talk: PersonTalk, verb: str, check_in_id: str, value: str) -> None:
    """The check-in's id is in the button, never the day it is tapped."""
    check_in = talk.work.uow.diary.check_in(check_in_id)
    course = talk.about(check_in.course_id) if check_in else None
    if check_in is None or course is None or check_in.person_id != talk.person.id:
        talk.say("button.old")
        return
    latest = talk.work.uow.diary.latest_check_in(course.id)
    last_day = check_in.date + ONE_DAY * (verb == Verb.LAST_ANSWER)
    if verb not in NEVER_LATE and latest and latest.date > last_day:
        talk.say("button.other_day", date=check_in.date)
    else:
        OF_AN_EVENING[verb](talk, course, check_in, value)


def _pain(talk: PersonTalk, course: Course, check_in: CheckIn, value: str) -> None:
    _number(talk, course, check_in, value, HIGHEST_PAIN, lambda number: Said(pain=number, source="tapped"))


def _sets(talk: PersonTalk, course: Course, check_in: CheckIn, value: str) -> None:
    _number(talk, course, check_in, value, check_in.sets_asked, lambda number: Said(sets_done=number, source="tapped"))


def _number(
    talk: PersonTalk, course: Course, check_in: CheckIn, value: str, most: int, said: Callable[[int], Said]
) -> None:
    if not value.isdecimal() or int(value) > most:
        talk.say("button.old")
        return
    changing = talk.dialogue.step == "change" and talk.dialogue.check_in_id == check_in.id
    note(talk, course, check_in, said(int(value)), changing=changing)


def _woke_worse(talk: PersonTalk, course: Course, check_in: CheckIn, _: str) -> None:
    """The morning was worse: kept with the evening, which goes on; one that is answered is decided again."""
    said = Said(source="tapped", woke_worse=True)
    if is_complete(check_in):
        note(talk, course, check_in, said)
    else:
        recorded = record(talk.work, talk.person, course, check_in, said)
        talk.say("evening.morning", check_in=recorded.check_in)


BUTTONS: dict[str, Callable[[PersonTalk, str], str | None]] = {
    Verb.ANSWER: flows.on_tap,
    Verb.COMMAND: commands.on_button,
    Verb.MEANWHILE: flows.on_meanwhile,
    Verb.GUIDED: guiding.on_tap,
    Verb.IN_THE_WAY: questions.on_in_the_way,
    Verb.PASS_FILE: questions.pass_file,
    Verb.GOALS: goals.on_tap,
    Verb.TOPIC: questions.on_topic,
    Verb.LEARN: questions.learn,
}
OF_AN_EVENING: dict[str, Callable[[PersonTalk, Course, CheckIn, str], None]] = {
    Verb.PAIN: _pain,
    Verb.SETS: _sets,
    Verb.WOKE_WORSE: _woke_worse,
    Verb.CHANGE: lambda talk, _, check_in, __: ask_again(talk, check_in),
    Verb.LAST_ANSWER: lambda talk, _, check_in, __: ask_again(talk, check_in),
    Verb.YES: lambda talk, course, check_in, _: confirmed(talk, course, check_in, yes=True),
    Verb.NO: lambda talk, course, check_in, _: confirmed(talk, course, check_in, yes=False),
    Verb.RED_FLAG: tapped_red_flags,
    Verb.SIGN: lambda talk, _, check_in, value: signs.on_tap(talk, check_in, value),
    Verb.WEIGHT: on_weight,
}
NEVER_LATE = frozenset({Verb.RED_FLAG, Verb.SIGN, Verb.WEIGHT})  # a sign of danger, and "too much" a little late, too
