"""An act from its button to its end: choose, give a reason, look at what will happen, yes or no, undo.

Where it stands lives in the dialogue, under a number of its own: only the buttons of the present question count, so
that an old or a forwarded one changes nothing. Rights and what is possible are checked again at every step.
"""

from dataclasses import replace
from typing import Any

from bot.buttons import STAFF_VERBS, Verb, carried
from bot.conversation.staff.course_acts import COURSE_ACTS, going_on
from bot.conversation.staff.patients import SIDE, patient, say_of
from bot.conversation.staff.person_acts import HOUR_BACK, PERSON_ACTS, ActKind, StaffAct, put_back_evening
from bot.conversation.talk import StaffTalk
from core.records import Person
from core.use_cases.gathering import side_facts, side_of
from core.use_cases.overriding import undo
from core.use_cases.rights import trimmed
from core.use_cases.staffing import is_written_to

ACTS: dict[str, ActKind] = COURSE_ACTS | PERSON_ACTS
VERBS = {STAFF_VERBS[name]: name for name in ACTS} | {STAFF_VERBS["go_on"]: ""}  # see `going_on`
LONGEST = {"reason": 500, "note": 1000, "message": 1000, "score": 100, "diary": 300, "task": 100}
FLOW = "act"
OF_A_COURSE = frozenset({*COURSE_ACTS, "score", "diary", "end_side"}) - {"clear"}  # of two sides one has to be named
UNDONE = "undone"  # the trail's reason where none was typed


def on_verb(talk: StaffTalk, verb: str, person: Person, arg: str) -> None:
    """A button of an act; with `arg` a choice is made already, of the question that is open or of an older one."""
    side = talk.side
    if arg and not side and talk.dialogue.flow == FLOW:
        side = str(talk.dialogue.facts["side"])  # a choice that was asked for
    act = _act(talk, person, side=side)
    name = VERBS[verb] or going_on(act)
    if name not in OF_A_COURSE:
        act = replace(act, side="")
    elif not side and len(talk.work.uow.diary.courses_of(person.id)) > 1:
        _ask_which_side(talk, verb, person)
        return
    if arg and not _is_asked(talk, name, person):
        talk.say("therapist.old_button")
        return
    if not arg:
        talk.nothing_open()  # also where this one is refused: what is typed next must not go to an older question
    _go_on(talk, name, act, talk.work.new_id()[-8:], arg)


def _act(talk: StaffTalk, person: Person, arg: str = "", typed: str = "", side: str = "") -> StaffAct:
    return StaffAct(talk.work, talk.staff, person, talk.chats.words, arg, typed, side)


def _ask_which_side(talk: StaffTalk, verb: str, person: Person) -> None:
    courses, programme = talk.work.uow.diary.courses_of(person.id), talk.work.programmes.current
    about = [(side_of(programme, each.side), f"{person.id}{SIDE}{each.side}") for each in courses]
    sides = [(side, carried(Verb.STAFF, verb, subject)) for side, subject in about]
    talk.nothing_open()
    say_of(talk, person, "which_side.act", sides=sides)


def _is_asked(talk: StaffTalk, name: str, person: Person) -> bool:
    facts, step = talk.dialogue.facts, talk.dialogue.step
    return talk.dialogue.flow == FLOW and step == "choice" and (facts["act"], facts["person"]) == (name, person.id)


def _go_on(
    talk: StaffTalk, name: str, act: StaffAct, number: str, arg: str = "", typed: str = "", *, again: bool = False
) -> None:
    """Ask for whatever is still missing; with everything there, show what will happen."""
    kind = ACTS[name]
    if arg and not _known(kind, act, arg):
        arg = ""
    act = replace(act, arg=arg, typed=typed)
    will = kind.check(act)
    choices = kind.choices(act) if kind.choices and not arg else ()
    step = "choice" if kind.choices and not arg else "typed" if kind.typed and not typed else "confirm"
    talk.wait_for(FLOW, step, act=name, arg=arg, typed=typed, number=number, person=act.person.id, side=act.side)
    asked = {"act": name, "what": kind.typed, "number": number, "will": will, "typed": typed, "again": again}
    asked |= {"choices": choices, "told": is_written_to(act.person)} | _which_side(act)
    say_of(talk, act.person, f"therapist.act.{step}", **asked)


