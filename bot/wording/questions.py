"""Questions beside the evening's: of the programme's own, about a sign, and what cannot be read here."""

from collections.abc import Sequence

from bot.wording.catalogue import Text
from bot.wording.filling import Pack, Word, in_rows, plain, rows
from core.facts import Words
from core.records import Button, Worded

A_ROW = 2


def _answer(text: Text, key: str, provenance: str, words: Words) -> Worded:
    answer = Pack(text, words)(f"question.{key}.answer")
    return Worded(f"{answer}\n\n{_origin(text, provenance)}", rows(text, (("ask", "questions"),)))


def _questions(text: Text, keys: Sequence[str], words: Words) -> Worded:
    pack = Pack(text, words)
    buttons = [Button(pack(f"question.{key}"), f"1.q.{key}") for key in keys]
    return Worded(text("questions"), (*in_rows(buttons, A_ROW), *rows(text, (("learn", "ask"),))))


def _learn(text: Text, key: str, provenance: str, after: str, words: Words) -> Worded:
    further = ((Button(text("button.next"), f"1.l.{after}"),),) if after else rows(text, (("questions", "how"),))
    return Worded(f"{Pack(text, words)(f'why.{key}')}\n\n{_origin(text, provenance)}", further)


def _origin(text: Text, provenance: str) -> str:
    return text(f"question.from.{provenance.replace(' ', '_')}")


def _unread(text: Text, file: str, beside: bool, about: str, emergency: str) -> Worded:
    """What cannot be heard or seen here; with the way to the therapist where there is one."""
    words = text(f"file.beside.{file}" if beside else f"file.alone.{file}", **plain(text, {"emergency": emergency}))
    if not about:
        return Worded(words)
    return Worded(f"{words} {text('file.offer')}", ((Button(text("file.button"), f"1.x.{about}"),),))


WHICH = (("numb", "weak"), ("hot", "chest"), ("low", "else"), ("none",))
WEAK = (("hurts", "painless"), ("neither",))


def _asked(kind: str, choices: tuple[tuple[str, ...], ...]) -> Word:
    """`no_sets`: with "one" arm or "both" none are done until it is answered; `bare`: what was said instead."""

    def word(
        text: Text, check_in_id: str, again: bool = False, no_sets: str = "", bare: str = "", **named: object
    ) -> Worded:
        where = f"w.{check_in_id}" if check_in_id else "f.sign"
        buttons = tuple(
            tuple(Button(text(f"sign.choice.{choice}"), f"1.{where}.{choice}") for choice in row) for row in choices
        )
        words = text(kind, **plain(text, named))
        if no_sets:
            words = f"{words}\n{text(f'sign.no_sets.{no_sets}')}"
        first = text(f"sign.again.{bare}" if bare and no_sets else "sign.again")
        return Worded(f"{first}\n\n{words}" if again else words, buttons)

    return word


def _none(text: Text, sets: bool) -> Worded:
    """No sign; who was told to do no sets finds the way back to them."""
    if not sets:
        return Worded(text("sign.none"))
    return Worded(f"{text('sign.none')} {text('sign.none.sets')}", rows(text, (("today", "how"),)))


QUESTIONS: dict[str, Word] = {
    "question.answer": _answer,
    "questions": _questions,
    "learn": _learn,
    "file": _unread,
    "sign.none": _none,
    "sign.which": _asked("sign.which", WHICH),
    "sign.weak": _asked("sign.weak", WEAK),
}
