"""A counted set in words, how each exercise looks for who cannot see its picture, and nudges by day."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import asdict

from bot.buttons import Verb, carried
from bot.drawn.routine import Labels, MovementFacts
from bot.wording.catalogue import Text
from bot.wording.dose import kilos
from bot.wording.filling import Keyboard, Pack, Word, rows
from core.facts import DoseFacts, SetFacts
from core.guided import Cue, PhaseKind
from core.model import Exercise
from core.records import Button, Worded

LARGEST = 1.35  # a thicker one would not fit the drawn hand


def look(text: Text, dose: DoseFacts, exercise: str, side: str, moving: bool) -> Worded:
    """One exercise of a dose as a picture, still or `moving`; its words stand alone where none can be had."""
    pack = Pack(text, dose.words)
    loaded = bool(dose.load_g) and pack.has(f"picture.{exercise}.weight")
    words = pack(f"picture.{exercise}.weight" if loaded else f"picture.{exercise}", limb=pack(f"limb.{side}"))
    one = next(each for each in dose.exercises if each.key == exercise)
    return Worded(words, to_draw={"kind": "movement"} | asdict(movement(text, pack, dose, one, side, moving=moving)))


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


def start_buttons(text: Text, dose: DoseFacts) -> Keyboard:
    """A button that starts a set; one for each exercise where a day has several."""
    counted = [each for each in dose.exercises if each.sets] if dose.guided else []
    if len(counted) < 2:
        return (_next_set(text, "button.set", dose.alone),) if counted else ()
    arm = [dose.alone] if dose.alone else []
    starts = [(each.kind, carried(Verb.GUIDED, "start", each.key, *arm)) for each in counted]
    return (tuple(Button(text(f"button.set.{kind}"), start) for kind, start in starts),)


def _next_set(text: Text, label: str, arm: str) -> tuple[Button]:
    """The day's next set; of one arm where each has its own."""
    return (Button(text(label), carried(Verb.GUIDED, "start", "", arm) if arm else carried(Verb.COMMAND, "set")),)


def _run(text: Text, told: SetFacts, cue: Cue | None) -> Worded:
    """How to hold the hand, and the one thing to do now; the words alone once it is over."""
    guided, pack, key = told.guided, Pack(text, told.words), f"exercise.{told.guided.exercise}.guided"
    load = guided.plan.load_g
    head = text("guided.head.load" if load else "guided.head", kg=kilos(text, load), **_numbers(told))
    if cue is None:
        over = guided.state if text.has(f"guided.over.{guided.state}") else "done"
        return Worded(f"{head}\n{text(f'guided.over.{over}')}")
    act = guided.plan.phases[cue.phase].act
    parts = [head, pack(f"{key}.weight" if load and pack.has(f"{key}.weight") else key)]
    if act in (PhaseKind.READY, PhaseKind.CHANGE) and _other_hand_lifts(told):
        parts.append(text("guided.with_other_hand"))
    stops = () if act is PhaseKind.REST else (_about(text, told, "hurts"), _about(text, told, "stop"))
    return Worded("\n".join([*parts, "", _now(text, told, cue)]), (stops,) if stops else ())


def _other_hand_lifts(told: SetFacts) -> bool:
    return bool(told.exercise and told.exercise.other_hand_lifts)


def _numbers(told: SetFacts) -> dict[str, int]:
    return {"number": told.guided.number, "of": told.guided.of}


def _now(text: Text, told: SetFacts, cue: Cue) -> str:
    phase = told.guided.plan.phases[cue.phase]
    key = f"guided.{phase.act}"
    if phase.act is PhaseKind.BACK and _other_hand_lifts(told):
        key = "guided.back.other_hand"
    if phase.act is PhaseKind.READY and phase.side == told.sore:
        key = "guided.ready.sore"
    arm = Pack(text, told.words)(f"limb.{phase.side}") if phase.side else ""
    starts = text(key).startswith("{arm}")
    count = ", ".join(map(str, range(1, phase.seconds + 1)))
    shown = {"arm": arm.upper() if starts else arm, "count": count, "left": cue.left}
    return text(key, rep=phase.rep, reps=told.guided.plan.reps, **shown)


def _about(text: Text, told: SetFacts, what: str) -> Button:
    return Button(text(f"guided.{what}.button"), carried(Verb.GUIDED, what, told.guided.id))


