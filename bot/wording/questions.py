"""Questions beside the evening's: of the programme's own, at the start, and about a sign."""

from collections.abc import Callable, Mapping
from typing import Any

from bot.wording.catalogue import Text
from bot.wording.filling import Pack, plain, said
from bot.wording.keyboard import rows
from core.records import Button, Worded

Facts = Mapping[str, Any]
A_ROW = 2


def _answer(text: Text, facts: Facts) -> Worded:
    words = Pack(text, facts["words"])(f"question.{facts['key']}.answer")
    return Worded(f"{words}\n\n{_origin(text, facts)}", rows(text, (("ask", "questions"),)))


def _questions(text: Text, facts: Facts) -> Worded:
    pack = Pack(text, facts["words"])
    buttons = [Button(pack(f"question.{key}"), f"1.q.{key}") for key in facts["keys"]]
    grid = tuple(tuple(buttons[n : n + A_ROW]) for n in range(0, len(buttons), A_ROW))
    return Worded(text("questions"), (*grid, *rows(text, (("learn", "ask"),))))


def _learn(text: Text, facts: Facts) -> Worded:
    words = Pack(text, facts["words"])(f"why.{facts['key']}")
    further = ((Button(text("button.next"), f"1.l.{facts['after']}"),),) if facts["after"] else ()
    under = further or rows(text, (("questions", "how"),))
    return Worded(f"{words}\n\n{_origin(text, facts)}", under)


def _origin(text: Text, facts: Facts) -> str:
    return text(f"question.from.{facts['provenance'].replace(' ', '_')}")


def _unread(text: Text, facts: Facts) -> Worded:
    """What cannot be heard or seen here; with the way to the therapist where there is one."""
    shown = plain(text, {"emergency": facts["emergency"]})
    alone = text(f"file.alone.{facts['file']}", **shown)
    parts = [text(f"file.beside.{facts['file']}") if facts["beside"] else alone]
    if not facts["about"]:
        return Worded(parts[0])
    button = Button(text("file.button"), f"1.x.{facts['about']}")
    return Worded(" ".join([*parts, text("file.offer")]), ((button,),))


QUESTIONS: dict[str, Callable[[Text, Facts], Worded]] = {
    "question.answer": _answer,
    "questions": _questions,
    "learn": _learn,
    "file": _unread,
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
        if arms := facts.get("no_sets"):
            words = f"{words}\n{text(f'sign.no_sets.{arms}')}"
        again = f"sign.again.{facts['bare']}" if facts.get("bare") and facts.get("no_sets") else "sign.again"
        return Worded(f"{text(again)}\n\n{words}" if facts.get("again") else words, buttons)

    return word


def _none(text: Text, facts: Facts) -> Worded:
    """No sign; who was told to do no sets finds the way back to them."""
    if not facts["sets"]:
        return Worded(text("sign.none"))
    return Worded(f"{text('sign.none')} {text('sign.none.sets')}", rows(text, (("today", "how"),)))


SIGNS: dict[str, Callable[[Text, Facts], Worded]] = {
    "sign.none": _none,
    "sign.which": _asked("sign.which", WHICH),
    "sign.weak": _asked("sign.weak", WEAK),
}
