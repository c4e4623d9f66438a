"""Buttons: a label from the catalogue, and the data that comes back when it is tapped.

Data is `1.` (the version of this scheme), a verb, and what it is about; never more than 64 bytes. Buttons of the
evening carry the check-in's id, so that an old one can never answer for today.
"""

from bot.wording.catalogue import Text
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
