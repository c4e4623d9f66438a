"""Which sign is it, if any: asked by button of words that may tell of one."""

from collections.abc import Callable, Mapping
from typing import Any

from bot.ports import Button, Rendered
from bot.wording.catalogue import Text
from bot.wording.filling import said

Facts = Mapping[str, Any]
WHICH = (("numb", "weak"), ("hot", "chest"), ("low", "else"), ("none",))
WEAK = (("hurts", "painless"), ("neither",))


def _asked(kind: str, choices: tuple[tuple[str, ...], ...]) -> Callable[[Text, Facts], Rendered]:
    def word(text: Text, facts: Facts) -> Rendered:
        where = f"w.{facts['check_in']}" if facts["check_in"] else "f.sign"
        buttons = tuple(
            tuple(Button(text(f"sign.choice.{choice}"), f"1.{where}.{choice}") for choice in row) for row in choices
        )
        words = said(text, kind, {**facts, "again": False}).text
        return Rendered(f"{text('sign.again')}\n\n{words}" if facts.get("again") else words, buttons)

    return word


SIGNS: dict[str, Callable[[Text, Facts], Rendered]] = {
    "sign.which": _asked("sign.which", WHICH),
    "sign.weak": _asked("sign.weak", WEAK),
}
