"""Where a thing that staff did goes: a command, a button, an answer to an open question, or a name to look for."""

from collections.abc import Callable

from bot.buttons import STAFF_VERBS, VERSION, Verb
from bot.conversation.commands import COMMANDS as PATIENT_COMMANDS
from bot.conversation.staff import acts, clinic, letter, own_settings, patients
from bot.conversation.talk import StaffTalk
from bot.ports import Came
from core.errors import RefusalError
from core.records import Person
from core.use_cases.exporting import LETTER, SUMMARY
from core.use_cases.rights import DEALT_WITH
from core.use_cases.staffing import staff_back, staff_gone

Tap = Callable[[StaffTalk, str, str], None]  # what the button is about, and what it adds
TapOfPatient = Callable[[StaffTalk, Person, str], None]


def handle_staff(talk: StaffTalk) -> None:
    """Answer one thing a member of staff did, and queue the replies. What is refused is told, and changes nothing."""
    try:
        _route(talk)
    except RefusalError as error:
        talk.replies.clear()
        talk.say("therapist.refused", problem=error.problem, **error.facts)
    talk.send()


def _route(talk: StaffTalk) -> None:
    came = talk.came.came
    if came == Came.BLOCKED:
        staff_gone(talk.work, talk.staff)
        return
    talk.who = staff_back(talk.work, talk.staff)
    if came == Came.UNBLOCKED:
        return
    if talk.staff.left_at is not None:
        talk.say("therapist.has_left")
    elif not talk.staff.confirmed:
        talk.say("therapist.unconfirmed")
    elif came == Came.COMMAND:
        _on_command(talk)
    elif came == Came.TAP:
        _on_tap(talk)
    elif came == Came.TEXT:
        _on_text(talk)
    else:
        talk.say("therapist.cannot_read" if came == Came.OTHER else "therapist.edited")


def _on_command(talk: StaffTalk) -> None:
    """A command ends whatever question was open."""
    talk.nothing_open()
    name = talk.came.command
    if name in COMMANDS:
        COMMANDS[name](talk)
    elif name in PATIENT_COMMANDS:
        talk.say("therapist.for_patients", command=name)
    else:
        talk.say("therapist.unknown_command")


def _on_tap(talk: StaffTalk) -> None:
    version, _, rest = talk.came.data.partition(".")
    kind, _, argument = rest.partition(".")
    verb, _, about = argument.partition(".")
    subject, _, value = about.partition(".")
    if version == VERSION and kind == Verb.COMMAND and argument in COMMANDS:
        talk.nothing_open()
        COMMANDS[argument](talk)
    elif version == VERSION and kind == Verb.STAFF and verb in TAPS:
        TAPS[verb](talk, subject, value)
    elif version == VERSION and kind == Verb.STAFF and verb in OF_A_PATIENT:
        action, answer = OF_A_PATIENT[verb]
        answer(talk, patients.patient(talk, subject, action), value)
    elif version == VERSION and kind == Verb.STAFF and verb in acts.VERBS:
        acts.on_verb(talk, verb, patients.patient(talk, subject, "ask"), value)
    else:
        talk.say("therapist.old_button")


def _on_text(talk: StaffTalk) -> None:
    flow = talk.dialogue.flow
    if flow in FLOWS:
        FLOWS[flow](talk)
    else:
        patients.find(talk)


COMMANDS: dict[str, Callable[[StaffTalk], None]] = {
    "start": lambda talk: talk.say("therapist.help", lead=talk.staff.lead),
    "help": lambda talk: talk.say("therapist.help", lead=talk.staff.lead),
    "caseload": patients.on_page,
    "notices": patients.on_notices_page,
    "invite": clinic.invite,
    "team": clinic.team,
    "clinic": clinic.stands,
    "digest": own_settings.digest,
    "hours": own_settings.ask_hours,
    "zone": own_settings.ask_zone,
    "sheet": clinic.programme,
    "letter": letter.by_name,
    "summary": letter.by_name,
    "export": patients.export_all,
    "privacy": lambda talk: talk.say("therapist.privacy"),
    "cancel": lambda talk: talk.say("therapist.nothing_changed"),
    "leave": own_settings.ask_leave,
}
TAPS: dict[str, Tap] = {
    STAFF_VERBS["page"]: patients.on_page,
    STAFF_VERBS["notices_page"]: patients.on_notices_page,
    STAFF_VERBS["signed"]: letter.on_signed,
    STAFF_VERBS["confirm"]: clinic.on_confirm,
    STAFF_VERBS["stranger"]: clinic.on_stranger,
    STAFF_VERBS["colleague"]: clinic.on_colleague,
    STAFF_VERBS["invite"]: clinic.on_invite,
    STAFF_VERBS["hours"]: own_settings.on_hours,
    STAFF_VERBS["zone"]: own_settings.on_zone,
    STAFF_VERBS["end"]: own_settings.on_end,
    STAFF_VERBS["gone"]: own_settings.on_gone,
    STAFF_VERBS["yes"]: acts.on_yes,
    STAFF_VERBS["no"]: acts.on_no,
}
OF_A_PATIENT: dict[str, tuple[str, TapOfPatient]] = {  # how it stands in the trail, and what it does
    STAFF_VERBS["open"]: ("ask", patients.open_page),
    STAFF_VERBS["decisions"]: ("ask", patients.on_decisions),
    STAFF_VERBS["dealt_with"]: (DEALT_WITH, patients.on_dealt_with),
    STAFF_VERBS["task_done"]: ("ask", patients.on_task_done),
    STAFF_VERBS["export"]: ("export", patients.on_export),
    STAFF_VERBS["papers"]: ("ask", patients.on_papers),
    STAFF_VERBS["sheet"]: ("sheet", patients.on_sheet),
    LETTER: (LETTER, lambda talk, person, _: letter.begin(talk, LETTER, person)),
    SUMMARY: (SUMMARY, lambda talk, person, _: letter.begin(talk, SUMMARY, person)),
    STAFF_VERBS["undo"]: ("ask", acts.on_undo),
}
FLOWS: dict[str, Callable[[StaffTalk], None]] = {
    "act": acts.on_text,
    "invite": clinic.on_text,
    "letter": letter.on_text,
    "leave": own_settings.on_ending_text,
    "hours": own_settings.on_hours_text,
    "zone": own_settings.on_zone_text,
}
