"""What a patient reads when the therapist did something: moved them, paused them, wrote to them."""

from collections.abc import Callable, Mapping
from typing import Any

from bot.wording.catalogue import Text
from bot.wording.dose import dose_line, load_line, step_line
from bot.wording.filling import shown
from bot.wording.keyboard import rows
from core.records import Worded

Facts = Mapping[str, Any]


def _told(text: Text, facts: Facts) -> Worded:
    """What the therapist did, and what is to be done from which day on."""
    return _with_dose(text, facts, text(f"override.told.{facts['act']}", therapist=_therapist(text, facts)))


def _undone(text: Text, facts: Facts) -> Worded:
    return _with_dose(text, facts, text("override.undone", therapist=_therapist(text, facts)))


def _with_dose(text: Text, facts: Facts, said: str) -> Worded:
    dose = facts["dose"]
    if dose is None:
        still = () if facts.get("act") == "stop" else (text("override.still"),)
        return Worded("\n\n".join([said, *still]), rows(text, (("problem",),)))
    key = "today.now" if facts["date"] == facts["today"] else "today.later"
    day = text.day(facts["date"])
    line = text(key, date=day, dose=dose_line(text, dose))
    parts = [said, f"{line}\n{step_line(text, dose)}", *load_line(text, facts)]
    return Worded("\n\n".join(parts), rows(text, (("how", "why"),)))


def _evening(text: Text, facts: Facts) -> Worded:
    evening = text.time(facts["evening"])
    return Worded(text("override.evening", therapist=_therapist(text, facts), evening=evening))


def _side_ended(text: Text, facts: Facts) -> Worded:
    return Worded(text("override.side_ended", therapist=_therapist(text, facts)), rows(text, (("today", "problem"),)))


def _still(text: Text, facts: Facts) -> Worded:
    key = "override.still.again" if facts.get("again") else "override.still"
    return Worded(text(key), rows(text, (("problem",),)))


def _handed_over(text: Text, facts: Facts) -> Worded:
    return Worded(text("handed_over", therapist=_therapist(text, facts)))


def _wrote(text: Text, facts: Facts) -> Worded:
    """Their own words, marked as theirs, with the way to answer."""
    parts = [text("wrote", therapist=_therapist(text, facts)), facts["text"], text("wrote.answer")]
    return Worded("\n\n".join(parts), rows(text, (("problem",),)))


def _therapist(text: Text, facts: Facts) -> str:
    return shown(str(facts.get("therapist", "")), text("your_therapist"))


FROM_STAFF: dict[str, Callable[[Text, Facts], Worded]] = {
    "override.told": _told,
    "override.undone": _undone,
    "override.evening": _evening,
    "override.side_ended": _side_ended,
    "override.still": _still,
    "handed_over": _handed_over,
    "therapist.wrote": _wrote,
}
