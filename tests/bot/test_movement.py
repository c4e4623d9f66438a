"""How an exercise looks and a set sounds: files that the service plays, legible, and true to the facts."""

import asyncio
import io
import struct
import tomllib
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import soundfile
from PIL import Image

from bot.drawing import Drawing, DrawingError, canvas, clip, movement
from bot.drawn.routine import ClipFacts, Labels, MovementFacts
from bot.messaging.rendering import Rendering, read
from bot.ports import Rendered
from bot.wording.messages import in_words
from core.guided import PhaseKind, plan_of
from core.programme.file import programme_at, shipped
from core.use_cases.gathering import dose_facts
from tests.builders import a_message
from tests.contrast import contrast

LOWERING = MovementFacts(
    "forearm", "hand", "down", "right", 38, -45, "brings", "lifts",
    Labels("RIGHT ARM, palm down", "From above", "Start", "Lower", "NOT SO", "other hand", "of water"),
    held="round", load="0.5 kg", full=1.0,
)  # fmt: skip


def pixels(picture: bytes) -> np.ndarray:
    return np.asarray(Image.open(io.BytesIO(picture)).convert("RGB"), dtype=int)


def every_look(*, moving: bool = False):
    """Each exercise of both packs on each step, for each side, as it is worded."""
    for programme in map(programme_at, shipped()):
        for step in programme.steps:
            dose = dose_facts(programme, step.dose, how=True)
            for key in {each.key for each in dose.exercises}:
                for side in ("left", "right"):
                    facts = {"dose": dose, "exercise": key, "side": side, "moving": moving}
                    yield programme, step, key, side, in_words("how.look", "en", facts)


def test_every_exercise_of_both_packs_has_a_picture_and_words_for_who_cannot_see_it():
    seen = set()
    for programme, step, key, side, words in every_look():
        facts = read(MovementFacts, words.to_draw)
        faces = "up" if programme.name == "inner-elbow" else "down"
        assert (facts.side, facts.faces) == (side, faces)
        assert facts.labels.title == f"{side.upper()} ARM, palm {faces}"
        # which hand and which way the palm looks is what a reader of the words alone must learn, too
        assert f"{side} arm" in words.text
        assert f"palm {faces}" in words.text
        assert "Wrong:" in words.text
        assert bool(facts.held) == bool(step.dose.load_g and key != "mobilising")
        seen.add((programme.name, key, side))
    assert len(seen) == 2 * 4 * 2


def test_the_bottle_holds_todays_load_and_what_is_too_heavy_for_one_hangs_in_a_bag():
    programme = programme_at("outer-elbow")
    dose = programme.step(6).dose
    shown = {}
    for grams in (500, 750, 1500, 2000):
        facts = {"dose": dose_facts(programme, replace(dose, load_g=grams), how=True), "exercise": "lowering"}
        drawn = in_words("how.look", "en", facts | {"side": "left", "moving": False}).to_draw
        shown[grams] = (drawn["held"], drawn["full"], drawn["load"])
    # a litre of water weighs a kilogram; above 1.5 kg the programme has no bottle
    assert shown == {
        500: ("round", 1.0, "0.5 kg"), 750: ("round", 0.75, "0.75 kg"), 1500: ("round", 1.0, "1.5 kg"),
        2000: ("hung", 1.0, "2 kg"),
    }  # fmt: skip


def test_a_picture_is_legible_on_any_background_and_left_is_the_mirror_of_right():
    right, left = (pixels(movement.draw_movement(replace(LOWERING, side=side))) for side in ("right", "left"))
    assert right.shape == (movement.HEIGHT, movement.WIDTH, 3)
    with Image.open(io.BytesIO(movement.draw_movement(LOWERING))) as image:
        assert "transparency" not in image.info  # it brings its own paper: a dark phone does not shine through
    # WCAG 2.2, 1.4.3 and 1.4.11: 4.5 for text, 3 for lines; the lines run between ink and each of the fills
    assert contrast(canvas.INK, canvas.PAPER) >= 4.5
    assert contrast(movement.WRONG, canvas.PAPER) >= 4.5
    fills = (movement.SKIN, movement.OTHER, movement.WOOD, movement.WATER)
    assert all(contrast(canvas.INK, each) >= 3 for each in fills)
    panel = (slice(70, 400), slice(500, 940))  # the start, seen from the side
    dark = [(each[panel].sum(axis=2) < 250) for each in (right, left)]
    mirrored = dark[1][:, ::-1]
    agree = max((dark[0] & np.roll(mirrored, shift, axis=1)).sum() for shift in range(-60, 61, 4))
    assert agree > 0.5 * dark[0].sum() > (dark[0] & dark[1]).sum()


