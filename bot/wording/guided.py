"""A counted set in words, how each exercise looks for who cannot see its picture, and nudges by day."""

import datetime as dt
from collections.abc import Callable, Mapping, Sequence
from dataclasses import asdict
from typing import Any

from bot.drawn.routine import Labels, MovementFacts
from bot.wording.catalogue import Text
from bot.wording.dose import kilos
from bot.wording.filling import Pack
from bot.wording.keyboard import rows
from core.facts import DoseFacts
from core.model import Exercise
from core.records import Button, Worded

Facts = Mapping[str, Any]
LARGEST = 1.35  # a thicker one would not fit the drawn hand


def look(text: Text, facts: Facts) -> Worded:
    """One exercise of a dose as a picture, still or `moving`; its words stand alone where none can be had."""
    dose, key = facts["dose"], facts["exercise"]
    pack = Pack(text, dose.words)
    loaded = bool(dose.load_g) and pack.has(f"picture.{key}.weight")
    words = pack(f"picture.{key}.weight" if loaded else f"picture.{key}", limb=pack(f"limb.{facts['side']}"))
    exercise = next(each for each in dose.exercises if each.key == key)
    shown = movement(text, pack, dose, exercise, facts["side"], moving=facts["moving"])
    return Worded(words, to_draw={"kind": "movement"} | asdict(shown))


def movement(
    text: Text, pack: Pack, dose: DoseFacts, exercise: Exercise, side: str, *, moving: bool = False
) -> MovementFacts:
    """The facts of one exercise's picture, for that side's arm."""
    picture, grams = dose.pictures[exercise.key], dose.load_g if exercise.sets else 0
    held, sizes = dose.held if grams else ("", ())
    size_g = next((each for each in sizes if each >= grams), max(sizes, default=grams or 1))
    size = min((size_g / min(sizes, default=size_g)) ** (1 / 3), LARGEST)
    limb = pack(f"limb.{side}").upper()
    labels = Labels(
        title=text("movement.title", limb=limb, faces=pack(f"picture.faces.{picture.faces}")),
        above=pack(f"picture.above.{picture.faces}"),
        start=text("movement.start"),
        end=_end(text, exercise),
        wrong=text("movement.wrong", what=pack(f"picture.{exercise.key}.wrong")),
        helper=text("movement.other_hand"),
        water=text("movement.water"),
    )
    return MovementFacts(
        rests=picture.rests, turns=picture.turns, faces=picture.faces, side=side, start=picture.start,
        end=picture.end, helper=picture.helper_with_weight if held else picture.helper, wrong=picture.wrong,
        labels=labels, circles=picture.circles, held=held, load=text("movement.load", kg=kilos(text, grams)),
        full=min(grams / size_g, 1.0), size=size, moving=moving,
    )  # fmt: skip


def _end(text: Text, exercise: Exercise) -> str:
    """What is done and for how long, under its panel."""
    seconds = {"hold": exercise.hold_s, "lift": exercise.lift_s, "lower": exercise.lower_s}
    return text(f"movement.{exercise.kind}", **seconds)


LOOKS = {"how.look": look, "guided.look": look}


Buttons = tuple[tuple[Button, ...], ...]


def start_buttons(text: Text, dose: DoseFacts) -> Buttons:
    """A button that starts a set; one for each exercise where a day has several."""
    counted = [each for each in dose.exercises if each.sets] if dose.guided else []
    if len(counted) < 2:
        return (_next_set(text, "button.set", dose.alone),) if counted else ()
    arm = f".{dose.alone}" if dose.alone else ""
    return (tuple(Button(text(f"button.set.{each.kind}"), f"1.g.start.{each.key}{arm}") for each in counted),)


def _next_set(text: Text, label: str, arm: str) -> tuple[Button]:
    """The day's next set; of one arm where each has its own."""
    return (Button(text(label), f"1.g.start..{arm}" if arm else "1.m.set"),)


def _run(text: Text, facts: Facts) -> Worded:
    """How to hold the hand, and the one thing to do now; the words alone once it is over."""
    pack, key = Pack(text, facts["words"]), f"exercise.{facts['exercise']}.guided"
    parts = [_head(text, facts), pack(f"{key}.weight" if facts["load_g"] and pack.has(f"{key}.weight") else key)]
    if facts["act"] in ("ready", "change") and facts["other_hand_lifts"]:
        parts.append(text("guided.with_other_hand"))
    if not facts["act"]:
        over = facts["state"] if text.has(f"guided.over.{facts['state']}") else "done"
        return Worded("\n".join([parts[0], text(f"guided.over.{over}")]))
    stops = () if facts["act"] == "rest" else (_about(text, facts, "hurts"), _about(text, facts, "stop"))
    return Worded("\n".join([*parts, "", _now(text, facts)]), (stops,) if stops else ())


def _head(text: Text, facts: Facts) -> str:
    load = facts["load_g"]
    return text("guided.head.load" if load else "guided.head", kg=kilos(text, load), **_numbers(facts))


def _numbers(facts: Facts) -> dict[str, Any]:
    return {"number": facts["number"], "of": facts["of"]}


