"""The evening's own messages: the question, the outcome, and everything about changing an answer."""

import datetime as dt
from collections.abc import Sequence

from bot.buttons import Verb, carried
from bot.wording.catalogue import Text
from bot.wording.dose import dose_line, load_line, side_name, step_line
from bot.wording.filling import Keyboard, Pack, Word, about, choices, pain_scale, plain, rows, sets_scale
from bot.wording.guided import start_buttons
from bot.wording.reasons import because, shorter
from core.facts import DecisionFacts, DoseFacts, ReasonFacts, SideFacts
from core.model import Flag, Move, ReasonCode
from core.records import CheckIn, Worded

Sides = Sequence[tuple[SideFacts, DoseFacts]]


def _ask(
    text: Text, check_in: CheckIn, dose: DoseFacts | None = None, sides: Sides = (), morning: bool = False
) -> Worded:
    asked, guided = check_in.sets_asked, check_in.sets_guided
    parts = _ask_both(text, sides) if sides else _ask_one(text, asked, dose)
    buttons = pain_scale(check_in.id)
    if guided:
        parts.append(text.many("evening.ask.guided", asked, done=guided, asked=asked))
        buttons = (*buttons, about(text, check_in.id, (Verb.CHANGE, "button.other_sets")))
    if morning:
        parts.append(text("evening.ask.morning"))
        buttons = (*buttons, about(text, check_in.id, (Verb.WOKE_WORSE, "button.woke_worse")))
    return Worded("\n".join(parts), buttons)


def _ask_one(text: Text, asked: int, dose: DoseFacts | None) -> list[str]:
    site = Pack(text, dose.words if dose else {})
    parts = [text("evening.ask", site=site("site") if site.has("site") else text("evening.site"))]
    if asked and dose:
        parts.append(text("evening.ask.dose", dose=dose_line(text, dose), example=asked))
    elif not asked:
        parts.append(text("evening.ask.rest"))
    return parts


def _ask_both(text: Text, sides: Sides) -> list[str]:
    """The question about the first side, with what was asked of both: once where it is the same."""
    first, dose = sides[0]
    parts = [text("evening.ask.first", side=Pack(text, first.words)(f"side.{first.side}"))]
    if all(other == dose for _, other in sides):
        parts.append(text("evening.ask.same" if dose.asked else "evening.ask.rest", dose=dose_line(text, dose)))
    else:
        lines = ((side_name(text, side), dose_line(text, each, arms=False)) for side, each in sides)
        parts += [text("evening.ask.side", side=name, dose=line) for name, line in lines]
    return [*parts, text("evening.ask.typed")] if any(each.asked for _, each in sides) else parts


def _morning(text: Text, check_in: CheckIn) -> Worded:
    key = "evening.morning" if check_in.pain is None else "evening.morning.sets"
    return Worded(text(key), _scale(check_in))


def _remind(text: Text, check_in: CheckIn) -> Worded:
    asked, guided = check_in.sets_asked, check_in.sets_guided
    half_done = check_in.pain is not None and asked
    key = "evening.remind.sets" if half_done else "evening.remind"
    words = text.fitting(key, asked, asked=asked, pain=check_in.pain)
    if guided and not half_done:
        words = f"{words}\n{text.many('evening.ask.guided', asked, done=guided, asked=asked)}"
    return Worded(words, _scale(check_in))


def _sets(text: Text, check_in: CheckIn) -> Worded:
    return Worded(text.many("evening.sets", check_in.sets_asked, pain=check_in.pain), _scale(check_in, "sets"))


def _pain(text: Text, check_in: CheckIn) -> Worded:
    asked = check_in.sets_asked
    words = text.many("evening.pain", asked, done=check_in.sets_done, asked=asked)
    return Worded(words, pain_scale(check_in.id))


def _again(
    text: Text, check_in: CheckIn, question: str, unclear: Sequence[Sequence[str]], quiet: bool = False
) -> Worded:
    """What was noted, what was not clear, and the question once more."""
    asked = check_in.sets_asked
    parts = []
    if check_in.pain is not None:
        parts.append(text("evening.noted.pain", pain=check_in.pain))
    if check_in.sets_done is not None:
        parts.append(text.many("evening.noted.sets", asked, done=check_in.sets_done, asked=asked))
    whys = list(dict.fromkeys(why for _, why in unclear)) or ["nothing"]
    if not quiet:
        parts.append(" ".join(text.fitting(f"unclear.{why}", asked, asked=asked) for why in whys))
    question = question if asked else "pain"
    parts.append(text.fitting(f"evening.again.{question}", asked, asked=asked))
    return Worded("\n".join(parts), _scale(check_in, question))


