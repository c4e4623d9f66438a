"""Lists for staff: the caseload a page at a time, the notices, and who works here."""

import datetime as dt
from collections.abc import Mapping, Sequence
from typing import Any

from bot.wording.attention import worse
from bot.wording.catalogue import Text
from bot.wording.filling import isolated, shown
from bot.wording.keyboard import LONGEST_LABEL, button, command, data, in_rows, named, turning
from core.digest.attention import Attention
from core.page import CaseloadRow, NoticeLine, TeamMember
from core.records import Button, Worded

Facts = Mapping[str, Any]
REASONS_SHOWN = 2  # in the list; the page has all
WORDS_SHOWN = 200  # of what a patient wrote, in a list


def name_of(text: Text, facts: Facts, key: str = "name") -> str:
    """The name under `key`, fit to stand in a line."""
    return in_line(text, str(facts[key]))


def in_line(text: Text, name: str) -> str:
    """A name fit to stand in a line."""
    return isolated(shown(name, text("therapist.no_name")))


def caseload(text: Text, facts: Facts) -> Worded:
    """Ten patients at most: who, why, where they stand; a button for each."""
    rows: Sequence[CaseloadRow] = facts["rows"]
    first = facts["first"]
    other = (("therapist", facts["therapist"]),) if facts["therapist"] else ()
    if not rows:
        return Worded(_nobody(text, facts), () if other else ((button(text, "invite", "patient"),),))
    lines = [_caseload_line(text, number, row) for number, row in enumerate(rows, first)]
    buttons = [named(text, "open", row.id, row.name, number) for number, row in enumerate(rows, first)]
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


def _caseload_line(text: Text, number: int, row: CaseloadRow) -> str:
    name = in_line(text, row.name)
    if row.unreadable:
        return text("therapist.caseload.unreadable", n=number, name=name)
    why = "; ".join(_reasons_of_both(text, row)[:REASONS_SHOWN])
    key = "therapist.caseload.line" if why else "therapist.caseload.calm"
    return text(key, n=number, name=name, why=why, stands=_both_stand(text, row))


def _reasons_of_both(text: Text, row: CaseloadRow) -> list[str]:
    """The reasons; of two sides those of one alone say which."""
    rows = [row, *row.others]
    found = [reasons(text, each) for each in rows]
    if len(rows) == 1:
        return found[0]
    both = {why for why in found[0] if all(why in each for each in found)}
    told = [
        why if why in both else of_side(text, each.side, why)
        for each, whys in zip(rows, found, strict=True) for why in whys
    ]  # fmt: skip
    return list(dict.fromkeys(told))


def _both_stand(text: Text, row: CaseloadRow) -> str:
    if not row.others:
        return stands(text, row)
    rows = sorted((row, *row.others), key=lambda each: each.side, reverse=True)
    return "; ".join(of_side(text, each.side, stands(text, each)) for each in rows)


def of_side(text: Text, side: str, what: str) -> str:
    """ "right: stepped back", in a line about somebody who has two courses."""
    return text("therapist.side.of", side=text(f"therapist.side.{side}"), what=what)


def stands(text: Text, row: CaseloadRow) -> str:
    """The step, and the week's mean."""
    if row.step is None:
        return text("therapist.caseload.not_begun")
    step = text("therapist.caseload.step", step=row.step, steps=row.steps)
    if row.step > row.steps:
        step = text("therapist.caseload.last_step")
    if row.mean is None:
        return text("therapist.caseload.no_mean", step=step)
    return text("therapist.caseload.mean", step=step, mean=text.number(row.mean))


def reasons(text: Text, row: CaseloadRow, away_until: dt.date | None = None) -> list[str]:
    """Why a patient is looked at, each in two or three words."""
    status = f"therapist.status.{row.status}"
    found = [text(status)] if text.has(status) else []
    if row.stopped:
        found.append(text("therapist.short.halted"))
    for code in row.attention:
        if code is Attention.SILENT:
            found.append(text.many("therapist.attention.silent", row.silent_days))
        elif code is Attention.TASK and row.tasks:
            what = isolated(shown(row.tasks[0].text, "", 60))
            found.append(text("therapist.attention.task", what=what, day=text.day(row.tasks[0].due)))
        elif code is Attention.AWAY and away_until:
            found.append(text("therapist.attention.away.until", day=text.day(away_until)))
        elif said := worse(text, code, row.change):
            found.append(said)
        else:
            short = f"therapist.short.{code}"
            found.append(text(short if text.has(short) else f"therapist.attention.{code}"))
    return list(dict.fromkeys(found))


def notices(text: Text, facts: Facts) -> Worded:
    """The latest notices, those still open marked, with the patients' pages under them."""
    lines: Sequence[NoticeLine] = facts["notices"]
    if not lines:
        return Worded(text("therapist.notices.none"), ((command(text, "caseload"),),))
    people = {each.person: each.name for each in lines if each.person}
    buttons = [named(text, "open", person, name) for person, name in people.items()]
    turn = turning(text, "notices_page", facts["page"], facts["pages"])
    shown_lines = [_notice_line(text, each) for each in lines]
    return Worded("\n\n".join([text("therapist.notices"), *shown_lines]), (*in_rows(buttons, 2), *turn))


def _notice_line(text: Text, notice: NoticeLine) -> str:
    key = "therapist.notices.open" if notice.open else "therapist.notices.done"
    what = matter(text, notice.kind, notice.flag, notice.urgency, notice.side)
    line = text(key, name=in_line(text, notice.name), day=text.day(notice.date), what=what)
    words = shown(notice.text, "", WORDS_SHOWN)
    return f"{line}\n{text('therapist.words', words=isolated(words))}" if words else line


def matter(text: Text, kind: str, flag: str, urgency: str = "", side: str = "") -> str:
    """What a notice is about, in a line."""
    if side:
        return of_side(text, side, matter(text, kind, flag, urgency))
    keys = (f"notice.{kind}.{flag}.{urgency}", f"notice.{kind}.{flag}", f"notice.{kind}")
    return text(next((key for key in keys[:2] if text.has(key)), keys[2]))


def team(text: Text, facts: Facts) -> Worded:
    """Who works here, with how many patients; a colleague's patients and an invitation under it."""
    members: Sequence[TeamMember] = facts["team"]
    others = [each for each in members if each.confirmed and not each.you]
    buttons = [named(text, "colleague", each.staff, each.name) for each in others if each.patients]
    buttons += [_end(text, each) for each in others if not each.patients]
    lines = [member_line(text, each) for each in members]
    invite = (button(text, "invite", "therapist", key="invite_therapist"),)
    return Worded("\n".join([text("therapist.team"), "", *lines]), (*in_rows(buttons, 2), invite))


def _end(text: Text, member: TeamMember) -> Button:
    label = text("therapist.button.end", name=shown(member.name, text("therapist.no_name"), LONGEST_LABEL))
    return Button(label, data("end", member.staff))


def member_line(text: Text, member: TeamMember) -> str:
    """One of the staff, with how many patients and what is special."""
    count = text.many("therapist.team.patients", member.patients)
    line = text("therapist.team.line", name=in_line(text, member.name), patients=count)
    special = {
        "you": member.you, "lead": member.lead, "unreachable": member.unreachable, "unconfirmed": not member.confirmed,
    }  # fmt: skip
    marks = ", ".join(text(f"therapist.team.{name}") for name, holds in special.items() if holds)
    return text("therapist.team.marked", line=line, marks=marks) if marks else line
