"""What is asked by button of signs and reasons to stop: the groups of the screening, and a sign that may be one."""

from collections.abc import Callable, Mapping
from typing import Any

from bot.wording.catalogue import Text
from bot.wording.filling import plain, said
from core.records import Button, Worded

Facts = Mapping[str, Any]
ITEMS = {
    "fit": ("minor", "unseen", "elsewhere"),
    "signs": ("numb", "weak", "locks", "hot", "injury", "lump", "night"),
    "past": ("surgery", "cancer", "weight", "neck", "joints"),
    "heart": ("pressure", "heart", "vessel", "eye"),
}


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


SCREENING: dict[str, Callable[[Text, Facts], Worded]] = {
    **{f"enrol.{name}": _group(name) for name in ITEMS},
    "enrol.screened_out": _screened_out,
}


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
