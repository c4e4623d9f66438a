"""An act as it is asked about: what to choose, what to type, what will happen, and that it is done."""

import datetime as dt
from collections.abc import Mapping, Sequence
from typing import Any

from bot.wording.attention import prtee_words
from bot.wording.catalogue import Text
from bot.wording.dose import amounts_words, dose_line, gate_words
from bot.wording.filling import Pack, isolated, lines_of
from bot.wording.keyboard import Keyboard, button, data, in_rows, named
from bot.wording.staff_lists import name_of
from core.page import Gate
from core.records import Button, Worded
from core.rule.dose import Amounts
from core.scores.prtee import change, score_of_total

Facts = Mapping[str, Any]
WORDS_SHOWN = 1000


def choice(text: Text, facts: Facts) -> Worded:
    """What can be chosen, as buttons, and that it may be typed."""
    act, who = facts["act"], facts["person"]
    gaps = _gate(text, facts["will"]) | _of_side(text, facts["will"])
    words = text(f"therapist.choose.{act}", name=name_of(text, facts), **gaps)
    if facts["again"]:
        words = f"{text('again')} {words}"
    buttons = [_option(text, act, who, each) for each in facts["will"]["choices"]]
    wide = {"hand_over": 1, "gate": 2}.get(act, 4)
    return Worded(words, (*in_rows(buttons, wide), _leave(text, facts)))


def _option(text: Text, act: str, who: str, option: Any) -> Button:
    if act == "hand_over":
        return named(text, act, who, option[1], value=option[0])
    if act == "stay":
        return Button(text("therapist.until", day=text.day(dt.date.fromisoformat(option))), data(act, who, option))
    if act == "gate":
        words = text("therapist.gate.programme") if option == "programme" else gate_words(text, float(option))
        return Button(words, data(act, who, option))
    if act == "dose":
        words = amounts_words(text, None if option == "programme" else Amounts(int(option[1:])))
        return Button(words, data(act, who, option))
    if act == "task":
        return Button(text.day(dt.date.fromisoformat(option)), data(act, who, option))
    if act == "evening":
        return Button(text.time(dt.time(int(option[:2]), int(option[2:]))), data(act, who, option))
    return Button(str(option), data(act, who, option))


def _leave(text: Text, facts: Facts) -> tuple[Button, ...]:
    return (button(text, "no", facts["person"], facts["number"], "leave"),)


def typed(text: Text, facts: Facts) -> Worded:
    """What will happen in short, and what is to be typed for it."""
    parts = [_will(text, facts), text(f"therapist.type.{facts['what']}")]
    return Worded("\n\n".join(parts), (_leave(text, facts),))


def confirm(text: Text, facts: Facts) -> Worded:
    """What will happen, in whose words, and yes or no."""
    who, number = facts["person"], facts["number"]
    parts = [_will(text, facts), *_typed_words(text, facts), text("therapist.confirm")]
    buttons = ((button(text, "yes", who, number), button(text, "no", who, number)),)
    return Worded("\n\n".join(parts), buttons)


def _typed_words(text: Text, facts: Facts) -> list[str]:
    words = isolated(lines_of(facts["typed"], WORDS_SHOWN))
    if facts["what"] in ("message", "note", "task"):
        return [words]
    return [text("therapist.reason", words=words)] if facts["what"] == "reason" else []


