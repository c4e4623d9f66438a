"""Lists for staff: the caseload a page at a time, the notices, and who works here."""

import datetime as dt
from collections.abc import Sequence

from bot.wording.attention import worse
from bot.wording.catalogue import Text
from bot.wording.filling import (
    LONGEST_LABEL,
    Word,
    button,
    command,
    data,
    in_rows,
    isolated,
    named,
    shown,
    turning,
)
from bot.wording.reasons import matter, of_side
from core.digest.attention import Attention
from core.page import CaseloadRow, NoticeLine, TeamMember
from core.records import Button, Worded

REASONS_SHOWN = 2  # in the list; the page has all
WORDS_SHOWN = 200  # of what a patient wrote, in a list


def in_line(text: Text, name: str) -> str:
    """A name fit to stand in a line."""
    return isolated(shown(name, text("therapist.no_name")))


def _caseload(
    text: Text, rows: Sequence[CaseloadRow], first: int, total: int, page: int, pages: int, therapist: str,
    therapist_name: str, found: str,
) -> Worded:  # fmt: skip
    """Ten patients at most: who, why, where they stand; a button for each."""
    whose = in_line(text, therapist_name) if therapist else ""
    if not rows:
        nobody = text("therapist.caseload.none_of", name=whose) if whose else text("therapist.caseload.none")
        return Worded(nobody, () if whose else ((button(text, "invite", "patient"),),))
    head = text("therapist.caseload.of", name=whose) if whose else text("therapist.caseload.yours")
    if found:
        head = text.many("therapist.caseload.found", total, words=isolated(shown(found, "", 40)))
    elif pages > 1:
        last = first + len(rows) - 1
        head = text("therapist.caseload.part", head=head, first=first, last=last, total=total)
    lines = [_caseload_line(text, number, row) for number, row in enumerate(rows, first)]
    buttons = [named(text, "open", row.id, row.name, number) for number, row in enumerate(rows, first)]
    turn = () if found else turning(text, "page", page, pages, therapist)
    return Worded("\n".join([head, "", *lines]), (*in_rows(buttons, 2), *turn))


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


def _notices(text: Text, notices: Sequence[NoticeLine], page: int, pages: int) -> Worded:
    """The latest notices, those still open marked, with the patients' pages under them."""
    if not notices:
        return Worded(text("therapist.notices.none"), ((command(text, "caseload"),),))
    people = {each.person: each.name for each in notices if each.person}
    buttons = [named(text, "open", person, name) for person, name in people.items()]
    lines = [_notice_line(text, each) for each in notices]
    under = (*in_rows(buttons, 2), *turning(text, "notices_page", page, pages))
    return Worded("\n\n".join([text("therapist.notices"), *lines]), under)


def _notice_line(text: Text, notice: NoticeLine) -> str:
    key = "therapist.notices.open" if notice.open else "therapist.notices.done"
    what = matter(text, notice.kind, notice.flag, notice.urgency, notice.side)
    line = text(key, name=in_line(text, notice.name), day=text.day(notice.date), what=what)
    words = shown(notice.text, "", WORDS_SHOWN)
    return f"{line}\n{text('therapist.words', words=isolated(words))}" if words else line


def _team(text: Text, team: Sequence[TeamMember]) -> Worded:
    """Who works here, with how many patients; a colleague's patients and an invitation under it."""
    others = [each for each in team if each.confirmed and not each.you]
    buttons = [named(text, "colleague", each.staff, each.name) for each in others if each.patients]
    buttons += [_end(text, each) for each in others if not each.patients]
    lines = [member_line(text, each) for each in team]
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


STAFF_LISTS: dict[str, Word] = {
    "therapist.caseload": _caseload,
    "therapist.notices": _notices,
    "therapist.team": _team,
}
