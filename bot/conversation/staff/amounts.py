"""What a therapist types to set for one person: "1.5 kg, 2 sets, 10 reps, pain 3", in any order, or back to the
programme. The words are the catalogue's."""

import re
from collections.abc import Callable, Iterable

from bot.conversation.staff.act_kinds import StaffAct
from core.rule.dose import Amounts

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
