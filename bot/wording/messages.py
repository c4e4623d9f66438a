"""Every kind of message to a patient: which texts it is made of and which buttons stand under it."""

import json
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from bot.wording.breaks import BREAKS, FROM_STAFF, SILENCE
from bot.wording.catalogue import Text, WordingError, text_in
from bot.wording.dose import chain, dose_line, figure_line, how_lines, of_one_arm, side_name, step_line
from bot.wording.enrolling import ENROLLING, times, zones
from bot.wording.evening import EVENING, still_help
from bot.wording.filling import asks, plain
from bot.wording.guided import GUIDED, LOOKS, start_buttons
from bot.wording.keyboard import Rows, choices, rows
from bot.wording.progress import GOALS, progress
from bot.wording.questions import QUESTIONS, SIGNS
from bot.wording.sheet import own_sheet
from bot.wording.staff import STAFF
from core.records import Button, Worded

Facts = Mapping[str, Any]
Word = Callable[[Text, Facts], Worded]

MENU: Rows = (
    ("today", "how"), ("why", "progress"), ("change", "pause"), ("questions", "learn"), ("evening", "nudges"),
    ("zone", "problem", "help"),
)  # fmt: skip


def in_words(kind: str, language: str, facts: Facts) -> Worded:
    """Word one message; raises WordingError for a kind that has no words."""
    text = text_in(language).with_words(facts.get("words", {}))
    if side := facts.get("of_side"):
        dose = {"dose": of_one_arm(facts["dose"], side)} if facts.get("dose") else {}
        worded = _in_words(text, kind, {**facts, **dose})
        return replace(worded, text=f"{text('side.heading', side=side_name(text, side))}\n{worded.text}")
    return _in_words(text, kind, facts)


def _in_words(text: Text, kind: str, facts: Facts) -> Worded:
    if kind in MESSAGES:
        return MESSAGES[kind](text, facts)
    if not text.has(kind):
        raise WordingError(f"message kind {kind!r}: no words for it")
    return Worded(text(kind, **plain(text, facts)))


def _today(text: Text, facts: Facts) -> Worded:
    key = "today.now" if facts["date"] == facts["today"] else "today.later"
    dose = facts["dose"]
    line = text(key, date=plain(text, facts)["date"], dose=dose_line(text, dose))
    now = start_buttons(text, dose) if key == "today.now" else ()
    return Worded(f"{line}\n{step_line(text, dose)}", (*now, *rows(text, (("how", "why"),))))


def _how(text: Text, facts: Facts) -> Worded:
    dose = facts["dose"]
    moving: Rows = (("moving",),) if dose.pictures else ()
    buttons = (*start_buttons(text, dose), *rows(text, (*moving, ("today", "problem"))))
    return Worded("\n\n".join(how_lines(text, dose)), buttons)


def _why(text: Text, facts: Facts) -> Worded:
    decision = facts["decision"]
    parts = [f"{step_line(text, facts['dose'])}\n{dose_line(text, facts['dose'])}."]
    if decision:
        decided = text("why.decided", date=plain(text, decision)["date"])
        parts.append("\n".join([decided, *chain(text, decision["reasons"])]))
    else:
        parts.append(text("why.start"))
    if facts["figures"]:
        parts.append("\n".join([text("why.numbers"), *(figure_line(text, figure) for figure in facts["figures"])]))
    parts.append(text("why.end"))
    return Worded("\n\n".join(parts))


def _danger(text: Text, facts: Facts) -> Worded:
    shown = plain(text, facts)
    own = f"danger.stopped.{facts.get('told')}"
    stopped = own if text.has(own) else "danger.stopped"
    return Worded("\n\n".join([text(f"danger.{facts['what']}", **shown), text(stopped), text("danger.not")]))


def _unhandled(text: Text, facts: Facts) -> Worded:
    told = text(f"danger.unhandled.{facts['told']}")
    return Worded(text("danger.unhandled", emergency=facts["emergency"], told=told))


def _injection_told(text: Text, facts: Facts) -> Worded:
    return Worded(text.many("injection.told", facts["days"], passed=plain(text, facts)["passed"]))


def _danger_still(text: Text, facts: Facts) -> Worded:
    told = [text(f"danger.{facts['told']}")] if facts.get("told") else []
    help_ = still_help(text, facts)
    if facts.get("again"):
        return Worded(" ".join([text("danger.still.again"), help_, *told]))
    return Worded("\n\n".join([text("danger.still"), *told, help_]))


def _menu(kind: str) -> Word:
    return lambda text, facts: Worded(text(kind, **plain(text, facts)), rows(text, MENU))


def _help_menu(text: Text, facts: Facts) -> Worded:
    return Worded(" ".join([text("help.set"), *asks(text, facts), text("help.what")]), rows(text, MENU))


def _erase_ask(text: Text, facts: Facts) -> Worded:
    return Worded(text("erase.ask"), choices(text, "f.erase", ("yes", "no"), "erase"))


def _export(text: Text, facts: Facts) -> Worded:
    data = json.dumps(facts["data"], ensure_ascii=False, indent=2, sort_keys=True)
    return Worded(text("export"), document=(text("export.file"), data))


def _privacy(text: Text, facts: Facts) -> Worded:
    return Worded(text("privacy"), rows(text, (("export", "erase"),)))


def _made_when_drawn(text: Text, facts: Facts) -> Worded:
    """A digest or a part of one: nothing of it is known before it is made."""
    return Worded(to_draw=facts)


def _which_side(kind: str) -> Word:
    """Of which side it is meant; each with what its button carries."""

    def word(text: Text, facts: Facts) -> Worded:
        shown = tuple(Button(side_name(text, side), f"1.{data}") for side, data in facts["sides"])
        return Worded(text(kind), (shown,) if shown else ())

    return word


MESSAGES: dict[str, Word] = {
    **dict.fromkeys(("therapist.digest", "therapist.digest_picture", "therapist.digest_pdf"), _made_when_drawn),
    **ENROLLING,
    **EVENING,
    **BREAKS,
    **FROM_STAFF,
    **GOALS,
    **GUIDED,
    **LOOKS,
    **SIGNS,
    **SILENCE,
    **STAFF,
    **QUESTIONS,
    "which_side.act": _which_side("which_side.act"),
    "which_side.change": _which_side("which_side.change"),
    "which_side.numbers": _which_side("which_side.numbers"),
    "which_side.set": _which_side("which_side.set"),
    "today": _today,
    "how": _how,
    "how.sheet": own_sheet("how.sheet"),
    "why": _why,
    "progress": progress,
    "time.ask": times("time.ask", "time"),
    "time.again": times("time.again", "time"),
    "zone.ask": zones("zone.ask", "zone"),
    "zone.near": zones("zone.ask", "zone"),
    "zone.again": zones("zone.again", "zone"),
    "danger": _danger,
    "injection.told": _injection_told,
    "danger.still": _danger_still,
    "danger.unhandled": _unhandled,
    "help": _menu("help"),
    "help.menu": _help_menu,
    "help.unknown_command": _menu("help.unknown_command"),
    "chat.nothing_open": _menu("chat.nothing_open"),
    "erase.ask": _erase_ask,
    "export": _export,
    "privacy": _privacy,
}
