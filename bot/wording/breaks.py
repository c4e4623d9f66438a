"""Going on a break, and coming back from one or from a stop."""

from collections.abc import Callable, Mapping
from typing import Any

from bot.wording.catalogue import Text
from bot.wording.dose import dose_line, step_line
from bot.wording.filling import asks, plain, said
from bot.wording.keyboard import choices, rows
from bot.wording.reasons import because
from core.records import Button, Worded

Facts = Mapping[str, Any]
Word = Callable[[Text, Facts], Worded]
DAYS_AWAY = (3, 7, 14)


def _away(text: Text, facts: Facts) -> Worded:
    shown = [Button(text.many("away.days", days), f"1.f.away.{days}") for days in DAYS_AWAY]
    shown.append(Button(text("button.dont_know"), "1.f.away.open"))
    return said(text, "away.until", facts, (tuple(shown[:2]), tuple(shown[2:])))


def _back(kind: str) -> Word:
    def word(text: Text, facts: Facts) -> Worded:
        parts = [text(kind)]
        if facts.get("first"):
            parts.append(text("away.first", first=plain(text, facts)["first"]))
        parts += [" ".join(why)] if (why := _because(text, facts)) else []
        parts.append(f"{step_line(text, facts['dose'])}\n{dose_line(text, facts['dose'])}.")
        if facts.get("ask_red_flags"):
            parts.append(text("red_flags.tell"))
        parts.append(_then(text, facts))
        return Worded("\n\n".join(parts), rows(text, (("today", "how"), ("why",))))

    return word


def _then(text: Text, facts: Facts) -> str:
    shown = plain(text, facts)
    if facts.get("away"):
        return text("away.still")
    return text("asks.on", date=shown["first"]) if facts.get("first") else text("away.then", evening=shown["evening"])


def _because(text: Text, facts: Facts) -> list[str]:
    told = [reason for reason in facts.get("reasons", ()) if reason.code.startswith(("gap", "long_gap"))]
    return [because(text, reason) for reason in told]


def _not_away(text: Text, facts: Facts) -> Worded:
    return Worded(" ".join([text("away.not"), *asks(text, facts)]))


def _meanwhile(text: Text, facts: Facts) -> Worded:
    buttons = choices(text, f"b.{facts['course']}", ("most", "some", "none"), "meanwhile.choice")
    return Worded(text("meanwhile.ask"), buttons)


BREAKS: dict[str, Word] = {
    "away.until": _away,
    "away.back": _back("away.back"),
    "away.not": _not_away,
    "meanwhile.ask": _meanwhile,
    "danger.cleared": _back("danger.cleared"),
}
