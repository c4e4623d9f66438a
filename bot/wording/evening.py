"""The evening's own messages: the question, the outcome, and everything about changing an answer."""

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from bot.wording.catalogue import Text
from bot.wording.dose import because, dose_line, load_line, shorter, side_name, step_line
from bot.wording.filling import Pack, plain
from bot.wording.guided import start_buttons
from bot.wording.keyboard import about, choices, pain_scale, rows, sets_scale
from core.facts import DoseFacts, ReasonFacts, SideFacts
from core.model import Flag, ReasonCode
from core.records import Button, Worded

Facts = Mapping[str, Any]
Buttons = tuple[tuple[Button, ...], ...]


def _ask(text: Text, facts: Facts) -> Worded:
    asked = facts["sets_asked"]
    if "sides" in facts:
        parts = _ask_both(text, facts["sides"])
    else:
        todays = dose_line(text, facts["dose"]) if "dose" in facts else ""
        site = Pack(text, facts["dose"].words if "dose" in facts else {})
        parts = [text("evening.ask", site=site("site") if site.has("site") else text("evening.site"))]
        if asked and todays:
            parts.append(text("evening.ask.dose", dose=todays, example=asked))
        elif not asked:
            parts.append(text("evening.ask.rest"))
    buttons = pain_scale(facts["check_in"])
    if guided := facts.get("sets_guided"):
        parts.append(text.many("evening.ask.guided", asked, done=guided, asked=asked))
        buttons = (*buttons, about(text, facts["check_in"], ("c", "button.other_sets")))
    if facts.get("morning"):
        parts.append(text("evening.ask.morning"))
        buttons = (*buttons, about(text, facts["check_in"], ("v", "button.woke_worse")))
    return Worded("\n".join(parts), buttons)


def _ask_both(text: Text, sides: Sequence[tuple[SideFacts, DoseFacts]]) -> list[str]:
    """The question about the first side, with what was asked of both: once where it is the same."""
    first, dose = sides[0]
    parts = [text("evening.ask.first", side=Pack(text, first.words)(f"side.{first.side}"))]
    if all(other == dose for _, other in sides):
        parts.append(text("evening.ask.same" if dose.asked else "evening.ask.rest", dose=dose_line(text, dose)))
    else:
        lines = ((side_name(text, side), dose_line(text, each, arms=False)) for side, each in sides)
        parts += [text("evening.ask.side", side=name, dose=line) for name, line in lines]
    return [*parts, text("evening.ask.typed")] if any(each.asked for _, each in sides) else parts


def _morning(text: Text, facts: Facts) -> Worded:
    return Worded(text("evening.morning" if facts["pain"] is None else "evening.morning.sets"), _scale(facts))


def _remind(text: Text, facts: Facts) -> Worded:
    half_done = facts["pain"] is not None and facts["sets_asked"]
    key = "evening.remind.sets" if half_done else "evening.remind"
    asked = facts["sets_asked"]
    words = text.fitting(key, asked, asked=asked, pain=facts["pain"])
    if (guided := facts.get("sets_guided")) and not half_done:
        words = f"{words}\n{text.many('evening.ask.guided', asked, done=guided, asked=asked)}"
    return Worded(words, _scale(facts))


def _sets(text: Text, facts: Facts) -> Worded:
    return Worded(text.many("evening.sets", facts["sets_asked"], pain=facts["pain"]), _scale(facts, "sets"))


def _pain(text: Text, facts: Facts) -> Worded:
    asked = facts["sets_asked"]
    words = text.many("evening.pain", asked, done=facts["sets_done"], asked=asked)
    return Worded(words, pain_scale(facts["check_in"]))


def _again(text: Text, facts: Facts) -> Worded:
    """What was noted, what was not clear, and the question once more."""
    asked = facts["sets_asked"]
    parts = []
    if facts["pain"] is not None:
        parts.append(text("evening.noted.pain", pain=facts["pain"]))
    if facts["sets_done"] is not None:
        parts.append(text.many("evening.noted.sets", asked, done=facts["sets_done"], asked=asked))
    whys = list(dict.fromkeys(why for _, why in facts["unclear"])) or ["nothing"]
    if not facts.get("quiet"):
        parts.append(" ".join(text.fitting(f"unclear.{why}", asked, asked=asked) for why in whys))
    question = facts["question"] if asked or facts["question"] == "pain" else "pain"
    parts.append(text.fitting(f"evening.again.{question}", asked, asked=asked))
    return Worded("\n".join(parts), _scale(facts, question))


def _scale(facts: Facts, question: str = "") -> Buttons:
    sets_next = question == "sets" or (not question and facts["pain"] is not None and facts["sets_asked"])
    return sets_scale(facts["check_in"], facts["sets_asked"]) if sets_next else pain_scale(facts["check_in"])


