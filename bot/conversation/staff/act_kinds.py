"""What staff can do for one patient: how an act is checked, what is typed for it, and how it is carried out."""

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any

from core.records import Course, Person, Staff
from core.rule.dose import Amounts
from core.use_cases.overriding import course_for
from core.use_cases.work import Work

Facts = dict[str, Any]


@dataclass(frozen=True, slots=True)
class StaffAct:
    """One act under way: `arg` is what was chosen (a step, a date, an hour), `typed` what was written for it."""

    work: Work
    staff: Staff
    person: Person
    words: Callable[[str, str], frozenset[str]]  # (key, language) -> what may be typed for it
    arg: str = ""
    typed: str = ""
    side: str = ""  # of which course, where the person has two

    def course(self) -> Course:
        """The person's course; RefusalError when there is none."""
        return course_for(self.work, self.person, self.side)


@dataclass(frozen=True, slots=True)
class ActKind:
    """One kind of act.

    `check` tells what will happen and raises RefusalError for what cannot; it is asked again before every step. `do`
    carries it out and returns how it can be taken back: "" or what stands in the undo button. `choices` are offered
    where something has to be chosen, and `read` makes a choice of typed words ("" when it is none).
    """

    check: Callable[[StaffAct], Facts]
    do: Callable[[StaffAct], str]
    typed: str = "reason"  # "reason", "message", "note", "score", "diary", or "" for nothing
    choices: Callable[[StaffAct], list[Any]] | None = None
    read: Callable[[StaffAct, str], str] = lambda act, words: ""


PROGRAMMES = "programme"  # the choice that puts the programme's own back
_NUMBER = re.compile(r"[lsrp]\d{1,5}(-[srp]\d{1,2})*", re.ASCII)  # as a button carries it
_PARTS = {"l": "load", "s": "sets", "r": "reps", "p": "pain"}
_KILOGRAMS, _COUNT = r"(\d{1,2}(?:[.,]\d{1,3})?)", r"(\d{1,2})"


def read_amounts(act: StaffAct, typed: str) -> str:
    """What was typed as a button would carry it, such as "l1500-s2"; '' when part of it was not read."""
    return amounts_typed(typed, lambda name: act.words(f"words.amount.{name}", act.staff.language))


def amounts_typed(typed: str, words: Callable[[str], Iterable[str]]) -> str:
    """The same with the `words` for "load", "sets", "reps", "pain" and "and"."""
    if typed == PROGRAMMES or _NUMBER.fullmatch(typed):
        return typed
    found, rest = [], typed
    for letter, name in _PARTS.items():
        said = _one_of(words(name))
        number = _KILOGRAMS if letter == "l" else _COUNT
        pattern = rf"{said} {number}" if letter == "p" else rf"{number} ?{said}"
        if match := re.search(pattern, rest, re.ASCII):
            value = match[1].replace(",", ".")
            found.append(f"{letter}{round(float(value) * 1000) if letter == 'l' else int(value)}")
            rest = rest[: match.start()] + rest[match.end() :]
    between = rf"[\s,;.]*(?:{_one_of(words('and'))}[\s,;.]*)?"
    return "-".join(found) if found and re.fullmatch(between, rest) else ""


def amounts_in(carried: str) -> Amounts:
    """The amounts that `read_amounts` found; none at all for the programme's own or where nothing is chosen yet."""
    if not carried or carried == PROGRAMMES:
        return Amounts()
    found = {part[0]: int(part[1:]) for part in carried.split("-")}
    pain = found.get("p")
    return Amounts(found.get("l"), found.get("s"), found.get("r"), None if pain is None else float(pain))


def _one_of(words: Iterable[str]) -> str:
    """Any of the words, the longest first."""
    return f"(?:{'|'.join(map(re.escape, sorted(words, key=len, reverse=True)))})"
