"""One patient's page: how they stand, what was decided and why, and what can be done."""

import datetime as dt
from collections.abc import Mapping
from typing import Any

from bot.wording.attention import suggestion, trend_words
from bot.wording.catalogue import Text
from bot.wording.digest_page import untold
from bot.wording.dose import kilos, step_name
from bot.wording.filling import Pack, isolated, shown
from bot.wording.goals import goals_for_staff
from bot.wording.keyboard import Keyboard, button, in_rows, task_button
from bot.wording.progress import to_draw
from bot.wording.reasons import amounts_words, figure_line, gate_words, noted
from bot.wording.staff_lists import matter, name_of, reasons
from core.records import Worded

Facts = Mapping[str, Any]
WORDS_SHOWN = 120  # of a note or a reason
UNREAD_SHOWN = 200
GONE = ("left", "discharged", "unreachable")
NOT_YET = ("unconfirmed", "enrolling", "screened_out")


def person(text: Text, facts: Facts) -> Worded:
    """The page; its picture is drawn from the same facts."""
    course = facts["course"]
    head = [name_of(text, facts), *_attention(text, facts)]
    parts = ["\n".join(head)]
    if course:
        parts.append("\n".join(_course(text, facts, course)))
        if goals := goals_for_staff(text, facts):
            parts.append("\n".join(goals))
        if course["decisions"]:
            lines = [decision_line(text, each) for each in course["decisions"]]
            parts.append("\n".join([text("therapist.page.decisions"), *lines]))
        if course["unread"]:
            parts.append("\n".join([text("therapist.page.unread"), *_unread(text, course["unread"])]))
    else:
        parts.append(text(f"therapist.page.{facts['status']}" if _says(text, facts) else "therapist.page.no_course"))
    parts += ["\n".join(lines) for lines in (_notices(text, facts), _file(text, facts)) if lines]
    return Worded("\n\n".join(parts), _buttons(text, facts), to_draw=to_draw(text, facts))


def _unread(text: Text, evenings: list[tuple[dt.date, str]]) -> list[str]:
    return [
        text("therapist.page.notice", day=text.day(date), what="", words=isolated(shown(words, "", UNREAD_SHOWN)))
        for date, words in evenings
    ]


def _says(text: Text, facts: Facts) -> bool:
    return text.has(f"therapist.page.{facts['status']}")


def _attention(text: Text, facts: Facts) -> list[str]:
    why = reasons(text, facts)
    if not why:
        return []
    lines = [text("therapist.page.why", why="; ".join(why))]
    still = [code for code in facts["attention"] if code not in facts["settled"]]
    proposed = suggestion(text, facts["course"]["words"], still) if facts["course"] else ""
    return [*lines, text("therapist.page.suggest", what=proposed)] if proposed else lines


def _course(text: Text, facts: Facts, course: Facts) -> list[str]:
    step = _step(text, facts, course)
    since = text.day(course["since"])
    key = "therapist.page.not_begun" if course["not_begun"] else "therapist.page.step"
    side = Pack(text, course["words"])(f"side.{course['side']}")
    lines = [text(key, side=side, week=facts["week"], step=step, since=since)]
    if course["unloaded_until"]:
        lines.append(text("therapist.page.unloaded", until=text.day(course["unloaded_until"])))
    if course["awaits_look"]:
        lines.append(text("therapist.page.awaits_look"))
    if course["pinned_until"]:
        lines.append(text("therapist.page.pinned", until=text.day(course["pinned_until"])))
    if (gate := course.get("gate")) and gate["own"] is not None:
        lines.append(text("therapist.page.gate", step=gate["step"], gate=gate_words(text, gate["own"])))
    if facts["mean"] is not None:
        lines.append(_mean(text, facts, course))
    lines.append(text("therapist.page.trend", trend=trend_words(text, course["trend"])))
    done, asked, unheard = course["fortnight"]
    answered, evenings = course["answered"]
    if evenings:
        known = text("therapist.page.fortnight", done=done, asked=asked, answered=answered, evenings=evenings)
        lines.append(f"{known}{untold(text, unheard)}.")
    morning = "therapist.page.evening_and_morning" if facts["ask_morning"] else "therapist.page.evening"
    return [*lines, text(morning, evening=f"{facts['evening']:%H:%M}")]


def _step(text: Text, facts: Facts, course: Facts) -> str:
    name = step_name(text, course["words"], course["step_key"])
    if facts["step"] <= facts["steps"]:
        name = text("therapist.page.of", step=facts["step"], steps=facts["steps"], name=name)
    return text("therapist.page.load", step=name, kg=kilos(text, course["load_g"])) if course["load_g"] else name


def _mean(text: Text, facts: Facts, course: Facts) -> str:
    mean = text.number(facts["mean"])
    change = course["change"]
    if change is None:
        return text("therapist.page.mean", mean=mean)
    band = text(f"therapist.file.band.{change['band']}")
    return text("therapist.page.change", mean=mean, first=text.number(change["first"]), band=band)


def decision_line(text: Text, decision: Facts) -> str:
    """One decision in one line: the day, what it came to, and why."""
    move = text(f"therapist.file.move.{decision['move']}", step=decision["step"])
    day = text.day(decision["date"])
    why = noted(text, decision["reasons"][0]) if decision["reasons"] else ""
    if not decision["by"] and not decision["note"]:
        return text("therapist.page.decision", day=day, move=move, why=why)
    words = isolated(shown(decision["note"], "", WORDS_SHOWN))
    by = isolated(shown(decision["by"], text("therapist.page.clinic")))
    what = _act(text, decision["act"]) if decision["act"] else text("therapist.page.cleared")
    return text("therapist.page.act", day=day, what=what, by=by, words=words)


