"""Every kind of message to a therapist or the clinic lead, but for the weekly digest."""

import datetime as dt
from collections.abc import Callable, Mapping
from typing import Any
from zoneinfo import ZoneInfo

from bot.wording.catalogue import Text
from bot.wording.filling import isolated, lines_of, shown
from bot.wording.keyboard import Keyboard, button, command, in_rows
from bot.wording.letter import LETTERS
from bot.wording.sheet import invitation_sheet, own_sheet, programme_sheet
from bot.wording.staff_acts import choice, confirm, done, typed
from bot.wording.staff_clinic import STAFF_CLINIC, STAFF_HOURS
from bot.wording.staff_lists import caseload, matter, name_of, notices, team
from bot.wording.staff_page import decisions, person
from core.records import Worded

Facts = Mapping[str, Any]
Word = Callable[[Text, Facts], Worded]

WORDS_SHOWN = 600  # of what a patient wrote, in a notice of its own
# What a notice calls for, the likeliest first; the page is under every one.
NEXT = {
    "danger": ("write", "clear"),
    "clinical_question": ("write", "dealt_with"),
    "unanswered": ("write", "dealt_with"),
    "severe_twice": ("write", "dealt_with"),
    "unsure": ("write", "dealt_with"),
    "injection": ("looked", "write"),
    "circumstance": ("write", "clear"),
    "plateau_6_weeks": ("write", "score"),
    "plateau_12_weeks": ("write", "score"),
    "plateau_26_weeks": ("write", "score"),
    "third_setback": ("stay", "write"),
    "silent": ("write", "dealt_with"),
    "unreachable": ("dealt_with", "discharge"),
    "long_gap": ("write", "dealt_with"),
    "screened_out": ("clear", "write", "discharge"),
    "left": ("dealt_with", "discharge"),
    "cleared": (),
}


def _notice(text: Text, facts: Facts) -> Worded:
    """Who, what happened, in the person's own words where there are any, and what can be done."""
    who = facts["person"]
    late = [text(f"therapist.late.{facts['late']}", hours=facts["hours"])] if facts.get("late") else []
    parts = [*late, text("therapist.notice", name=name_of(text, facts), what=_matter(text, facts))]
    words = lines_of(facts["text"], WORDS_SHOWN)
    if words:
        parts.append(text("therapist.words", words=isolated(words)))
    if sign := facts.get("sign"):
        parts.append(text("therapist.sign", answer=text(f"sign.choice.{sign}")))
    buttons = [button(text, "open", who), *(button(text, verb, who) for verb in NEXT[facts["kind"]])]
    return Worded("\n".join(parts), in_rows(buttons, 2))


def _matter(text: Text, facts: Facts) -> str:
    return matter(text, facts["kind"], str(facts["flag"]), str(facts.get("urgency", "")), str(facts.get("side", "")))


def _lost(text: Text, facts: Facts) -> Worded:
    """How many of what, and between when, by the lead's own clock."""
    zone = ZoneInfo(facts["zone"])
    since, until = (facts[name].astimezone(zone) for name in ("since", "until"))
    parts = [text.many(f"therapist.lost.{name}", facts[name]) for name in ("asked", "replies", "others") if facts[name]]
    times = {"since": f"{since:%H:%M}", "until": f"{until:%H:%M}", "day": text.day(until.date())}
    return Worded(text("therapist.lost", what=", ".join(parts), **times), ((command(text, "caseload"),),))


def _newcomer(text: Text, facts: Facts) -> Worded:
    called = isolated(shown(str(facts["called"]), text("therapist.no_name")))
    words = text(f"therapist.newcomer.{facts['role']}", called=called, name=name_of(text, facts))
    who = facts["person"]
    return Worded(words, ((button(text, "confirm", who), button(text, "stranger", who)),))


def _confirmed(text: Text, facts: Facts) -> Worded:
    return Worded(text(f"therapist.confirmed.{facts['role']}", name=name_of(text, facts)))