def _done(text: Text, told: SetFacts, done: int, asked: int, pain_open: bool) -> Worded:
    parts, buttons = [text("guided.done", **_numbers(told))], [_about(text, told, "undo")]
    if done >= asked:
        parts.append(text("guided.done.all"))
        if pain_open:
            parts.append(text("guided.done.pain"))
    else:
        parts.append(text("guided.done.later" if told.exercise and told.exercise.spread else "guided.done.next"))
        buttons[:0] = _next_set(text, "guided.next.button", told.alone)
    return Worded(" ".join(parts), (tuple(buttons),))


def _asks(kind: str, *buttons: str) -> Word:
    """A set that does not count yet, or not any more, with what may be made of it."""

    def word(text: Text, told: SetFacts) -> Worded:
        under = tuple(_about(text, told, each) for each in buttons)
        return Worded(text(kind, **_numbers(told)), (under,) if under else ())

    return word


def _hurts(text: Text, told: SetFacts) -> Worded:
    most = text.number((told.exercise and told.exercise.pain_at_most) or 0)
    shown = {each: text(f"guided.pain.{each}", most=most) for each in ("little", "much", "sign")}
    buttons = tuple((Button(label, carried(Verb.GUIDED, each, told.guided.id)),) for each, label in shown.items())
    return Worded(text("guided.hurts"), buttons)


def _clip(text: Text, acts: Sequence[tuple[str, int]], alone: bool) -> Worded:
    clip = {"kind": "clip", "acts": acts, "instead": text("guided.no_clip")}
    return Worded(text("guided.clip.alone" if alone else "guided.clip"), to_draw=clip)


def _nudge(text: Text, dose: DoseFacts, counted: int, date: dt.date) -> Worded:
    """Makes no sound; the day may be let off its rest of them."""
    already = [text.many("nudge.counted", counted)] if counted else []
    parts = [text.many("nudge", dose.asked), *already, text("nudge.if")]
    enough = Button(text("nudges.not_today.button"), carried(Verb.GUIDED, "not_today", date.isoformat()))
    buttons = (*start_buttons(text, dose), (enough, *rows(text, (("nudges",),))[0]))
    return Worded(" ".join(parts), buttons, silent=True)


PICKED = ((10, 13, 16), (11, 15), (13,))  # judgement: some hours to tap, away from meals and the evening


def _ask_hours(kind: str) -> Word:
    """With the hours that are set now, and some to tap."""

    def word(text: Text, earliest: dt.time, until: dt.time, most: int, hours: Sequence[dt.time] = ()) -> Worded:
        parts = [text(kind, **{"from": text.time(earliest)}, until=text.time(until), most=most)]
        if hours:
            parts.append(text("nudges.now", hours=_hours(text, hours)))
        picked = [[dt.time(hour) for hour in each] for each in PICKED]
        taps = [
            Button(_hours(text, each), carried(Verb.ANSWER, "nudges", "+".join(f"{time:%H:%M}" for time in each)))
            for each in picked
            if max(each) < until
        ]
        none = Button(text("nudges.none.button"), carried(Verb.ANSWER, "nudges", "none"))
        return Worded("\n\n".join(parts), (*((tap,) for tap in taps), (none,)))

    return word


def _hours(text: Text, hours: Sequence[dt.time]) -> str:
    return ", ".join(text.time(each) for each in hours)


def _hours_set(text: Text, hours: Sequence[dt.time], later: bool) -> Worded:
    if not hours:
        return Worded(text("nudges.none"))
    more = [text("nudges.set.later")] if later else []
    return Worded(" ".join([text("nudges.set", hours=_hours(text, hours)), *more]))


GUIDED: dict[str, Word] = {
    "how.look": look,
    "guided.look": look,
    "guided.clip": _clip,
    "guided.run": _run,
    "guided.done": _done,
    "guided.cut": _asks("guided.cut", "count", "again"),
    "guided.stopped": _asks("guided.stopped", "again", "count"),
    "guided.interrupted": _asks("guided.interrupted", "again", "count"),
    "guided.hurts": _hurts,
    "guided.hurts.little": _asks("guided.hurts.little", "again"),
    "guided.no.running": _asks("guided.no.running"),
    "guided.undone": _asks("guided.undone"),
    "guided.counted": _asks("guided.counted"),
    "nudge": _nudge,
    "nudges.ask": _ask_hours("nudges.ask"),
    "nudges.again": _ask_hours("nudges.again"),
    "nudges.set": _hours_set,
}
