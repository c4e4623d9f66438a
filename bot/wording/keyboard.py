"""Buttons: a label from the catalogue, and the data that comes back when it is tapped.

Data is `1.` (the version of this scheme), a verb, and what it is about; never more than 64 bytes. Buttons of the
evening carry the check-in's id, so that an old one can never answer for today.
"""

from collections.abc import Iterable, Sequence

from bot.wording.catalogue import Text
from bot.wording.filling import shown
from core.records import Button

Rows = tuple[tuple[str, ...], ...]


def rows(text: Text, commands: Rows) -> tuple[tuple[Button, ...], ...]:
    """Buttons that stand for commands."""
    return tuple(tuple(Button(text(f"button.{name}"), f"1.m.{name}") for name in row) for row in commands)


def choices(text: Text, where: str, options: tuple[str, ...], words: str) -> tuple[tuple[Button, ...], ...]:
    """One row of answers to the question `where`."""
    return (tuple(Button(text(f"{words}.{option}"), f"1.{where}.{option}") for option in options),)


def pain_scale(check_in: str) -> tuple[tuple[Button, ...], ...]:
    """0 to 10 in two rows that fit a small phone."""
    numbers = [Button(str(n), f"1.p.{check_in}.{n}") for n in range(11)]
    return tuple(numbers[:6]), tuple(numbers[6:])


def sets_scale(check_in: str, asked: int) -> tuple[tuple[Button, ...], ...]:
    """0 to the sets asked of the day."""
    numbers = [Button(str(n), f"1.s.{check_in}.{n}") for n in range(asked + 1)]
    return tuple(tuple(numbers[start : start + 6]) for start in range(0, len(numbers), 6))


def about(text: Text, check_in: str, *verbs: tuple[str, str]) -> tuple[Button, ...]:
    """A row of buttons about one check-in: (verb, key of the label)."""
    return tuple(Button(text(label), f"1.{verb}.{check_in}") for verb, label in verbs)


VERBS = {
    "open": "o", "decisions": "d", "dealt_with": "f", "export": "x", "confirm": "c", "stranger": "s",
    "colleague": "t", "invite": "a", "hours": "h", "yes": "y", "no": "m", "undo": "r", "page": "i",
    "notices_page": "j", "zone": "zone",
    "task": "task", "task_done": "did", "end": "end", "gone": "gone",
    "up": "u", "back": "b", "to": "g", "stay": "p", "go_on": "l", "clear": "l", "unpin": "l", "pause": "z",
    "evening": "e", "gate": "gate", "looked": "look", "dose": "dose", "write": "w", "note": "n", "score": "q",
    "hand_over": "v", "discharge": "k", "morning": "morning", "second": "second", "diary": "diary",
    "papers": "papers", "sheet": "sheet", "letter": "letter", "summary": "summary", "signed": "signed",
    "add_side": "other", "end_side": "ended",
}  # fmt: skip
LONGEST_LABEL = 24
Keyboard = tuple[tuple[Button, ...], ...]


def data(verb: str, about: object, value: object = "") -> str:
    """What a button carries."""
    return f"1.t.{VERBS[verb]}.{about}" + (f".{value}" if value != "" else "")


def button(text: Text, verb: str, about: object, value: object = "", key: str = "") -> Button:
    """A button labelled from the catalogue."""
    return Button(text(f"therapist.button.{key or verb}"), data(verb, about, value))


def named(text: Text, verb: str, about: object, name: str, number: int | None = None, value: object = "") -> Button:
    """A button labelled by a name, with its number in the list before it."""
    label = shown(name, text("therapist.no_name"), LONGEST_LABEL)
    return Button(label if number is None else f"{number}. {label}", data(verb, about, value))


def task_button(text: Text, about: object, task_id: str, number: int) -> Button:
    """That a task is done; the end of its id is enough to know it among a patient's."""
    return Button(text("therapist.button.task_done", n=number), data("task_done", about, task_id[-8:]))


def command(text: Text, name: str) -> Button:
    """A button that stands for a command of the therapist's."""
    return Button(text(f"therapist.button.{name}"), f"1.m.{name}")


def in_rows(buttons: Iterable[Button], wide: int) -> Keyboard:
    """So many buttons a row."""
    listed: Sequence[Button] = tuple(buttons)
    return tuple(tuple(listed[at : at + wide]) for at in range(0, len(listed), wide))


def turning(text: Text, verb: str, page: int, pages: int, value: object = "") -> Keyboard:
    """The way to the pages before and after; nothing where there is but one."""
    both = []
    if page:
        both.append(button(text, verb, page - 1, value, "earlier"))
    if page + 1 < pages:
        both.append(button(text, verb, page + 1, value, "further"))
    return (tuple(both),) if both else ()
