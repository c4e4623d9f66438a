"""What the programme itself explains and answers, with where each is from."""

from collections.abc import Mapping
from typing import Any

from bot.wording.catalogue import Text
from bot.wording.keyboard import rows
from bot.wording.pack import Pack
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


QUESTIONS = {"question.answer": _answer, "questions": _questions, "learn": _learn}