def _scale(check_in: CheckIn, question: str = "") -> Keyboard:
    sets_next = question == "sets" or (not question and check_in.pain is not None and check_in.sets_asked)
    return sets_scale(check_in.id, check_in.sets_asked) if sets_next else pain_scale(check_in.id)


def _outcome(
    text: Text, check_in: CheckIn, decided: DecisionFacts, emergency: str, changed: bool = False, again: bool = False,
    of_side: SideFacts | None = None,
) -> Worded:  # fmt: skip
    """What was noted, tomorrow's dose, and why in one sentence."""
    first = noted(text, check_in, changed=changed)
    if check_in.sets_above:
        first = " ".join([first, text.many("outcome.more_sets", check_in.sets_above)])
    parts = [first, *_next(text, decided, emergency, again=again, one_of_two=of_side is not None)]
    if decided.see_clinician:
        weeks = decided.look_weeks  # the look back at a few fixed weeks; else a bad day that stands above
        parts.append(text("outcome.look", weeks=weeks) if weeks else text("outcome.see_clinician"))
    if decided.ask_red_flags:
        return Worded("\n\n".join([*parts, *_red_flags(text, of_side)]), _yes_no_unsure(text, check_in.id))
    under = rows(text, (("why", "how"),)) if decided.dose else ()
    if decided.ask_weight:
        parts.append(text("weight.ask"))
        where = carried(Verb.WEIGHT, check_in.id)
        under = (*choices(text, where, ("easy", "right", "too_much"), "weight.choice"), *under)
    return Worded("\n\n".join(parts), (*under, about(text, check_in.id, (Verb.CHANGE, "button.change"))))


def _red_flags_once_more(text: Text, check_in_id: str, of_side: SideFacts | None = None, **named: object) -> Worded:
    parts = [text("red_flags.once_more", **plain(text, named)), *_red_flags(text, of_side)]
    return Worded("\n\n".join(parts), _yes_no_unsure(text, check_in_id))


def _red_flags(text: Text, of_side: SideFacts | None) -> list[str]:
    return [text("red_flags.ask"), *([text("red_flags.both")] if of_side else [])]


def _yes_no_unsure(text: Text, check_in_id: str) -> Keyboard:
    return choices(text, carried(Verb.RED_FLAG, check_in_id), ("yes", "no", "unsure"), "choice")


def _no_signs(text: Text, decided: DecisionFacts) -> Worded:
    """What the next day asks now that the questions are answered."""
    if decided.dose is None:
        return Worded(text("red_flags.none"))
    line = f"{_hold(text, decided.for_date, decided.dose)}\n{step_line(text, decided.dose)}"
    return Worded(f"{text('red_flags.none')}\n\n{line}", rows(text, (("why", "how"),)))


def _weight(text: Text, decided: DecisionFacts) -> Worded:
    """What was said of the weight, and what the next day asks now."""
    codes = [reason.code for reason in decided.reasons]
    parts = [because(text, reason) for reason in decided.reasons if reason.code in WEIGHT_TOLD]
    parts += [text(f"weight.band.{code}") for code in ("load_up", "load_down") if code in codes]
    why = " ".join(parts)
    if decided.dose is None:
        return Worded(why)
    return Worded(f"{why}\n\n{_hold(text, decided.for_date, decided.dose)}", rows(text, (("why", "how"),)))


def _hold(text: Text, day: dt.date, dose: DoseFacts) -> str:
    return text("outcome.hold", day=text.day(day), dose=dose_line(text, dose))


def noted(text: Text, check_in: CheckIn, *, changed: bool = False) -> str:
    """ "Noted for Tuesday: pain 4, 3 of 4 sets." """
    said = [text("said.pain", pain=check_in.pain)] if check_in.pain is not None else []
    if check_in.sets_asked and check_in.sets_done is not None:
        said.append(_sets_done(text, check_in.sets_done, check_in.sets_asked))
    day = text.day(check_in.date)
    if not said:
        return text("outcome.nothing", day=day)
    return text("outcome.changed" if changed else "outcome.noted", day=day, said=", ".join(said))


def _sets_done(text: Text, done: int, asked: int) -> str:
    return text.many("said.sets", asked, done=done, asked=asked)


