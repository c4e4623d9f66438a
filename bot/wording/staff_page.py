"""One patient's page: how they stand, what was decided and why, and what can be done."""

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import replace

from bot.wording.attention import suggestion, trend_words
from bot.wording.catalogue import Text
from bot.wording.digest_page import untold
from bot.wording.dose import kilos, side_name, step_name
from bot.wording.filling import Keyboard, Pack, Word, button, data, in_rows, isolated, shown, task_button
from bot.wording.progress import goals_for_staff, to_draw
from bot.wording.reasons import act_words, figure_line, for_staff, gate_words, matter
from bot.wording.staff_lists import in_line, reasons, stands
from core.digest.attention import Attention
from core.facts import SideFacts
from core.page import CaseloadRow, CoursePage, DecisionLine, NoticeLine, PersonPage
from core.records import Button, OutcomeScore, Status, Task, Worded
from core.rule.override import Act
from core.scores import Change
from core.timetable import local_date

WORDS_SHOWN = 120  # of a note or a reason
UNREAD_SHOWN = 200
OF_THE_PERSON = frozenset({
    "clear", "write", "note", "task", "evening", "morning", "second", "papers", "hand_over", "discharge",
    "dealt_with", "add_side",
})  # fmt: skip
GONE = (Status.LEFT, Status.DISCHARGED, Status.UNREACHABLE)


def _person(text: Text, page: PersonPage) -> Worded:
    """The page; its picture is drawn from the same facts."""
    course, status = page.course, f"therapist.page.{page.person.status}"
    parts = ["\n".join([in_line(text, page.person.name), *_attention(text, page)])]
    if course:
        parts.append("\n".join(_course(text, page, course)))
        if goals := goals_for_staff(text, page.goals, page.score_due):
            parts.append("\n".join(goals))
        if course.decisions:
            lines = [decision_line(text, each) for each in course.decisions]
            parts.append("\n".join([text("therapist.page.decisions"), *lines]))
        if course.unread:
            parts.append("\n".join([text("therapist.page.unread"), *_unread(text, course.unread)]))
        parts += [_other_side(text, side, row) for side, row in page.others]
    else:
        parts.append(text(status if text.has(status) else "therapist.page.no_course"))
    parts += ["\n".join(lines) for lines in (_notices(text, page), _file(text, page)) if lines]
    picture = to_draw(text, page.progress) if page.progress else {}
    return Worded("\n\n".join(parts), _buttons(text, page), to_draw=picture)


def _other_side(text: Text, side: SideFacts, row: CaseloadRow) -> str:
    """How the other side stands, in a line: its page is one tap away."""
    how = "; ".join([*reasons(text, row), stands(text, row)])
    return text("therapist.page.other", side=side_name(text, side), stands=how)


def _unread(text: Text, evenings: Iterable[tuple[dt.date, str]]) -> list[str]:
    return [
        text("therapist.page.notice", day=text.day(date), what="", words=isolated(shown(words, "", UNREAD_SHOWN)))
        for date, words in evenings
    ]


def _attention(text: Text, page: PersonPage) -> list[str]:
    # not true of a page that is open, and what has a line of its own below
    elsewhere = {Attention.UNSEEN, *([Attention.SCORE_DUE] if page.score_due else [])}
    here = [code for code in page.row.attention if code not in elsewhere]
    why = reasons(text, replace(page.row, attention=tuple(here)), page.person.away_until)
    if not why:
        return []
    lines = [text("therapist.page.why", why="; ".join(why))]
    still = [code for code in here if code not in page.row.settled]
    proposed = suggestion(text, page.course.words, still) if page.course else ""
    return [*lines, text("therapist.page.suggest", what=proposed)] if proposed else lines


