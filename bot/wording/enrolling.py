"""Enrolling: the questions one after the other, those of the screening, and how the first day begins."""

import datetime as dt
from collections.abc import Sequence

from bot.buttons import Verb, carried
from bot.wording.catalogue import Text
from bot.wording.dose import dose_line, of_one_arm, side_name, step_line
from bot.wording.filling import Word, choices, plain, rows, said, town
from core.facts import DoseFacts, SideFacts
from core.records import Button, Worded

CHOICES = {  # what is tapped under a question
    "consent": ("yes", "no"),
    "injection": ("yes", "no", "unsure"),
    "heart_ok": ("yes", "no", "unsure"),
    "side": ("left", "right", "both"),
    "zone": ("yes", "other"),
}
TIMES = tuple(dt.time(hour) for hour in range(18, 22))
ITEMS = {
    "fit": ("minor", "unseen", "elsewhere"),
    "signs": ("numb", "weak", "locks", "hot", "injury", "lump", "night"),
    "past": ("surgery", "cancer", "weight", "neck", "joints"),
    "heart": ("pressure", "heart", "vessel", "eye"),
}


def _choice(step: str) -> Word:
    def word(text: Text, **named: object) -> Worded:
        where = carried(Verb.ANSWER, "enrol", step)
        return said(text, f"enrol.{step}", choices(text, where, CHOICES[step], "choice"), **named)

    return word


def _group(name: str) -> Word:
    """A group of the screening; what was told already is not asked again."""

    def word(text: Text, told: Sequence[str] = (), **named: object) -> Worded:
        fine = ("yes", "choice.fit.all") if name == "fit" else ("no", "choice.none")
        items = [(item, f"choice.{name}.{item}") for item in ITEMS[name] if item not in told]
        answers = [fine, *items, ("unsure", "choice.unsure")]
        where = carried(Verb.ANSWER, "enrol", name)
        buttons = tuple((Button(text(label), f"{where}.{answer}"),) for answer, label in answers)
        return said(text, f"enrol.{name}", buttons, **named)

    return word


def _cleared(text: Text, step: str, **named: object) -> Worded:
    """What a therapist's look came to, and the question at which the enrolment goes on."""
    question = ENROLLING[f"enrol.{step}"](text, **named)
    return Worded(f"{text('enrol.cleared')}\n\n{question.text}", question.buttons)


def _rating(text: Text, **named: object) -> Worded:
    numbers = [Button(str(n), carried(Verb.ANSWER, "enrol", "rating", n)) for n in range(11)]
    return said(text, "enrol.rating", (tuple(numbers[:6]), tuple(numbers[6:])), **named)


def zones(kind: str, flow: str) -> Word:
    """Which zone, with the `zones` that are near to what was typed."""

    def word(text: Text, zones: Sequence[str] = (), **named: object) -> Worded:
        near = tuple((Button(town(zone), carried(Verb.ANSWER, flow, zone)),) for zone in zones)
        key = f"{kind}.near" if near and text.has(f"{kind}.near") else kind
        return said(text, key, near, **named)

    return word


def times(kind: str, flow: str) -> Word:
    """At which hour, with a few to tap."""

    def word(text: Text, **named: object) -> Worded:
        buttons = tuple(Button(text.time(time), carried(Verb.ANSWER, flow, f"{time:%H:%M}")) for time in TIMES)
        return said(text, kind, (buttons,), **named)

    return word


def _screened_out(text: Text, why: str, **named: object) -> Worded:
    keys, shown = (f"screen.{why}", "screen.told", "danger.not"), plain(text, named)
    return Worded("\n\n".join(text(key, **shown) for key in keys))


def _begun(
    text: Text, dose: DoseFacts, sides: Sequence[tuple[SideFacts, DoseFacts]], waits: int, high: bool, **named: object
) -> Worded:
    shown = plain(text, named)
    parts = [text("enrol.done.high")] if high else []
    parts.append(text.many("enrol.done.waits", waits, **shown) if waits else text("enrol.done", **shown))
    if all(each == dose for _, each in sides):
        parts.append(f"{step_line(text, dose)}\n{dose_line(text, dose)}.")
    else:
        parts += [_of_side(text, side, each) for side, each in sides]
    parts.append(text("enrol.done.then", **shown))
    return Worded("\n\n".join(parts), rows(text, (("how", "why"), ("help",))))


def _of_side(text: Text, side: SideFacts, dose: DoseFacts) -> str:
    heading = text("side.heading", side=side_name(text, side))
    return f"{heading}\n{step_line(text, dose)}\n{dose_line(text, of_one_arm(dose, side))}."


ENROLLING: dict[str, Word] = {
    **{f"enrol.{step}": _choice(step) for step in CHOICES},
    **{f"enrol.{name}": _group(name) for name in ITEMS},
    "enrol.rating": _rating,
    "enrol.city": zones("enrol.city", "enrol.city"),
    "enrol.evening": times("enrol.evening", "enrol.evening"),
    "enrol.cleared": _cleared,
    "enrol.screened_out": _screened_out,
    "enrol.done": _begun,
}