def _next(text: Text, decided: DecisionFacts, emergency: str, *, again: bool, one_of_two: bool) -> list[str]:
    dose, reasons = decided.dose, decided.reasons
    if dose is None and decided.flag is None:
        return [text("override.still.again" if again else "override.still")]
    if dose is None:
        help_ = still_help(text, decided.flag, emergency)
        return [f"{text('danger.still.again')} {help_}"] if again else [text("danger.still"), help_]
    line = text(f"outcome.{decided.move}", day=text.day(decided.for_date), dose=dose_line(text, dose))
    first = (shorter if again else because)(text, reasons[0], _code(dose, reasons[0]))
    others = (because(text, each, _code(dose, each)) for each in reasons[1:] if each.code in ALSO_TOLD)
    why = " ".join([first, *others])
    if one_of_two and decided.move is Move.HOLD:
        return [line, why]  # half as long, since the other side's follows
    return [f"{line}\n{step_line(text, dose)}", *load_line(text, decided), why]


def still_help(text: Text, flag: str | None, emergency: str) -> str:
    """What to do if it gets worse: the emergency sentence only where the stop was for an emergency."""
    key = "danger.still.help.now" if flag in (Flag.URGENT, Flag.DISTRESS) else "danger.still.help"
    return text(key, emergency=emergency or text("emergency"))


def _code(dose: DoseFacts, reason: ReasonFacts) -> str:
    """Half the sets of a rest day are none: the sentence must not promise them."""
    at_rest = reason.code is ReasonCode.ABOVE_CEILING_DAY and not dose.asked
    return "above_ceiling_rest" if at_rest else reason.code


WEIGHT_TOLD = ("weight_felt", "weight_used", "load_up", "load_down")
ALSO_TOLD = ("above_ceiling_day", "severe_once", "load_up", "load_down", "gap_load", "unloaded")
AFTER_SILENCE = (("how", "why"), ("problem", "pause"))


def _gap(text: Text, check_in: CheckIn, decided: DecisionFacts, asked: bool) -> Worded:
    parts = [because(text, decided.reasons[0])]
    if dose := decided.dose:
        parts.append(f"{step_line(text, dose)}\n{dose_line(text, dose)}.")
    parts.append(text("evening.gap"))
    if asked:
        return Worded("\n\n".join([*parts, text("red_flags.ask")]), _yes_no_unsure(text, check_in.id))
    if decided.ask_red_flags:
        parts.append(text("red_flags.tell"))
    return Worded("\n\n".join(parts), rows(text, AFTER_SILENCE))


def _new_dose(text: Text, decided: DecisionFacts, **_: object) -> Worded:
    """Today's dose, where what was told of yesterday no longer holds and nobody answered meanwhile."""
    dose = decided.dose
    assert dose  # else there is nothing new
    lighter = next((each for each in decided.reasons if each.code == "gap_load"), None)
    why = because(text, lighter) if lighter else text("evening.dose")
    what = text("today.now", date=text.day(decided.for_date), dose=dose_line(text, dose))
    buttons = (*start_buttons(text, dose), *rows(text, AFTER_SILENCE))
    return Worded(f"{why}\n\n{what}\n{step_line(text, dose)}", buttons)


def _which_day(text: Text) -> Worded:
    where = carried(Verb.ANSWER, "which_day")
    return Worded(text("evening.which_day"), choices(text, where, ("last", "today"), "which_day"))


def _change_ask(text: Text, check_in: CheckIn) -> Worded:
    words = text("change.ask", day=text.day(check_in.date), example=check_in.sets_asked)
    return Worded(words, pain_scale(check_in.id))


def _change_confirm(text: Text, check_in: CheckIn, new_pain: int | None, new_sets: int | None) -> Worded:
    new = [] if new_pain is None else [text("said.pain", pain=new_pain)]
    new += [] if new_sets is None else [_sets_done(text, new_sets, check_in.sets_asked)]
    words = text("change.confirm", noted=noted(text, check_in), new=", ".join(new))
    return Worded(words, (about(text, check_in.id, (Verb.YES, "change.yes"), (Verb.NO, "change.no")),))


def _change_earlier(text: Text, check_in: CheckIn, tonight: CheckIn) -> Worded:
    words = text("change.earlier", noted=noted(text, check_in, changed=True))
    return Worded(f"{words}\n{_ask(text, tonight).text}", _scale(tonight))


def _with_noted(kind: str) -> Word:
    def word(text: Text, check_in: CheckIn) -> Worded:
        button = about(text, check_in.id, (Verb.CHANGE, "button.change"))
        return Worded(text(kind, noted=noted(text, check_in)), (button,))

    return word


EVENING: dict[str, Word] = {
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
