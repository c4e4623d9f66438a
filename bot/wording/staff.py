"""Every kind of message to a therapist or the clinic lead, but for the weekly digest."""

import datetime as dt
from collections.abc import Sequence
from zoneinfo import ZoneInfo

from bot.wording.catalogue import Text
from bot.wording.filling import Word, button, command, in_rows, isolated, lines_of, shown
from bot.wording.letter import LETTERS
from bot.wording.reasons import matter
from bot.wording.sheet import invitation_sheet, own_sheet, programme_sheet
from bot.wording.staff_acts import STAFF_ACTS
from bot.wording.staff_clinic import STAFF_CLINIC
from bot.wording.staff_lists import STAFF_LISTS, in_line
from bot.wording.staff_page import STAFF_PAGE
from core.records import Notice, Worded

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


def _notice(text: Text, notice: Notice, person: str, name: str, words: str, late: str = "", hours: int = 0) -> Worded:
    """Who, what happened, in the person's own words where there are any, and what can be done."""
    facts = notice.facts
    what = matter(text, notice.kind, *(str(facts.get(key, "")) for key in ("flag", "urgency", "side")))
    parts = [text(f"therapist.late.{late}", hours=hours)] if late else []
    parts += [text("therapist.notice", name=in_line(text, name), what=what), *_in_own_words(text, words)]
    if sign := facts.get("sign"):
        parts.append(text("therapist.sign", answer=text(f"sign.choice.{sign}")))
    buttons = [button(text, verb, person) for verb in ("open", *NEXT[notice.kind])]
    return Worded("\n".join(parts), in_rows(buttons, 2))


def _in_own_words(text: Text, words: str) -> list[str]:
    written = lines_of(words, WORDS_SHOWN)
    return [text("therapist.words", words=isolated(written))] if written else []


def _lost(
    text: Text, asked: int, replies: int, others: int, since: dt.datetime, until: dt.datetime, zone: str
) -> Worded:
    """How many of what, and between when, by the lead's own clock."""
    first, last = (each.astimezone(ZoneInfo(zone)) for each in (since, until))
    counts = {"asked": asked, "replies": replies, "others": others}
    what = ", ".join(text.many(f"therapist.lost.{name}", count) for name, count in counts.items() if count)
    times = {"since": f"{first:%H:%M}", "until": f"{last:%H:%M}", "day": text.day(last.date())}
    return Worded(text("therapist.lost", what=what, **times), ((command(text, "caseload"),),))


def _newcomer(text: Text, role: str, called: str, name: str, person: str) -> Worded:
    words = text(f"therapist.newcomer.{role}", called=in_line(text, called), name=in_line(text, name))
    return Worded(words, ((button(text, "confirm", person), button(text, "stranger", person)),))


def _confirmed(text: Text, role: str, name: str, **_: object) -> Worded:
    return Worded(text(f"therapist.confirmed.{role}", name=in_line(text, name)))


def _passed_on(text: Text, name: str, file: str, at: dt.datetime, zone: str, copied: tuple[str, str] | None) -> Worded:
    """What a patient wants passed on: the line, and their own message after it where it can be copied."""
    local = at.astimezone(ZoneInfo(zone))
    key, what = "therapist.file" if copied else "therapist.file.elsewhere", text(f"therapist.file.{file}")
    words = text(key, name=in_line(text, name), what=what, day=text.day(local.date()), time=f"{local:%H:%M}")
    return Worded(words, copied=copied)


def _about(kind: str) -> Word:
    """A line that names the patient, and perhaps a colleague, with the way to the page."""

    def word(text: Text, person: str, **names: str) -> Worded:
        words = text(kind, **{each: in_line(text, name) for each, name in names.items()})
        return Worded(words, ((button(text, "open", person),),))

    return word


def _papers(text: Text, person: str, name: str) -> Worded:
    """What can be made of one patient's record, to print or to keep."""
    buttons = [button(text, verb, person) for verb in ("sheet", "letter", "summary", "export")]
    return Worded(text("therapist.papers", name=in_line(text, name)), in_rows(buttons, 2))


def _task_done(text: Text, person: str, name: str, words: str) -> Worded:
    said = text("therapist.task_done", name=in_line(text, name), text=isolated(shown(words, "", 100)))
    return Worded(said, ((button(text, "open", person),),))


def _refused(text: Text, problem: str, **facts: object) -> Worded:
    """Why something cannot be done. A problem without words of its own is told in general ones."""
    key = f"therapist.refused.{problem}"
    named = {name: _in_a_refusal(text, name, value) for name, value in facts.items()}
    return Worded(text(key if text.has(key) else "therapist.refused", **named))


