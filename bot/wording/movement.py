"""How an exercise looks: what its picture shows, and the words for who cannot see it."""

from collections.abc import Mapping
from dataclasses import asdict
from typing import Any

from bot.drawn.movement import Labels, MovementFacts
from bot.wording.catalogue import Text
from bot.wording.dose import kilos
from bot.wording.pack import Pack
from core.facts import DoseFacts
from core.model import Exercise
from core.records import Worded

Facts = Mapping[str, Any]
LARGEST = 1.35  # a thicker one would not fit the drawn hand


def look(text: Text, facts: Facts) -> Worded:
    """One exercise of a dose as a picture, still or `moving`; its words stand alone where none can be had."""
    dose, key = facts["dose"], facts["exercise"]
    pack = Pack(text, dose.words)
    loaded = bool(dose.load_g) and pack.has(f"picture.{key}.weight")
    words = pack(f"picture.{key}.weight" if loaded else f"picture.{key}", limb=pack(f"limb.{facts['side']}"))
    exercise = next(each for each in dose.exercises if each.key == key)
    shown = _shown(text, pack, dose, exercise, facts["side"], moving=facts["moving"])
    return Worded(words, to_draw={"kind": "movement"} | asdict(shown))


def _shown(text: Text, pack: Pack, dose: DoseFacts, exercise: Exercise, side: str, *, moving: bool) -> MovementFacts:
    picture, grams = dose.pictures[exercise.key], dose.load_g if exercise.sets else 0
    held, sizes = dose.held if grams else ("", ())
    size_g = next((each for each in sizes if each >= grams), max(sizes, default=grams or 1))
    size = min((size_g / min(sizes, default=size_g)) ** (1 / 3), LARGEST)
    limb = pack(f"limb.{side}").upper()
    labels = Labels(
        title=text("movement.title", limb=limb, faces=pack(f"picture.faces.{picture.faces}")),
        above=pack(f"picture.above.{picture.faces}"),
        start=text("movement.start"),
        end=_done(text, exercise),
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


def _done(text: Text, exercise: Exercise) -> str:
    """What is done and for how long, under its panel."""
    seconds = {"hold": exercise.hold_s, "lift": exercise.lift_s, "lower": exercise.lower_s}
    return text(f"movement.{exercise.kind}", **seconds)


LOOKS = {"how.look": look, "guided.look": look}