def test_palm_up_shows_lines_of_the_palm_and_turns_the_hand_over():
    down, up = (pixels(movement.draw_movement(replace(LOWERING, faces=faces, held=""))) for faces in ("down", "up"))
    hand = (slice(60, 330), slice(20, 470))  # from above
    nails = [(each[hand] == 255).all(axis=2).sum() for each in (down, up)]
    assert nails[0] > nails[1]  # nails are white, and seen on the back of the hand only


def test_a_moving_picture_repeats_and_goes_there_and_back():
    with Image.open(io.BytesIO(movement.draw_movement(replace(LOWERING, moving=True)))) as gif:
        assert gif.format == "GIF"
        assert gif.info["loop"] == 0  # for ever: GIF89a, application extension of Netscape
        assert gif.n_frames == 2 * movement.FRAMES


def test_a_clip_is_opus_in_ogg_of_the_right_length_and_no_louder_than_it_should_be():
    plan = plan_of(programme_at("outer-elbow").step(2).dose, 1, "right", programme_at("outer-elbow").guiding)
    acts = tuple((each.act.value, each.seconds) for each in plan.phases if each.act is not PhaseKind.REST)
    content = clip.make_clip(ClipFacts(acts))
    # RFC 3533: a page begins OggS; RFC 7845, 5.1: the first packet OpusHead; 4: the last granule position counts
    # samples at 48 kHz, pre-skip included
    assert content[:4] == b"OggS"
    head = content.index(b"OpusHead")
    (skip,) = struct.unpack_from("<H", content, head + 10)
    (granule,) = struct.unpack_from("<q", content, content.rindex(b"OggS") + 6)
    assert (granule - skip) / 48_000 == pytest.approx(sum(seconds for _, seconds in acts) + clip.END_S, abs=0.05)
    samples, rate = soundfile.read(io.BytesIO(content))
    assert 0.4 < np.abs(samples).max() < 0.6  # 6 dB below full scale, within what the coding changes
    starts = sum(seconds for _, seconds in acts[:1])
    quiet, loud = (samples[int((starts + at) * rate) : int((starts + at + 0.3) * rate)] for at in (5.0, 0.05))
    assert np.abs(quiet).max() < 0.02 < 0.3 < np.abs(loud).max()  # begun at its second, then still
    # bot-api.json, sendVoice: up to 50 MB; a minute of it takes less than a photograph
    assert len(content) < 100_000


class Failing(Drawing):
    async def _in_turn(self, facts):
        raise DrawingError("no child today")


def test_without_a_child_that_draws_the_words_go_alone_and_promise_no_tones():
    words = [in_words("guided.clip", "en", {"acts": [["hold", 30]], "alone": ""}), next(every_look())[-1]]
    rendering = Rendering(Failing(), None)
    clip_sent, look_sent = (asyncio.run(rendering(a_message(words=each))) for each in words)
    assert isinstance(clip_sent, Rendered)
    assert "no tones" in clip_sent.text
    assert clip_sent.voice is None
    assert look_sent.text == words[1].text


def test_the_outlines_are_all_there_that_the_packs_ask_for():
    shapes = tomllib.loads((Path(movement.__file__).parent / "shapes.toml").read_text(encoding="utf-8"))
    for programme in map(programme_at, shipped()):
        assert {name for one in programme.pictures for name in (one.rests, one.turns)} <= set(shapes)