def _in_a_refusal(text: Text, name: str, value: object) -> object:
    if isinstance(value, dt.date):
        return text.day(value)
    if name == "length" and isinstance(value, int):
        return text.number(value)
    return shown(value, "", 20) if isinstance(value, str) else value


def _help(text: Text, lead: bool) -> Worded:
    """One list of what can be done, for the role at hand; whoever is lead and therapist reads it once."""
    parts = [text("therapist.help"), *([text("therapist.help.lead")] if lead else []), text("therapist.help.name")]
    names = ["caseload", "notices", "digest", "hours", *(["team", "clinic"] if lead else [])]
    buttons = [command(text, name) for name in names]
    return Worded("\n".join(parts), (*in_rows(buttons, 2), (button(text, "invite", "patient"),)))


def _welcome(text: Text, lead: bool) -> Worded:
    help_ = _help(text, lead)
    first = f"{text('therapist.welcome.lead')} " if lead else ""
    return Worded(f"{first}{text('therapist.welcome')}\n\n{help_.text}", help_.buttons)


def _invited(text: Text, name: str, until: dt.date) -> Worded:
    return Worded(text("therapist.invited", name=in_line(text, name), until=text.day(until)))


def _invitation(text: Text, clinic: str, link: str, code: str, **_: object) -> Worded:
    """Nothing but the way in, without a name, so that it can be passed on as it is."""
    called = isolated(shown(clinic, text("invitation.clinic")))
    words = text(f"invitation.{'link' if link else 'code'}", clinic=called, link=link, code=code)
    return Worded(words, to_draw={"scan": link} if link else {})


def _leave(text: Text, staff: str, name: str, you: bool, number: str) -> Worded:
    words = text("therapist.leave.you") if you else text("therapist.leave.other", name=in_line(text, name))
    return Worded(words, ((button(text, "gone", staff, number, "yes"), command(text, "cancel")),))


def _left(text: Text, name: str, you: bool) -> Worded:
    return Worded(text("therapist.leave.done.you") if you else text("therapist.leave.done", name=in_line(text, name)))


def _unworded(text: Text, name: str, person: str, words: str) -> Worded:
    """In place of a message that could not be worded: of whom, in their own words where there are any."""
    parts = [text("therapist.unworded", name=in_line(text, name)), *_in_own_words(text, words)]
    return Worded("\n".join(parts), ((button(text, "open", person),),) if person else ())


def _unhandled(text: Text, name: str, words: str) -> Worded:
    said = text("therapist.unhandled", name=in_line(text, name), text=isolated(lines_of(words, WORDS_SHOWN)))
    return Worded(said, ((command(text, "caseload"),),))


def _file(kind: str) -> Word:
    def word(
        text: Text, format: str, file: str, name: str = "", person: str = "", count: int = 1,
        people: Sequence[str] = (),
    ) -> Worded:  # fmt: skip
        words = text(kind, name=in_line(text, name), format=format.upper(), count=count)
        return Worded(words, document=(f"{text('therapist.export.file')}.{format}", file), people=tuple(people))

    return word


def _with_caseload(kind: str) -> Word:
    def word(text: Text, **named: object) -> Worded:
        plain = {name: shown(str(value), "", 32) for name, value in named.items()}
        return Worded(text(kind, **plain), ((command(text, "caseload"), command(text, "notices")),))

    return word


WITH_CASELOAD = (
    "unreadable", "gone", "shut_out", "unknown_command", "for_patients", "not_found", "nothing_changed", "old_button",
)  # fmt: skip
ABOUT = ("dealt_with", "undone", "act.left", "export.nothing", "handed_over")

STAFF: dict[str, Word] = {
    **{kind: _with_caseload(kind) for kind in (f"therapist.{name}" for name in WITH_CASELOAD)},
    **{kind: _about(kind) for kind in (f"therapist.{name}" for name in ABOUT)},
    "therapist.notice": _notice,
    "therapist.newcomer": _newcomer,
    "therapist.confirmed": _confirmed,
    "therapist.lost": _lost,
    "therapist.file": _passed_on,
    "therapist.unhandled": _unhandled,
    "therapist.welcome": _welcome,
    "therapist.help": _help,
    "therapist.refused": _refused,
    "therapist.papers": _papers,
    "therapist.task_done": _task_done,
    "therapist.unworded": _unworded,
    "therapist.export.one": _file("therapist.export.one"),
    "therapist.export.all": _file("therapist.export.all"),
    "therapist.invited": _invited,
    "invitation": _invitation,
    "invitation.sheet": invitation_sheet,
    "therapist.sheet": own_sheet("therapist.sheet"),
    "therapist.programme": programme_sheet,
    "therapist.leave": _leave,
    "therapist.leave.done": _left,
    **LETTERS,
    **STAFF_ACTS,
    **STAFF_CLINIC,
    **STAFF_LISTS,
    **STAFF_PAGE,
}
