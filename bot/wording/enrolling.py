"""Enrolling: the questions one after the other, those of the screening, and how the first day begins."""

import datetime as dt
from collections.abc import Callable, Mapping
from typing import Any

from bot.wording.catalogue import Text
from bot.wording.dose import dose_line, of_one_arm, side_name, step_line
from bot.wording.filling import plain, said, town
from bot.wording.keyboard import choices, rows
from core.facts import DoseFacts, SideFacts
from core.records import Button, Worded

Facts = Mapping[str, Any]
Word = Callable[[Text, Facts], Worded]
YES_NO = ("yes", "no")
YES_NO_UNSURE = ("yes", "no", "unsure")
TIMES = tuple(dt.time(hour) for hour in range(18, 22))
ITEMS = {
    "fit": ("minor", "unseen", "elsewhere"),
    "signs": ("numb", "weak", "locks", "hot", "injury", "lump", "night"),
    "past": ("surgery", "cancer", "weight", "neck", "joints"),
    "heart": ("pressure", "heart", "vessel", "eye"),
}


def _enrol(step: str, options: tuple[str, ...]) -> Word:
    def word(text: Text, facts: Facts) -> Worded:
        buttons = choices(text, f"f.enrol.{step}", options, "choice")
        return said(text, f"enrol.{step}", facts, buttons)

    return word


def _cleared(text: Text, facts: Facts) -> Worded:
    """What a therapist's look came to, and the question at which the enrolment goes on."""
    question = ENROLLING[f"enrol.{facts['step']}"](text, facts)
    return Worded(f"{text('enrol.cleared')}\n\n{question.text}", question.buttons)


def _rating(text: Text, facts: Facts) -> Worded:
    numbers = [Button(str(n), f"1.f.enrol.rating.{n}") for n in range(11)]
    return said(text, "enrol.rating", facts, (tuple(numbers[:6]), tuple(numbers[6:])))


def _enrol_zone(text: Text, facts: Facts) -> Worded:
    return said(text, "enrol.zone", facts, choices(text, "f.enrol.zone", ("yes", "other"), "choice"))


def zones(kind: str, flow: str) -> Word:
    def word(text: Text, facts: Facts) -> Worded:
        near = tuple((Button(town(zone), f"1.f.{flow}.{zone}"),) for zone in facts.get("zones", ()))
        key = f"{kind}.near" if near and text.has(f"{kind}.near") else kind
        return said(text, key, facts, near)

    return word


def times(kind: str, flow: str) -> Word:
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


def _group(name: str) -> Callable[[Text, Facts], Worded]:
    def word(text: Text, facts: Facts) -> Worded:
        fine = ("yes", "choice.fit.all") if name == "fit" else ("no", "choice.none")
        items = [(item, f"choice.{name}.{item}") for item in ITEMS[name] if item not in facts.get("told", ())]
        answers = [fine, *items, ("unsure", "choice.unsure")]
        buttons = tuple((Button(text(label), f"1.f.enrol.{name}.{answer}"),) for answer, label in answers)
        return said(text, f"enrol.{name}", facts, buttons)

    return word


def _screened_out(text: Text, facts: Facts) -> Worded:
    shown = plain(text, facts)
    parts = [text(key, **shown) for key in (f"screen.{facts['why']}", "screen.told", "danger.not")]
    return Worded("\n\n".join(parts))


ENROLLING: dict[str, Word] = {
    "enrol.consent": _enrol("consent", YES_NO),
    "enrol.injection": _enrol("injection", YES_NO_UNSURE),
    "enrol.heart_ok": _enrol("heart_ok", YES_NO_UNSURE),
    "enrol.side": _enrol("side", ("left", "right", "both")),
    **{f"enrol.{name}": _group(name) for name in ITEMS},
    "enrol.rating": _rating,
    "enrol.zone": _enrol_zone,
    "enrol.city": zones("enrol.city", "enrol.city"),
    "enrol.evening": times("enrol.evening", "enrol.evening"),
    "enrol.cleared": _cleared,
    "enrol.screened_out": _screened_out,
    "enrol.done": _begun,
}