def _now(text: Text, facts: Facts) -> str:
    act = facts["act"]
    key = f"guided.{act}"
    if act == "back" and facts["other_hand_lifts"]:
        key = "guided.back.other_hand"
    if act == "ready" and facts["side"] == facts["sore"]:
        key = "guided.ready.sore"
    arm = Pack(text, facts["words"])(f"limb.{facts['side']}") if facts["side"] else ""
    starts = text(key).startswith("{arm}")
    count = ", ".join(map(str, range(1, facts["lasts"] + 1)))
    shown = {"arm": arm.upper() if starts else arm, "count": count}
    return text(key, rep=facts["rep"], reps=facts["reps"], left=facts["left"], **shown)


def _about(text: Text, facts: Facts, what: str) -> Button:
    return Button(text(f"guided.{what}.button"), f"1.g.{what}.{facts['set']}")


def _done(text: Text, facts: Facts) -> Worded:
    parts, buttons = [text("guided.done", **_numbers(facts))], [_about(text, facts, "undo")]
    if facts["done"] >= facts["asked"]:
        parts.append(text("guided.done.all"))
        if facts["pain_open"]:
            parts.append(text("guided.done.pain"))
    else:
        parts.append(text("guided.done.later" if facts["spread"] else "guided.done.next"))
        arm = facts["of_side"].side if "of_side" in facts else ""
        buttons[:0] = _next_set(text, "guided.next.button", arm)
    return Worded(" ".join(parts), (tuple(buttons),))


def _asks(kind: str, *buttons: str) -> Callable[[Text, Facts], Worded]:
    """A set that does not count yet, with what may be made of it."""

    def word(text: Text, facts: Facts) -> Worded:
        return Worded(text(kind, **_numbers(facts)), (tuple(_about(text, facts, each) for each in buttons),))

    return word


def _hurts(text: Text, facts: Facts) -> Worded:
    most = text.number(facts["pain_at_most"] or 0)
    shown = {each: text(f"guided.pain.{each}", most=most) for each in ("little", "much", "sign")}
    buttons = tuple((Button(label, f"1.g.{each}.{facts['set']}"),) for each, label in shown.items())
    return Worded(text("guided.hurts"), buttons)


def _plain(kind: str) -> Callable[[Text, Facts], Worded]:
    return lambda text, facts: Worded(text(kind, **_numbers(facts)))


def _clip(text: Text, facts: Facts) -> Worded:
    clip = {"kind": "clip", "acts": facts["acts"], "instead": text("guided.no_clip")}
    return Worded(text("guided.clip.alone" if facts["alone"] else "guided.clip"), to_draw=clip)


def _nudge(text: Text, facts: Facts) -> Worded:
    """Makes no sound; the day may be let off its rest of them."""
    counted = [text.many("nudge.counted", facts["counted"])] if facts["counted"] else []
    parts = [text.many("nudge", facts["dose"].asked), *counted, text("nudge.if")]
    enough = Button(text("nudges.not_today.button"), f"1.g.not_today.{facts['date'].isoformat()}")
    buttons = (*start_buttons(text, facts["dose"]), (enough, *rows(text, (("nudges",),))[0]))
    return Worded(" ".join(parts), buttons, silent=True)


PICKED = ((10, 13, 16), (11, 15), (13,))  # judgement: some hours to tap, away from meals and the evening


def _ask_hours(kind: str) -> Callable[[Text, Facts], Worded]:
    """With the hours that are set now, and some to tap."""

    def word(text: Text, facts: Facts) -> Worded:
        shown = {"from": text.time(facts["from"]), "until": text.time(facts["until"]), "most": facts["most"]}
        parts = [text(kind, **shown)]
        if hours := facts.get("hours"):
            parts.append(text("nudges.now", hours=_hours(text, hours)))
        picked = [[dt.time(hour) for hour in hours] for hours in PICKED]
        taps = [
            Button(_hours(text, each), "1.f.nudges." + "+".join(f"{time:%H:%M}" for time in each))
            for each in picked
            if max(each) < facts["until"]
        ]
        none = Button(text("nudges.none.button"), "1.f.nudges.none")
        return Worded("\n\n".join(parts), (*((tap,) for tap in taps), (none,)))

    return word


def _hours(text: Text, hours: Sequence[dt.time]) -> str:
    return ", ".join(text.time(each) for each in hours)


def _hours_set(text: Text, facts: Facts) -> Worded:
    if not facts["hours"]:
        return Worded(text("nudges.none"))
    later = [text("nudges.set.later")] if facts["later"] else []
    return Worded(" ".join([text("nudges.set", hours=_hours(text, facts["hours"])), *later]))


GUIDED: dict[str, Callable[[Text, Facts], Worded]] = {
    "guided.clip": _clip,
    "guided.run": _run,
    "guided.done": _done,
    "guided.cut": _asks("guided.cut", "count", "again"),
    "guided.stopped": _asks("guided.stopped", "again", "count"),
    "guided.interrupted": _asks("guided.interrupted", "again", "count"),
    "guided.hurts": _hurts,
    "guided.hurts.little": _asks("guided.hurts.little", "again"),
    "guided.no.running": _plain("guided.no.running"),
    "guided.undone": _plain("guided.undone"),
    "guided.counted": _plain("guided.counted"),
    "nudge": _nudge,
    "nudges.ask": _ask_hours("nudges.ask"),
    "nudges.again": _ask_hours("nudges.again"),
    "nudges.set": _hours_set,
}
