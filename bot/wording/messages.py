"""Every kind of message to a patient: which texts it is made of and which buttons stand under it."""

import datetime as dt
import json
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from bot.wording.breaks import BREAKS
from bot.wording.catalogue import Text, WordingError, text_in
from bot.wording.dose import dose_line, how_lines, of_one_arm, side_name, step_line
from bot.wording.evening import EVENING, still_help
from bot.wording.filling import asks, plain, said, town
from bot.wording.from_staff import FROM_STAFF
from bot.wording.goals import GOALS
from bot.wording.guided import GUIDED, LOOKS, start_buttons
from bot.wording.keyboard import Rows, choices, rows
from bot.wording.progress import progress
from bot.wording.questions import QUESTIONS, SCREENING, SIGNS
from bot.wording.reasons import chain, figure_line
from bot.wording.sheet import own_sheet
from bot.wording.silence import SILENCE
from bot.wording.staff import STAFF
from core.facts import DoseFacts, SideFacts
from core.records import Button, Worded

Facts = Mapping[str, Any]
Word = Callable[[Text, Facts], Worded]

MENU: Rows = (
    ("today", "how"), ("why", "progress"), ("change", "pause"), ("questions", "learn"), ("evening", "nudges"),
    ("zone", "problem", "help"),
)  # fmt: skip
YES_NO = ("yes", "no")
YES_NO_UNSURE = ("yes", "no", "unsure")
TIMES = tuple(dt.time(hour) for hour in range(18, 22))


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


def _enrol(step: str, options: tuple[str, ...]) -> Word:
    def word(text: Text, facts: Facts) -> Worded:
        buttons = choices(text, f"f.enrol.{step}", options, "choice")
        return said(text, f"enrol.{step}", facts, buttons)

    return word


def _cleared(text: Text, facts: Facts) -> Worded:
    """What a therapist's look came to, and the question at which the enrolment goes on."""
    question = MESSAGES[f"enrol.{facts['step']}"](text, facts)
    return Worded(f"{text('enrol.cleared')}\n\n{question.text}", question.buttons)


def _rating(text: Text, facts: Facts) -> Worded:
    numbers = [Button(str(n), f"1.f.enrol.rating.{n}") for n in range(11)]
    return said(text, "enrol.rating", facts, (tuple(numbers[:6]), tuple(numbers[6:])))


def _enrol_zone(text: Text, facts: Facts) -> Worded:
    return said(text, "enrol.zone", facts, choices(text, "f.enrol.zone", ("yes", "other"), "choice"))


def _zones(kind: str, flow: str) -> Word:
    def word(text: Text, facts: Facts) -> Worded:
        near = tuple((Button(town(zone), f"1.f.{flow}.{zone}"),) for zone in facts.get("zones", ()))
        key = f"{kind}.near" if near and text.has(f"{kind}.near") else kind
        return said(text, key, facts, near)

    return word


def _times(kind: str, flow: str) -> Word:
    def word(text: Text, facts: Facts) -> Worded:
        shown = [Button(text.time(time), f"1.f.{flow}.{time:%H:%M}") for time in TIMES]
        return said(text, kind, facts, (tuple(shown),))

    return word


def _begun(text: Text, facts: Facts) -> Worded:
    shown = plain(text, facts)
    parts = [text("enrol.done.high")] if facts["high"] else []
    begins = text.many("enrol.done.waits", facts["waits"], **shown) if facts["waits"] else ""
    parts.append(begins or text("enrol.done", **shown))
    if all(dose == facts["dose"] for _, dose in facts.get("sides", ())):
        parts.append(f"{step_line(text, facts['dose'])}\n{dose_line(text, facts['dose'])}.")
    else:
        parts += [_of_side(text, side, dose) for side, dose in facts["sides"]]
    parts.append(text("enrol.done.then", **shown))
    return Worded("\n\n".join(parts), rows(text, (("how", "why"), ("help",))))


def _of_side(text: Text, side: SideFacts, dose: DoseFacts) -> str:
    heading = text("side.heading", side=side_name(text, side))
    return f"{heading}\n{step_line(text, dose)}\n{dose_line(text, of_one_arm(dose, side))}."


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
    **EVENING,
    **BREAKS,
    **FROM_STAFF,
    **GOALS,
    **GUIDED,
    **LOOKS,
    **SCREENING,
    **SIGNS,
    **SILENCE,
    **STAFF,
    **QUESTIONS,
    "enrol.consent": _enrol("consent", YES_NO),
    "enrol.injection": _enrol("injection", YES_NO_UNSURE),
    "enrol.heart_ok": _enrol("heart_ok", YES_NO_UNSURE),
    "enrol.side": _enrol("side", ("left", "right", "both")),
    "enrol.cleared": _cleared,
    "enrol.rating": _rating,
    "enrol.zone": _enrol_zone,
    "enrol.city": _zones("enrol.city", "enrol.city"),
    "enrol.evening": _times("enrol.evening", "enrol.evening"),
    "enrol.done": _begun,
    "which_side.act": _which_side("which_side.act"),
    "which_side.change": _which_side("which_side.change"),
    "which_side.numbers": _which_side("which_side.numbers"),
    "which_side.set": _which_side("which_side.set"),
    "today": _today,
    "how": _how,
    "how.sheet": own_sheet("how.sheet"),
    "why": _why,
    "progress": progress,
    "time.ask": _times("time.ask", "time"),
    "time.again": _times("time.again", "time"),
    "zone.ask": _zones("zone.ask", "zone"),
    "zone.near": _zones("zone.ask", "zone"),
    "zone.again": _zones("zone.again", "zone"),
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