def _outcome(text: Text, facts: Facts) -> Worded:
    """What was noted, tomorrow's dose, and why in one sentence."""
    parts = [noted(text, facts), *_next(text, facts)]
    if above := facts.get("sets_above"):
        parts[0] = " ".join([parts[0], text.many("outcome.more_sets", above)])
    if facts["see_clinician"]:
        parts.append(_see_clinician(text, facts))
    check_in = facts["check_in"]
    if facts["ask_red_flags"]:
        parts.append(text("red_flags.ask"))
        if "of_side" in facts:
            parts.append(text("red_flags.both"))
        return Worded("\n\n".join(parts), _yes_no_unsure(text, facts))
    under = rows(text, (("why", "how"),)) if facts["dose"] else ()
    if facts.get("ask_weight"):
        parts.append(text("weight.ask"))
        under = (*choices(text, f"k.{check_in}", ("easy", "right", "too_much"), "weight.choice"), *under)
    return Worded("\n\n".join(parts), (*under, about(text, check_in, ("c", "button.change"))))


def _red_flags_once_more(text: Text, facts: Facts) -> Worded:
    words = f"{text('red_flags.once_more', **plain(text, facts))}\n\n{text('red_flags.ask')}"
    if "of_side" in facts:
        words = f"{words}\n\n{text('red_flags.both')}"
    return Worded(words, _yes_no_unsure(text, facts))


def _yes_no_unsure(text: Text, facts: Facts) -> Buttons:
    return choices(text, f"r.{facts['check_in']}", ("yes", "no", "unsure"), "choice")


def _no_signs(text: Text, facts: Facts) -> Worded:
    """What the next day asks now that the questions are answered."""
    dose = facts["dose"]
    if dose is None:
        return Worded(text("red_flags.none"))
    line = text("outcome.hold", day=text.day(facts["for_date"]), dose=dose_line(text, dose))
    return Worded(f"{text('red_flags.none')}\n\n{line}\n{step_line(text, dose)}", rows(text, (("why", "how"),)))


def _weight(text: Text, facts: Facts) -> Worded:
    """What was said of the weight, and what the next day asks now."""
    codes = [reason.code for reason in facts["reasons"]]
    parts = [because(text, reason) for reason in facts["reasons"] if reason.code in WEIGHT_TOLD]
    parts += [text(f"weight.band.{code}") for code in ("load_up", "load_down") if code in codes]
    why = " ".join(parts)
    dose = facts["dose"]
    if dose is None:
        return Worded(why)
    line = text("outcome.hold", day=text.day(facts["for_date"]), dose=dose_line(text, dose))
    return Worded(f"{why}\n\n{line}", rows(text, (("why", "how"),)))


def _see_clinician(text: Text, facts: Facts) -> str:
    """Why now: a bad day that stands above, or the look back that is made at a few fixed weeks."""
    weeks = facts.get("look_weeks")
    return text("outcome.look", weeks=weeks) if weeks else text("outcome.see_clinician")


def noted(text: Text, facts: Facts) -> str:
    """ "Noted for Tuesday: pain 4, 3 of 4 sets." """
    key = "outcome.changed" if facts.get("changed") else "outcome.noted"
    date = facts.get("evening_date") or facts["date"]
    said = [text("said.pain", pain=facts["pain"])] if facts["pain"] is not None else []
    if facts["sets_asked"] and facts["sets_done"] is not None:
        said.append(_sets_done(text, facts["sets_done"], facts["sets_asked"]))
    if not said:
        return text("outcome.nothing", day=text.day(date))
    return text(key, day=text.day(date), said=", ".join(said))


def _sets_done(text: Text, done: int, asked: int) -> str:
    return text.many("said.sets", asked, done=done, asked=asked)


def _next(text: Text, facts: Facts) -> list[str]:
    reasons = facts["reasons"]
    if facts["dose"] is None and facts["flag"] is None:
        return [text("override.still.again" if facts.get("again") else "override.still")]
    if facts["dose"] is None:
        if facts.get("again"):
            return [f"{text('danger.still.again')} {still_help(text, facts)}"]
        return [text("danger.still"), still_help(text, facts)]
    day = facts["for_date"]
    dose = facts["dose"]
    line = text(f"outcome.{_move(facts)}", day=text.day(day), dose=dose_line(text, dose))
    first = (shorter if facts.get("again") else because)(text, reasons[0], _code(dose, reasons[0]))
    others = (because(text, each, _code(dose, each)) for each in reasons[1:] if each.code in ALSO_TOLD)
    why = " ".join([first, *others])
    if "of_side" in facts and _move(facts) == "hold":
        return [line, why]  # half as long, since the other side's follows
    return [f"{line}\n{step_line(text, dose)}", *load_line(text, facts), why]