def _course(text: Text, page: PersonPage, course: CoursePage) -> list[str]:
    key = "therapist.page.not_begun" if course.not_begun else "therapist.page.step"
    side, step = Pack(text, course.words)(f"side.{course.side}"), _step(text, page.row, course)
    lines = [text(key, side=side, week=page.row.week, step=step, since=text.day(course.since))]
    if course.unloaded_until:
        lines.append(text("therapist.page.unloaded", until=text.day(course.unloaded_until)))
    if course.awaits_look:
        lines.append(text("therapist.page.awaits_look"))
    if course.pinned_until:
        lines.append(text("therapist.page.pinned", until=text.day(course.pinned_until)))
    if course.gate and course.gate.own is not None:
        lines.append(text("therapist.page.gate", step=course.gate.step, gate=gate_words(text, course.gate.own)))
    if page.row.mean is not None:
        lines.append(_mean(text, page.row.mean, course.change))
    lines.append(text("therapist.page.trend", trend=trend_words(text, course.trend, on_paper=False)))
    if course.evenings:
        sets = {"done": course.sets_done, "asked": course.sets_asked}
        known = text("therapist.page.fortnight", **sets, answered=course.answered, evenings=course.evenings)
        lines.append(f"{known}{untold(text, course.untold)}.")
    morning = "therapist.page.evening_and_morning" if page.person.ask_morning else "therapist.page.evening"
    asked = text(morning, evening=f"{page.person.evening:%H:%M}")
    fewer = [text("therapist.page.every_second")] if page.person.every_second else []
    return [*lines, " ".join([asked, *fewer])]


def _step(text: Text, row: CaseloadRow, course: CoursePage) -> str:
    name = step_name(text, course.words, course.step_key)
    if row.step is not None and row.step <= row.steps:
        name = text("therapist.page.of", step=row.step, steps=row.steps, name=name)
    return text("therapist.page.load", step=name, kg=kilos(text, course.load_g)) if course.load_g else name


def _mean(text: Text, mean: float, change: Change | None) -> str:
    shown_mean = text.number(mean)
    if change is None:
        return text("therapist.page.mean", mean=shown_mean)
    band = text(f"therapist.file.band.{change.band}")
    return text("therapist.page.change", mean=shown_mean, first=text.number(change.first), band=band)


def decision_line(text: Text, decision: DecisionLine) -> str:
    """One decision in one line: the day, what it came to, and why."""
    move = text(f"therapist.file.move.{decision.move}", step=decision.step)
    day = text.day(decision.date)
    why = for_staff(text, decision.reasons[0]) if decision.reasons else ""
    if not decision.by and not decision.note:
        return text("therapist.page.decision", day=day, move=move, why=why)
    words = isolated(shown(decision.note, "", WORDS_SHOWN))
    by = isolated(shown(decision.by, text("therapist.page.clinic")))
    what = act_words(text, decision.act) if decision.act else text("therapist.page.cleared")
    return text("therapist.page.act", day=day, what=what, by=by, words=words)


def _notices(text: Text, page: PersonPage) -> list[str]:
    lines = [
        text("therapist.page.notice", day=text.day(each.date), what=_what(text, each), words=_words(text, each))
        for each in page.notices
    ]
    return [text("therapist.page.notices"), *lines] if lines else []


def _what(text: Text, notice: NoticeLine) -> str:
    return matter(text, notice.kind, notice.flag, notice.urgency, notice.side)


def _words(text: Text, notice: NoticeLine) -> str:
    words = shown(notice.text, "", WORDS_SHOWN)
    return " " + text("therapist.words", words=isolated(words)) if words else ""


def _file(text: Text, page: PersonPage) -> list[str]:
    lines = [_task(text, each, number) for number, each in enumerate(page.tasks, 1)]
    if page.scores:
        scores = ", ".join(_score(text, each) for each in page.scores)
        lines.append(text("therapist.page.scores", scores=scores))
    for note in page.notes:
        words = isolated(shown(note.text, "", WORDS_SHOWN))
        day = text.day(local_date(note.at, page.person.zone))
        lines.append(text("therapist.page.note", day=day, words=words))
    more = page.note_count - len(page.notes)
    return [*lines, text.many("therapist.page.more_notes", more)] if more > 0 else lines


def _task(text: Text, task: Task, number: int) -> str:
    what = isolated(shown(task.text, "", WORDS_SHOWN))
    return text("therapist.page.task", n=number, what=what, day=text.day(task.due))


