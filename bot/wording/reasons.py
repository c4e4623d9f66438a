"""Why a decision came out as it did, what a therapist did, and what a notice is about, in words."""

import re
from collections.abc import Iterable

from bot.wording.catalogue import Text
from bot.wording.dose import kilos
from core.facts import FigureFacts, ReasonFacts
from core.model import Effort
from core.rule.course import OWN_GATE
from core.rule.dose import Amounts
from core.rule.override import Override

STEP, PLACE = re.compile(r"^step\[\d+\]\."), re.compile(r"\[\d+\]")
YES_OR_NO = (
    "every_day.both_arms",
    *(f"exercise.{name}" for name in ("spread", "both_arms", "other_hand_lifts")),
    *(f"exercise.effort.{effort.value}" for effort in Effort),
)  # no number to show


def because(text: Text, reason: ReasonFacts, code: str = "") -> str:
    """One reason as one sentence; `code` where another one's fits better."""
    return _worded(text, f"because.{code or reason.code}", reason)


def shorter(text: Text, reason: ReasonFacts, code: str = "") -> str:
    """The same reason another evening: in fewer words, where there are such."""
    key = f"because.{code or reason.code}.again"
    return _worded(text, key, reason) if text.has(key) else because(text, reason, code)


def for_staff(text: Text, reason: ReasonFacts) -> str:
    """One reason in the shorthand of the therapist's file."""
    key = f"therapist.because.{reason.code}"
    return _worded(text, key, reason) if text.has(key) else because(text, reason)


def chain(text: Text, reasons: Iterable[ReasonFacts]) -> list[str]:
    """Every reason, with each number it was measured against and where that number comes from."""
    lines = []
    for reason in reasons:
        lines.append(text("why.reason", reason=because(text, reason)))
        lines.extend(figure_line(text, figure) for figure in reason.figures)
    return lines


def figure_line(text: Text, figure: FigureFacts, *, staff: bool = False) -> str:
    """One number with its provenance: published and by whom, common practice, judgement, or set by the therapist."""
    what = figure_words(text, figure.name, figure.value)
    key = f"why.from.{figure.provenance.replace(' ', '_')}"
    if figure.name == OWN_GATE:
        key = "therapist.why.from.therapist" if staff else "why.from.therapist"
    return text(key, what=what, cited="; ".join(figure.cited))


def figure_words(text: Text, name: str, value: float) -> str:
    """A number of the programme by what it is about: "Seconds of a hold: 30". `name` is its path in the file."""
    path = PLACE.sub("", STEP.sub("", name))
    words = text(f"figure.{path}") if text.has(f"figure.{path}") else path.replace("_", " ").replace(".", ", ")
    return words if path in YES_OR_NO else text("why.figure", name=words, value=text.number(value, 2))


def act_words(text: Text, act: Override) -> str:
    """What a therapist did, in the shorthand of their own file."""
    until = text.day(act.until) if act.until else ""
    gate, amounts = gate_words(text, act.gate), amounts_words(text, act.amounts)
    return text(f"therapist.because.act.{act.act.value}", step=act.step, until=until, gate=gate, amounts=amounts)


def gate_words(text: Text, mean: float | None) -> str:
    """A weekly mean that opens a step; a step may have none."""
    return text("therapist.gate.none") if mean is None else text("therapist.gate", mean=text.number(mean))


def amounts_words(text: Text, amounts: Amounts | None) -> str:
    """What a therapist set for one person: "1.5 kg, 2 sets"; the programme's own where nothing is set."""
    given = amounts or Amounts()
    values = {
        "load_g": None if given.load_g is None else kilos(text, given.load_g),
        **{name: _number(text, getattr(given, name)) for name in ("sets", "reps", "pain_at_most")},
    }
    parts = [text(f"therapist.amount.{name}", value=value) for name, value in values.items() if value is not None]
    return ", ".join(parts) or text("therapist.amount.none")


def _number(text: Text, value: float | None) -> str | None:
    return None if value is None else text.number(value)


def _worded(text: Text, key: str, reason: ReasonFacts) -> str:
    """In the form that goes with what the sentence counts: days, else evenings it has."""
    given = reason.numbers
    return text.fitting(key, given.get("days", given.get("have", 0)), **_numbers(text, reason))


def _numbers(text: Text, reason: ReasonFacts) -> dict[str, str]:
    numbers = {name: text.number(value) for name, value in reason.numbers.items()}
    for name in ("grams", "load"):
        if name in numbers:
            numbers[name] = kilos(text, int(reason.numbers[name]))
    if "share" in numbers:
        numbers |= {name: text.number(reason.numbers[name] * 100, 0) for name in ("share", "need")}
    return numbers


def matter(text: Text, kind: str, flag: str, urgency: str = "", side: str = "") -> str:
    """What a notice is about, in a line."""
    if side:
        return of_side(text, side, matter(text, kind, flag, urgency))
    keys = (f"notice.{kind}.{flag}.{urgency}", f"notice.{kind}.{flag}", f"notice.{kind}")
    return text(next((key for key in keys[:2] if text.has(key)), keys[2]))


def of_side(text: Text, side: str, what: str) -> str:
    """ "right: stepped back", in a line about somebody who has two courses."""
    return text("therapist.side.of", side=text(f"therapist.side.{side}"), what=what)
