"""What a therapist types to set for one person: "1.5 kg, 2 sets, 10 reps, pain 3", in any order, or back to the
programme."""

import re

from bot.conversation.staff.deed import Deed
from core.rule.amounts import Amounts

PROGRAMMES = "programme"  # the choice that puts the programme's own back
_PARTS = {
    "l": re.compile(r"(\d{1,2}(?:[.,]\d{1,3})?) ?(?:kilograms?|kilos?|kg)", re.ASCII),
    "s": re.compile(r"(\d{1,2}) ?sets?", re.ASCII),
    "r": re.compile(r"(\d{1,2}) ?(?:repetitions?|reps?)", re.ASCII),
    "p": re.compile(r"pain (?:at most |up to )?(\d{1,2})", re.ASCII),
}
_NUMBER = re.compile(r"[lsrp]\d{1,5}(-[srp]\d{1,2})*", re.ASCII)  # as a button carries it
_BETWEEN = re.compile(r"[\s,;.]*(?:and[\s,;.]*)?")


def read_amounts(_: Deed, words: str) -> str:
    """What was typed as a button would carry it, such as "l1500-s2"; '' when part of it was not read."""
    if words == PROGRAMMES or _NUMBER.fullmatch(words):
        return words
    found, rest = [], words
    for name, pattern in _PARTS.items():
        if match := pattern.search(rest):
            number = match[1].replace(",", ".")
            found.append(f"{name}{round(float(number) * 1000) if name == 'l' else int(number)}")
            rest = rest[: match.start()] + rest[match.end() :]
    return "-".join(found) if found and _BETWEEN.fullmatch(rest) else ""


def amounts_in(carried: str) -> Amounts:
    """The amounts that `read_amounts` found; none at all for the programme's own or where nothing is chosen yet."""
    if not carried or carried == PROGRAMMES:
        return Amounts()
    found = {part[0]: int(part[1:]) for part in carried.split("-")}
    pain = found.get("p")
    return Amounts(found.get("l"), found.get("s"), found.get("r"), None if pain is None else float(pain))