def _which_side(act: StaffAct) -> dict[str, Any]:
    return side_facts(act.work, act.course()) if act.side else {}


def _known(kind: ActKind, act: StaffAct, arg: str) -> bool:
    """Whether a choice that came with a button is one that can be made."""
    if kind.choices is None:
        return False
    offered = [str(each[0] if isinstance(each, list) else each) for each in kind.choices(act)]
    return arg in offered or kind.read(act, arg) == arg


def on_text(talk: StaffTalk) -> None:
    """What was typed for the act that is under way."""
    person = patient(talk, str(talk.dialogue.facts["person"]), "ask")
    facts, step = talk.dialogue.facts, talk.dialogue.step
    name, number = str(facts["act"]), str(facts["number"])
    act = _under_way(talk, person)
    if talk.typed("words.leave_it"):
        _leave_it(talk, person)
    elif step == "choice":
        chosen = ACTS[name].read(act, " ".join(talk.came.text.casefold().split()))
        _go_on(talk, name, act, number, chosen, again=not chosen)
    elif step == "typed":
        typed = trimmed(talk.came.text, LONGEST[ACTS[name].typed])
        no_reason = ACTS[name].typed == "reason" and not any(letter.isalpha() for letter in typed)
        _go_on(talk, name, act, number, act.arg, "" if no_reason else typed, again=no_reason)
    elif talk.typed("words.yes"):
        _do(talk, name, act)
    elif talk.typed("words.no"):
        _leave_it(talk, person)
    else:
        _go_on(talk, name, act, number, act.arg, act.typed)


def on_yes(talk: StaffTalk, person_id: str, number: str) -> None:
    """Carry out what was shown, if it is still what is asked about."""
    facts = talk.dialogue.facts
    if not _is_open(talk, person_id, number) or talk.dialogue.step != "confirm":
        talk.say("therapist.old_button")
        return
    _do(talk, str(facts["act"]), _under_way(talk, patient(talk, person_id, "ask")))


def _under_way(talk: StaffTalk, person: Person) -> StaffAct:
    facts = talk.dialogue.facts
    arg, typed, side = (str(facts[name]) for name in ("arg", "typed", "side"))
    return _act(talk, person, arg, typed, side)


def on_no(talk: StaffTalk, person_id: str, number: str) -> None:
    """Leave everything as it is."""
    if _is_open(talk, person_id, number):
        _leave_it(talk, patient(talk, person_id, "ask"))
    else:
        talk.say("therapist.old_button")


def _leave_it(talk: StaffTalk, person: Person) -> None:
    talk.nothing_open()
    say_of(talk, person, "therapist.act.left")


def _is_open(talk: StaffTalk, person_id: str, number: str) -> bool:
    facts = talk.dialogue.facts
    return talk.dialogue.flow == FLOW and (facts["person"], facts["number"]) == (person_id, number)


def _do(talk: StaffTalk, name: str, act: StaffAct) -> None:
    kind = ACTS[name]
    will = kind.check(act)
    talk.nothing_open()
    which = _which_side(act)  # before one of them is over
    undoing = kind.do(act)
    say_of(talk, act.person, "therapist.act.done", act=name, will=will, undo=undoing, **which)


def on_undo(talk: StaffTalk, person: Person, what: str) -> None:
    """Take back what was done today: a decision by its id, or a change of the hour."""
    if what.startswith(HOUR_BACK):
        put_back_evening(_act(talk, person), what.removeprefix(HOUR_BACK), UNDONE)
    else:
        undo(talk.work, talk.staff, person, what)
    talk.nothing_open()
    say_of(talk, person, "therapist.undone")