def _act(text: Text, act: Facts) -> str:
    until = text.day(act["until"]) if act["until"] else ""
    gate = gate_words(text, act.get("gate"))
    amounts = amounts_words(text, act.get("amounts") or {})
    return text(f"therapist.because.act.{act['act']}", step=act["step"], until=until, gate=gate, amounts=amounts)


def _notices(text: Text, facts: Facts) -> list[str]:
    lines = [
        text("therapist.page.notice", day=text.day(each["date"]), what=matter(text, each), words=_words(text, each))
        for each in facts["notices"]
    ]
    return [text("therapist.page.notices"), *lines] if lines else []


def _words(text: Text, notice: Facts) -> str:
    words = shown(notice["text"], "", WORDS_SHOWN)
    return " " + text("therapist.words", words=isolated(words)) if words else ""


def _file(text: Text, facts: Facts) -> list[str]:
    lines = [_task(text, each, number) for number, each in enumerate(facts["tasks"], 1)]
    if facts["scores"]:
        scores = ", ".join(_score(text, each) for each in facts["scores"])
        lines.append(text("therapist.page.scores", scores=scores))
    for note in facts["notes"]:
        words = isolated(shown(note["text"], "", WORDS_SHOWN))
        lines.append(text("therapist.page.note", day=text.day(note["date"]), words=words))
    more = facts["note_count"] - len(facts["notes"])
    return [*lines, text.many("therapist.page.more_notes", more)] if more > 0 else lines


def _task(text: Text, task: Facts, number: int) -> str:
    what = isolated(shown(task["text"], "", WORDS_SHOWN))
    return text("therapist.page.task", n=number, what=what, day=text.day(task["due"]))


def _score(text: Text, score: Facts) -> str:
    return text("therapist.page.score", week=score["week"], total=text.number(score["total"]))


def _buttons(text: Text, facts: Facts) -> Keyboard:
    """What can be done now, the likeliest first."""
    who, status, course = facts["person"], facts["status"], facts["course"]
    if status == "unconfirmed":
        return ((button(text, "confirm", who), button(text, "stranger", who)),)
    verbs = [*_course_verbs(facts, course)]
    verbs += [] if status in GONE else ["write"]
    verbs += ["note", "task", *(["score", "diary"] if course else [])]
    verbs += ["evening", "morning"] if course and status not in GONE else []
    verbs += ["decisions"] if course else []
    verbs += ["export"] if course or status == "discharged" else []
    verbs += [] if status == "discharged" else ["hand_over", "discharge"]
    verbs += ["dealt_with"] if any(each["open"] for each in facts["notices"]) else []
    done = [task_button(text, who, each, number) for number, each in enumerate(facts["tasks"], 1)]
    return (*in_rows(done, 2), *in_rows([button(text, verb, who) for verb in verbs], 3), *_undo(text, facts, course))


def _course_verbs(facts: Facts, course: Facts | None) -> list[str]:
    if facts["status"] == "screened_out" or (course and course["stopped_for"]):
        return ["clear"]
    if not course or facts["status"] in ("left", "discharged"):
        return []
    if "go_on" in course["can"]:
        return ["go_on"]
    can = {"up": "up", "back": "back", "stop": "pause", "unpin": "unpin", "looked": "looked"}
    verbs = [can[act] for act in course["can"]]
    return [*verbs, *(["to", "stay"] if "stop" in course["can"] else []), *_gate_verb(course)]


def _gate_verb(course: Facts) -> list[str]:
    if "stop" not in course["can"]:
        return []
    return ["dose", *(["gate"] if course.get("gate") else [])]


def _undo(text: Text, facts: Facts, course: Facts | None) -> Keyboard:
    undoable = [each for each in course["decisions"] if each["undo"]] if course else []
    return ((button(text, "undo", facts["person"], undoable[0]["id"]),),) if undoable else ()


def decisions(text: Text, facts: Facts) -> Worded:
    """The last decisions with all their reasons, and where each number comes from."""
    parts = [text("therapist.decisions", name=name_of(text, facts))]
    parts += ["\n".join(in_full(text, each)) for each in facts["decisions"]]
    if not facts["decisions"]:
        parts.append(text("therapist.decisions.none"))
    return Worded("\n\n".join(parts), (*_turning(text, facts), (button(text, "open", facts["person"]),)))


def _turning(text: Text, facts: Facts) -> Keyboard:
    page, who = facts["page"], facts["person"]
    both = []
    if page + 1 < facts["pages"]:
        both.append(button(text, "decisions", who, page + 1, "earlier"))
    if page:
        both.append(button(text, "decisions", who, page - 1, "later"))
    return (tuple(both),) if both else ()


def in_full(text: Text, decision: Facts) -> list[str]:
    """One decision in lines: what it came to, and each reason with the numbers it was measured against."""
    lines = [decision_line(text, decision)]
    for number, reason in enumerate(decision["reasons"]):
        if number:
            lines.append(text("why.reason", reason=noted(text, reason)))
        lines += [figure_line(text, figure, staff=True) for figure in reason.figures]
    return lines