def _handed_over(text: Text, facts: Facts) -> Worded:
    by = isolated(shown(str(facts["by"]), text("therapist.no_name")))
    words = text("therapist.handed_over", name=name_of(text, facts), by=by)
    return Worded(words, ((button(text, "open", facts["person"]),),))


def _passed_on(text: Text, facts: Facts) -> Worded:
    """What a patient wants passed on: the line, and their own message after it where it can be copied."""
    at = facts["at"].astimezone(ZoneInfo(facts["zone"]))
    key = "therapist.file" if facts["copied"] else "therapist.file.elsewhere"
    what = text(f"therapist.file.{facts['file']}")
    words = text(key, name=name_of(text, facts), what=what, day=text.day(at.date()), time=f"{at:%H:%M}")
    return Worded(words, copied=facts["copied"])


def _about(kind: str) -> Word:
    """A line that names the patient, with the way to the page."""

    def word(text: Text, facts: Facts) -> Worded:
        return Worded(text(kind, name=name_of(text, facts)), ((button(text, "open", facts["person"]),),))

    return word


def _papers(text: Text, facts: Facts) -> Worded:
    """What can be made of one patient's record, to print or to keep."""
    buttons = [button(text, verb, facts["person"]) for verb in ("sheet", "letter", "summary", "export")]
    return Worded(text("therapist.papers", name=name_of(text, facts)), in_rows(buttons, 2))


def _task_done(text: Text, facts: Facts) -> Worded:
    words = text("therapist.task_done", name=name_of(text, facts), text=isolated(shown(facts["text"], "", 100)))
    return Worded(words, ((button(text, "open", facts["person"]),),))


def _refused(text: Text, facts: Facts) -> Worded:
    """Why something cannot be done. A problem without words of its own is told in general ones."""
    key = f"therapist.refused.{facts['problem']}"
    shown_facts = {name: _plain(text, name, value) for name, value in facts.items()}
    return Worded(text(key if text.has(key) else "therapist.refused", **shown_facts))


def _plain(text: Text, name: str, value: object) -> object:
    if isinstance(value, dt.date):
        return text.day(value)
    if name == "length" and isinstance(value, int):
        return text.number(value)
    return shown(value, "", 20) if isinstance(value, str) else value


def _help(text: Text, facts: Facts) -> Worded:
    """One list of what can be done, for the role at hand; whoever is lead and therapist reads it once."""
    parts = [text("therapist.help"), *([text("therapist.help.lead")] if facts["lead"] else [])]
    parts.append(text("therapist.help.name"))
    names = ["caseload", "notices", "digest", "hours", *(["team", "clinic"] if facts["lead"] else [])]
    buttons = [command(text, name) for name in names]
    return Worded("\n".join(parts), (*in_rows(buttons, 2), (button(text, "invite", "patient"),)))


def _welcome(text: Text, facts: Facts) -> Worded:
    shown_help = _help(text, {"lead": facts["lead"]})
    parts = [*([text("therapist.welcome.lead")] if facts["lead"] else []), text("therapist.welcome")]
    return Worded(f"{' '.join(parts)}\n\n{shown_help.text}", shown_help.buttons)


def _invited(text: Text, facts: Facts) -> Worded:
    return Worded(text("therapist.invited", name=name_of(text, facts), until=text.day(facts["until"])))


def _invitation(text: Text, facts: Facts) -> Worded:
    """Nothing but the way in, without a name, so that it can be passed on as it is."""
    clinic = shown(facts["clinic"], text("invitation.clinic"))
    way = "link" if facts["link"] else "code"
    words = text(f"invitation.{way}", clinic=isolated(clinic), link=facts["link"], code=facts["code"])
    return Worded(words, to_draw={"scan": facts["link"]} if facts["link"] else {})


def _leave(text: Text, facts: Facts) -> Worded:
    words = text("therapist.leave.you") if facts["you"] else text("therapist.leave.other", name=name_of(text, facts))
    yes = button(text, "gone", facts["staff"], facts["number"], "yes")
    return Worded(words, ((yes, command(text, "cancel")),))


