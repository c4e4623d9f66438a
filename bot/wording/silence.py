"""After evenings without a word: another message, what may be in the way, and an answer to each that helps."""

from collections.abc import Callable, Mapping
from typing import Any

from bot.wording.catalogue import Text
from bot.wording.dose import side_name
from bot.wording.keyboard import choices, pain_scale, rows
from core.records import Button, Worded

Facts = Mapping[str, Any]
IN_THE_WAY = ("time", "hurts", "forgot", "no_help")
UNDER = {"time": ("today", "how"), "hurts": ("problem", "pause"), "forgot": ("evening",), "no_help": ("learn", "why")}


def _ask(text: Text, facts: Facts) -> Worded:
    """What is in the way, or the pain of today; either is an answer."""
    why = choices(text, "h", IN_THE_WAY, "silence.why")[0]
    return Worded(_of_which(text, "silence.ask", facts), (why[:2], why[2:], *pain_scale(facts["check_in"])))


def _of_which(text: Text, kind: str, facts: Facts) -> str:
    """The message, and of two sides the one whose pain is asked first."""
    if "sides" not in facts:
        return text(kind)
    return "\n".join([text(kind), text("silence.side", side=side_name(text, facts["sides"][0][0]))])


def _less_often(kind: str) -> Callable[[Text, Facts], Worded]:
    def word(text: Text, facts: Facts) -> Worded:
        under = (*pain_scale(facts["check_in"]), *rows(text, (("pause", "problem"),)))
        return Worded(_of_which(text, kind, facts), under)

    return word


def _answer(why: str) -> Callable[[Text, Facts], Worded]:
    def word(text: Text, _: Facts) -> Worded:
        tell = (Button(text("silence.tell"), f"1.h.tell.{why}"),)
        return Worded(text(f"silence.{why}"), (*rows(text, (UNDER[why],)), tell))

    return word


SILENCE: dict[str, Callable[[Text, Facts], Worded]] = {
    "silence.ask": _ask,
    "silence.again": _less_often("silence.again"),
    "silence.weekly": _less_often("silence.weekly"),
    **{f"silence.{why}": _answer(why) for why in IN_THE_WAY},
}
