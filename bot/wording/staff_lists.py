"""Lists for staff: the caseload a page at a time, the notices, and who works here."""

from collections.abc import Mapping
from typing import Any

from bot.wording.catalogue import Text
from bot.wording.filling import isolated, shown
from bot.wording.keyboard import LONGEST_LABEL, button, command, data, in_rows, named, turning
from core.records import Button, Worded

Facts = Mapping[str, Any]
REASONS_SHOWN = 2  # in the list; the page has all
WORDS_SHOWN = 200  # of what a patient wrote, in a list


def name_of(text: Text, facts: Facts, key: str = "name") -> str:
    """The name under `key`, fit to stand in a line."""
    return isolated(shown(str(facts[key]), text("therapist.no_name")))


def caseload(text: Text, facts: Facts) -> Worded:
    """Ten patients at most: who, why, where they stand; a button for each."""
    rows, first = facts["rows"], facts["first"]
    other = (("therapist", facts["therapist"]),) if facts["therapist"] else ()
    if not rows:
        return Worded(_nobody(text, facts), () if other else ((button(text, "invite", "patient"),),))
    lines = [_caseload_line(text, number, row) for number, row in enumerate(rows, first)]
    buttons = [named(text, "open", row["person"], row["name"], number) for number, row in enumerate(rows, first)]
    turn = () if facts["found"] else turning(text, "page", facts["page"], facts["pages"], facts["therapist"])
    return Worded("\n".join([_caseload_head(text, facts), "", *lines]), (*in_rows(buttons, 2), *turn))


def _nobody(text: Text, facts: Facts) -> str:
    if facts["therapist"]:
        return text("therapist.caseload.none_of", name=name_of(text, facts, "therapist_name"))
    return text("therapist.caseload.none")


def _caseload_head(text: Text, facts: Facts) -> str:
    last = facts["first"] + len(facts["rows"]) - 1
    if facts["found"]:
        words = shown(facts["found"], "", 40)
        return text.many("therapist.caseload.found", facts["total"], words=isolated(words))
    head = text("therapist.caseload.yours")
    if facts["therapist"]:
        head = text("therapist.caseload.of", name=name_of(text, facts, "therapist_name"))
    if facts["pages"] == 1:
        return head
    return text("therapist.caseload.part", head=head, first=facts["first"], last=last, total=facts["total"])


def _caseload_line(text: Text, number: int, row: Facts) -> str:
    if row["unreadable"]:
        return text("therapist.caseload.unreadable", n=number, name=name_of(text, row))
    why = "; ".join(reasons(text, row)[:REASONS_SHOWN])
    key = "therapist.caseload.line" if why else "therapist.caseload.calm"
    return text(key, n=number, name=name_of(text, row), why=why, stands=_stands(text, row))


def _stands(text: Text, row: Facts) -> str:
    if row["step"] is None:
        return text("therapist.caseload.not_begun")
    step = text("therapist.caseload.step", step=row["step"], steps=row["steps"])
    if row["step"] > row["steps"]:
        step = text("therapist.caseload.last_step")
    if row["mean"] is None:
        return text("therapist.caseload.no_mean", step=step)
    return text("therapist.caseload.mean", step=step, mean=text.number(row["mean"]))


def reasons(text: Text, facts: Facts) -> list[str]:
    """Why a patient is looked at, each in two or three words."""
    known = text.has(f"therapist.status.{facts['status']}")
    found = [text(f"therapist.status.{facts['status']}")] if known else []
    if facts["stopped"]:
        found.append(text("therapist.short.halted"))
    for code in facts["attention"]:
        if code == "silent":
            found.append(text.many("therapist.attention.silent", facts["silent_days"]))
        elif code == "task" and facts.get("tasks"):
            task = facts["tasks"][0]
            what = isolated(shown(task["text"], "", 60))
            found.append(text("therapist.attention.task", what=what, day=text.day(task["due"])))
        elif code == "away" and facts.get("away_until"):
            found.append(text("therapist.attention.away.until", day=text.day(facts["away_until"])))
        else:
            short = f"therapist.short.{code}"
            found.append(text(short if text.has(short) else f"therapist.attention.{code}"))
    return list(dict.fromkeys(found))


def notices(text: Text, facts: Facts) -> Worded:
    """The latest notices, those still open marked, with the patients' pages under them."""
    if not facts["notices"]:
        return Worded(text("therapist.notices.none"), ((command(text, "caseload"),),))
    people = {each["person"]: each["name"] for each in facts["notices"] if each["person"]}
    buttons = [named(text, "open", person, name) for person, name in people.items()]
    turn = turning(text, "notices_page", facts["page"], facts["pages"])
    lines = [_notice_line(text, each) for each in facts["notices"]]
    return Worded("\n\n".join([text("therapist.notices"), *lines]), (*in_rows(buttons, 2), *turn))


def _notice_line(text: Text, notice: Facts) -> str:
    name = name_of(text, notice)
    key = "therapist.notices.open" if notice["open"] else "therapist.notices.done"
    line = text(key, name=name, day=text.day(notice["date"]), what=matter(text, notice))
    words = shown(notice["text"], "", WORDS_SHOWN)
    return f"{line}\n{text('therapist.words', words=isolated(words))}" if words else line


def matter(text: Text, notice: Facts) -> str:
    """What a notice is about, in a line."""
    kind = f"notice.{notice['kind']}"
    flagged, urgent = f"{kind}.{notice['flag']}", f"{kind}.{notice['flag']}.{notice.get('urgency')}"
    return text(next((key for key in (urgent, flagged) if text.has(key)), kind))


def team(text: Text, facts: Facts) -> Worded:
    """Who works here, with how many patients; a colleague's patients and an invitation under it."""
    lines = [member_line(text, each) for each in facts["team"]]
    buttons = [named(text, "colleague", each["staff"], each["name"]) for each in facts["team"] if _looked_at(each)]
    buttons += [_end(text, each) for each in facts["team"] if _can_end(each)]
    invite = (button(text, "invite", "therapist", key="invite_therapist"),)
    return Worded("\n".join([text("therapist.team"), "", *lines]), (*in_rows(buttons, 2), invite))


def _looked_at(member: Facts) -> bool:
    return bool(member["confirmed"] and not member["you"] and member["patients"])


def _can_end(member: Facts) -> bool:
    return bool(member["confirmed"] and not member["you"] and not member["patients"])


def _end(text: Text, member: Facts) -> Button:
    label = text("therapist.button.end", name=shown(member["name"], text("therapist.no_name"), LONGEST_LABEL))
    return Button(label, data("end", member["staff"]))


def member_line(text: Text, member: Facts) -> str:
    """One of the staff, with how many patients and what is special."""
    count = text.many("therapist.team.patients", member["patients"])
    line = text("therapist.team.line", name=name_of(text, member), patients=count)
    marks = [name for name in ("you", "lead", "unreachable") if member.get(name)]
    marks += [] if member["confirmed"] else ["unconfirmed"]
    return text("therapist.team.marked", line=line, marks=", ".join(text(f"therapist.team.{m}") for m in marks)) if (
        marks
    ) else line