def _left(text: Text, facts: Facts) -> Worded:
    key = "therapist.leave.done.you" if facts["you"] else "therapist.leave.done"
    return Worded(text(key, **({} if facts["you"] else {"name": name_of(text, facts)})))


def _unworded(text: Text, facts: Facts) -> Worded:
    """In place of a message that could not be worded: of whom, in their own words where there are any."""
    parts = [text("therapist.unworded", name=name_of(text, facts))]
    if words := lines_of(str(facts["text"]), WORDS_SHOWN):
        parts.append(text("therapist.words", words=isolated(words)))
    page = ((button(text, "open", str(facts["person"])),),) if facts["person"] else ()
    return Worded("\n".join(parts), page)


def _unhandled(text: Text, facts: Facts) -> Worded:
    name = isolated(shown(facts["name"], text("therapist.no_name")))
    words = isolated(lines_of(facts["text"], WORDS_SHOWN))
    return Worded(text("therapist.unhandled", name=name, text=words), ((command(text, "caseload"),),))


def _file(kind: str) -> Word:
    def word(text: Text, facts: Facts) -> Worded:
        name = name_of(text, facts) if "name" in facts else ""
        words = text(kind, name=name, format=facts["format"].upper(), count=facts.get("count", 1))
        written = f"{text('therapist.export.file')}.{facts['format']}", facts["file"]
        return Worded(words, document=written, people=tuple(facts.get("people", ())))

    return word


def _with_caseload(kind: str) -> Word:
    def word(text: Text, facts: Facts) -> Worded:
        plain = {name: shown(str(value), "", 32) for name, value in facts.items()}
        buttons: Keyboard = ((command(text, "caseload"), command(text, "notices")),)
        return Worded(text(kind, **plain), buttons)

    return word


STAFF: dict[str, Word] = {
    "therapist.notice": _notice,
    "therapist.newcomer": _newcomer,
    "therapist.confirmed": _confirmed,
    "therapist.handed_over": _handed_over,
    "therapist.lost": _lost,
    "therapist.file": _passed_on,
    "therapist.unhandled": _unhandled,
    "therapist.unreadable": _with_caseload("therapist.unreadable"),
    "therapist.gone": _with_caseload("therapist.gone"),
    "therapist.shut_out": _with_caseload("therapist.shut_out"),
    "therapist.welcome": _welcome,
    "therapist.help": _help,
    "therapist.unknown_command": _with_caseload("therapist.unknown_command"),
    "therapist.for_patients": _with_caseload("therapist.for_patients"),
    "therapist.not_found": _with_caseload("therapist.not_found"),
    "therapist.nothing_changed": _with_caseload("therapist.nothing_changed"),
    "therapist.old_button": _with_caseload("therapist.old_button"),
    "therapist.refused": _refused,
    "therapist.caseload": caseload,
    "therapist.notices": notices,
    "therapist.team": team,
    "therapist.person": person,
    "therapist.decisions": decisions,
    "therapist.papers": _papers,
    "therapist.dealt_with": _about("therapist.dealt_with"),
    "therapist.task_done": _task_done,
    "therapist.undone": _about("therapist.undone"),
    "therapist.act.left": _about("therapist.act.left"),
    "therapist.act.choice": choice,
    "therapist.act.typed": typed,
    "therapist.act.confirm": confirm,
    "therapist.act.done": done,
    "therapist.unworded": _unworded,
    "therapist.export.one": _file("therapist.export.one"),
    "therapist.export.all": _file("therapist.export.all"),
    "therapist.export.nothing": _about("therapist.export.nothing"),
    "therapist.invited": _invited,
    "invitation": _invitation,
    "invitation.sheet": invitation_sheet,
    "therapist.sheet": own_sheet("therapist.sheet"),
    "therapist.programme": programme_sheet,
    "therapist.leave": _leave,
    "therapist.leave.done": _left,
    **LETTERS,
    **STAFF_CLINIC,
    **STAFF_HOURS,
}