def still_help(text: Text, facts: Facts) -> str:
    """What to do if it gets worse: the emergency sentence only where the stop was for an emergency."""
    now = facts["flag"] in (Flag.URGENT, Flag.DISTRESS)
    return text("danger.still.help.now" if now else "danger.still.help", **plain(text, facts))


def _code(dose: DoseFacts, reason: ReasonFacts) -> str:
    """Half the sets of a rest day are none: the sentence must not promise them."""
    at_rest = reason.code is ReasonCode.ABOVE_CEILING_DAY and not dose.asked
    return "above_ceiling_rest" if at_rest else reason.code


WEIGHT_TOLD = ("weight_felt", "weight_used", "load_up", "load_down")
ALSO_TOLD = ("above_ceiling_day", "severe_once", "load_up", "load_down", "gap_load", "unloaded")


def _move(facts: Facts) -> str:
    return str(facts["move"])


def _gap(text: Text, facts: Facts) -> Worded:
    dose = facts["dose"]
    why, what = because(text, facts["reasons"][0]), f"{step_line(text, dose)}\n{dose_line(text, dose)}."
    parts = [why, what, text("evening.gap")]
    if facts.get("asked"):
        return Worded("\n\n".join([*parts, text("red_flags.ask")]), _yes_no_unsure(text, facts))
    if facts["ask_red_flags"]:
        parts.append(text("red_flags.tell"))
    return Worded("\n\n".join(parts), rows(text, (("how", "why"), ("problem", "pause"))))


def _new_dose(text: Text, facts: Facts) -> Worded:
    """Today's dose, where what was told of yesterday no longer holds and nobody answered meanwhile."""
    dose, lighter = facts["dose"], next((each for each in facts["reasons"] if each.code == "gap_load"), None)
    why = because(text, lighter) if lighter else text("evening.dose")
    what = f"{text('today.now', date=text.day(facts['for_date']), dose=dose_line(text, dose))}\n{step_line(text, dose)}"
    return Worded(f"{why}\n\n{what}", (*start_buttons(text, dose), *rows(text, (("how", "why"), ("problem", "pause")))))


def _which_day(text: Text, facts: Facts) -> Worded:
    return Worded(text("evening.which_day"), choices(text, "f.which_day", ("last", "today"), "which_day"))


def _change_ask(text: Text, facts: Facts) -> Worded:
    words = text("change.ask", day=_day(text, facts), example=facts["sets_asked"])
    return Worded(words, pain_scale(facts["check_in"]))


def _change_confirm(text: Text, facts: Facts) -> Worded:
    new = []
    if facts["new_pain"] is not None:
        new.append(text("said.pain", pain=facts["new_pain"]))
    if facts["new_sets"] is not None:
        new.append(_sets_done(text, facts["new_sets"], facts["sets_asked"]))
    words = text("change.confirm", noted=noted(text, facts), new=", ".join(new))
    check_in = facts["check_in"]
    return Worded(words, (about(text, check_in, ("y", "change.yes"), ("n", "change.no")),))


def _change_earlier(text: Text, facts: Facts) -> Worded:
    tonight = facts["tonight"]
    words = text("change.earlier", noted=noted(text, dict(facts) | {"changed": True}))
    return Worded(f"{words}\n{_ask(text, tonight).text}", _scale(tonight))


def _with_noted(kind: str) -> Callable[[Text, Facts], Worded]:
    def word(text: Text, facts: Facts) -> Worded:
        button = about(text, facts["check_in"], ("c", "button.change"))
        return Worded(text(kind, noted=noted(text, facts)), (button,))

    return word


def _day(text: Text, facts: Facts) -> str:
    return text.day(facts["date"])


EVENING: dict[str, Callable[[Text, Facts], Worded]] = {
    "evening.ask": _ask,
    "evening.morning": _morning,
    "evening.both": _ask,
    "evening.remind": _remind,
    "evening.sets": _sets,
    "evening.pain": _pain,
    "evening.again": _again,
    "evening.outcome": _outcome,
    "evening.gap": _gap,
    "evening.dose": _new_dose,
    "red_flags.none": _no_signs,
    "weight.noted": _weight,
    "red_flags.once_more": _red_flags_once_more,
    "evening.which_day": _which_day,
    "change.ask": _change_ask,
    "change.confirm": _change_confirm,
    "change.earlier": _change_earlier,
    "change.same": _with_noted("change.same"),
    "change.kept": _with_noted("change.kept"),
    "change.not_clear": _with_noted("change.not_clear"),
}
