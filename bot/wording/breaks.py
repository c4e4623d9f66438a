"""What comes between evenings: a break and the way back, days without a word, what the therapist did."""

from collections.abc import Callable, Mapping
from typing import Any

from bot.wording.catalogue import Text
from bot.wording.dose import because, dose_line, load_line, side_name, step_line
from bot.wording.filling import asks, plain, said, shown
from bot.wording.keyboard import choices, pain_scale, rows
from core.records import Button, Worded

Facts = Mapping[str, Any]
Word = Callable[[Text, Facts], Worded]
DAYS_AWAY = (3, 7, 14)


def _away(text: Text, facts: Facts) -> Worded:
    shown = [Button(text.many("away.days", days), f"1.f.away.{days}") for days in DAYS_AWAY]
    shown.append(Button(text("button.dont_know"), "1.f.away.open"))
    return said(text, "away.until", facts, (tuple(shown[:2]), tuple(shown[2:])))


def _back(kind: str) -> Word:
    def word(text: Text, facts: Facts) -> Worded:
        parts = [text(kind)]
        if facts.get("first"):
            parts.append(text("away.first", first=plain(text, facts)["first"]))
        parts += [" ".join(why)] if (why := _because(text, facts)) else []
        parts.append(f"{step_line(text, facts['dose'])}\n{dose_line(text, facts['dose'])}.")
        if facts.get("ask_red_flags"):
            parts.append(text("red_flags.tell"))
        parts.append(_then(text, facts))
        return Worded("\n\n".join(parts), rows(text, (("today", "how"), ("why",))))

    return word


def _then(text: Text, facts: Facts) -> str:
    shown = plain(text, facts)
    if facts.get("away"):
        return text("away.still")
    return text("asks.on", date=shown["first"]) if facts.get("first") else text("away.then", evening=shown["evening"])


def _because(text: Text, facts: Facts) -> list[str]:
    told = [reason for reason in facts.get("reasons", ()) if reason.code.startswith(("gap", "long_gap"))]
    return [because(text, reason) for reason in told]


def _not_away(text: Text, facts: Facts) -> Worded:
    return Worded(" ".join([text("away.not"), *asks(text, facts)]))


def _meanwhile(text: Text, facts: Facts) -> Worded:
    buttons = choices(text, f"b.{facts['course']}", ("most", "some", "none"), "meanwhile.choice")
    return Worded(text("meanwhile.ask"), buttons)


BREAKS: dict[str, Word] = {
    "away.until": _away,
    "away.back": _back("away.back"),
    "away.not": _not_away,
    "meanwhile.ask": _meanwhile,
    "danger.cleared": _back("danger.cleared"),
}


IN_THE_WAY = ("time", "hurts", "forgot", "no_help")
UNDER = {"time": ("today", "how"), "hurts": ("problem", "pause"), "forgot": ("evening",), "no_help": ("learn", "why")}


def _ask(text: Text, facts: Facts) -> Worded:
    """What is in the way, or the pain of today; either is an answer."""
    why = choices(text, "h", IN_THE_WAY, "silence.why")[0]
    return Worded(_of_which(text, "silence.ask", facts), (why[:2], why[2:], *pain_scale(facts["check_in"])))


def _of_which(text: Text, kind: str, facts: Facts) -> str:
    """The message, and of two sides the one whose pain is asked first."""
    if "sides" not in facts:
        return text(kind)
    return "\n".join([text(kind), text("silence.side", side=side_name(text, facts["sides"][0][0]))])


def _less_often(kind: str) -> Callable[[Text, Facts], Worded]:
    def word(text: Text, facts: Facts) -> Worded:
        under = (*pain_scale(facts["check_in"]), *rows(text, (("pause", "problem"),)))
        return Worded(_of_which(text, kind, facts), under)

    return word


def _answer(why: str) -> Callable[[Text, Facts], Worded]:
    def word(text: Text, _: Facts) -> Worded:
        tell = (Button(text("silence.tell"), f"1.h.tell.{why}"),)
        return Worded(text(f"silence.{why}"), (*rows(text, (UNDER[why],)), tell))

    return word


SILENCE: dict[str, Callable[[Text, Facts], Worded]] = {
    "silence.ask": _ask,
    "silence.again": _less_often("silence.again"),
    "silence.weekly": _less_often("silence.weekly"),
    **{f"silence.{why}": _answer(why) for why in IN_THE_WAY},
}


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