def _score(text: Text, score: OutcomeScore) -> str:
    return text("therapist.page.score", week=score.week, total=text.number(score.total))


def _buttons(text: Text, page: PersonPage) -> Keyboard:
    """What can be done now, the likeliest first."""
    who, status, course = page.person.id, page.person.status, page.course
    if status is Status.UNCONFIRMED:
        return ((button(text, "confirm", who), button(text, "stranger", who)),)
    verbs = [*_course_verbs(status, course)]
    verbs += [] if status in GONE else ["write"]
    verbs += ["note", "task", *(["score", "diary"] if course else [])]
    verbs += ["evening", "morning"] if course and status not in GONE else []
    verbs += ["second"] if course and (page.person.every_second or _keeps_up(page.row)) else []
    verbs += ["decisions"] if course else []
    verbs += ["add_side"] if page.adds_side else []
    verbs += ["end_side"] if page.others else []
    verbs += ["papers"] if course or status is Status.DISCHARGED else []
    verbs += [] if status is Status.DISCHARGED else ["hand_over", "discharge"]
    verbs += ["dealt_with"] if any(each.open for each in page.notices) else []
    done = [task_button(text, who, each.id, number) for number, each in enumerate(page.tasks, 1)]
    own = [button(text, verb, _subject(page, verb)) for verb in verbs]
    other = [Button(side_name(text, side), data("open", f"{who}~{side.side}")) for side, _ in page.others]
    return (*in_rows(done, 2), *in_rows(own, 3), *in_rows(other, 3), *_undo(text, who, course))


def _subject(page: PersonPage, verb: str) -> str:
    """The patient; where they have two courses also the side, for what is done about one of them."""
    of_one = page.course and page.others and verb not in OF_THE_PERSON
    return f"{page.person.id}~{page.course.side}" if page.course and of_one else page.person.id


def _keeps_up(row: CaseloadRow) -> bool:
    return row.step is not None and row.step > row.steps and row.status not in GONE


def _course_verbs(status: Status, course: CoursePage | None) -> list[str]:
    if status is Status.SCREENED_OUT or (course and course.danger):
        return ["clear"]
    if not course or status in (Status.LEFT, Status.DISCHARGED):
        return []
    if Act.GO_ON in course.can:
        return ["go_on"]
    called = {Act.UP: "up", Act.BACK: "back", Act.STOP: "pause", Act.UNPIN: "unpin", Act.LOOKED: "looked"}
    verbs = [called[act] for act in course.can]
    return [*verbs, "to", "stay", "dose", *(["gate"] if course.gate else [])] if Act.STOP in course.can else verbs


def _undo(text: Text, who: str, course: CoursePage | None) -> Keyboard:
    undoable = [each for each in course.decisions if each.undo] if course else []
    return ((button(text, "undo", who, undoable[0].id),),) if undoable else ()


def _decisions(
    text: Text, person: str, name: str, decisions: Sequence[DecisionLine], page: int, pages: int,
    of_side: SideFacts | None = None,
) -> Worded:  # fmt: skip
    """The last decisions with all their reasons, and where each number comes from."""
    parts = [text("therapist.decisions", name=in_line(text, name))]
    parts += ["\n".join(in_full(text, each)) for each in decisions]
    if not decisions:
        parts.append(text("therapist.decisions.none"))
    who = f"{person}~{of_side.side}" if of_side else person
    turn = [button(text, "decisions", who, page + 1, "earlier")] if page + 1 < pages else []
    turn += [button(text, "decisions", who, page - 1, "later")] if page else []
    return Worded("\n\n".join(parts), (*((tuple(turn),) if turn else ()), (button(text, "open", who),)))


def in_full(text: Text, decision: DecisionLine) -> list[str]:
    """One decision in lines: what it came to, and each reason with the numbers it was measured against."""
    lines = [decision_line(text, decision)]
    for number, reason in enumerate(decision.reasons):
        if number:
            lines.append(text("why.reason", reason=for_staff(text, reason)))
        lines += [figure_line(text, figure, staff=True) for figure in reason.figures]
    return lines


STAFF_PAGE: dict[str, Word] = {"therapist.person": _person, "therapist.decisions": _decisions}
