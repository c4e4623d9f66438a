"""Which sign is it, if any: asked by button of words that may tell of one."""

from collections.abc import Callable, Mapping
from typing import Any

from bot.wording.catalogue import Text
from bot.wording.filling import said
from core.records import Button, Worded

Facts = Mapping[str, Any]
WHICH = (("numb", "weak"), ("hot", "chest"), ("low", "else"), ("none",))
WEAK = (("hurts", "painless"), ("neither",))


def _asked(kind: str, choices: tuple[tuple[str, ...], ...]) -> Callable[[Text, Facts], Worded]:
    def word(text: Text, facts: Facts) -> Worded:
        where = f"w.{facts['check_in']}" if facts["check_in"] else "f.sign"
        buttons = tuple(
            tuple(Button(text(f"sign.choice.{choice}"), f"1.{where}.{choice}") for choice in row) for row in choices
        )
        words = said(text, kind, {**facts, "again": False}).text
        return Worded(f"{text('sign.again')}\n\n{words}" if facts.get("again") else words, buttons)

    return word


SIGNS: dict[str, Callable[[Text, Facts], Worded]] = {
    "sign.which": _asked("sign.which", WHICH),
    "sign.weak": _asked("sign.weak", WEAK),
}