def _will(text: Text, facts: Facts) -> str:
    """What the act will come to."""
    act, will, name = facts["act"], facts["will"], name_of(text, facts)
    told = text("therapist.will.told" if facts["told"] else "therapist.will.untold")
    if act in ("up", "back", "to", "go_on"):
        return _moved(text, act, name, will, told)
    if act == "stay":
        return text("therapist.will.stay", name=name, step=will["to"], until=text.day(will["until"]))
    if act == "dose":
        return text("therapist.will.dose", name=name, amounts=amounts_words(text, will["amounts"]), told=told)
    if act == "gate":
        key = "therapist.will.ungate" if will["programmes"] else "therapist.will.gate"
        return text(key, name=name, **_gate(text, will))
    if act == "evening":
        before, after = (f"{will[name]:%H:%M}" for name in ("before", "after"))
        return text("therapist.will.evening", name=name, before=before, after=after, told=told)
    if act in ("morning", "second"):
        return text(f"therapist.will.{act}.{'off' if will['before'] else 'on'}", name=name, told=told)
    if act == "score":
        return _score(text, name, will)
    if act == "diary":
        return _diary(text, name, will["evenings"])
    if act == "hand_over":
        colleague = name_of(text, will, "colleague")
        more = [text("therapist.will.hand_over.out_of_sight")] if will["out_of_sight"] else []
        return " ".join([text("therapist.will.hand_over", name=name, colleague=colleague), *more])
    when = {"day": text.day(will["due"])} if "due" in will else _of_side(text, will)
    return text(f"therapist.will.{act}{'.' + will['flag'] if act == 'clear' else ''}", name=name, told=told, **when)


def _of_side(text: Text, will: Facts) -> dict[str, str]:
    """The side that is added, as it stands in a sentence."""
    return {"side": Pack(text, will["side"].words)(f"side.{will['side'].side}")} if "side" in will else {}


def _gate(text: Text, will: Facts) -> dict[str, object]:
    """The step a gate leads to, with the mean that opens it now, in the programme, and afterwards."""
    gate: Gate | None = will.get("gate")
    if gate is None:
        return {}
    return {
        "step": gate.step,
        "before": gate_words(text, gate.programme if gate.own is None else gate.own),
        "programme": gate_words(text, gate.programme),
        "gate": gate_words(text, will.get("after")),
    }


def _moved(text: Text, act: str, name: str, will: Facts, told: str) -> str:
    dose = dose_line(text, will["dose"]) if will["dose"] else text("dose.rest")
    key = "therapist.will.start" if will.get("start") else f"therapist.will.{act}"
    day = text.day(will["for_date"])
    return text(key, name=name, before=will["from"], step=will["to"], day=day, dose=dose, told=told)


def _score(text: Text, name: str, will: Facts) -> str:
    if "total" not in will:
        return text("therapist.will.score.ask", name=name)
    total = text.number(will["total"])
    parts = [text("therapist.will.score", name=name, week=will["week"], total=total)]
    if will["pain"] is not None:
        parts.append(
            text(
                "therapist.will.score.parts",
                pain=text.number(will["pain"]),
                function=text.number(will["function"]),
                answered=will["answered"],
            )
        )
    if "first" in will:
        since = prtee_words(text, change(score_of_total(will["first"]), score_of_total(will["total"])))
        parts.append(text("therapist.will.score.since", since=since, week=will["since"]))
    return " ".join(parts)


def _diary(text: Text, name: str, evenings: Sequence[tuple[dt.date, int, int | None, bool]]) -> str:
    """Each evening (pain, sets) as it was read, and what stays because the patient answered it themselves."""
    lines = [text("therapist.will.diary", name=name)]
    for date, pain, sets, stays in evenings:
        key = "stays" if stays else "pain" if sets is None else "both"
        shown_sets = "-" if sets is None else sets
        lines.append(text(f"therapist.will.diary.{key}", day=text.day(date), pain=pain, sets=shown_sets))
    return "\n".join(lines)


def done(text: Text, facts: Facts) -> Worded:
    """That it is done, with the way back where there is one."""
    who, act = facts["person"], facts["act"]
    words = text(f"therapist.done.{act}", name=name_of(text, facts))
    back: Keyboard = ((button(text, "undo", who, facts["undo"]),),) if facts["undo"] else ()
    gone = act == "hand_over" and facts["will"]["out_of_sight"]
    page: Keyboard = () if gone else ((button(text, "open", who),),)
    if back and page:
        return Worded(words, ((*back[0], *page[0]),))
    return Worded(words, (*back, *page))
