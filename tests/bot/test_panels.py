import datetime as dt
import io
from dataclasses import replace
from itertools import combinations
from typing import Any

import numpy as np
import pytest
from matplotlib.dates import date2num
from PIL import Image

from bot.drawing import panels
from bot.drawing.canvas import DARK, DOT, DPI, INK, LIGHT, LINE, PAPER, QUIET, SHADE, unknown_letters
from bot.drawing.course import STRIP_SIZE, compose_strip, strip
from bot.wording.progress import line_facts, line_words
from core.digest import PANELS
from tests.bot.digest_cases import TEXT, awkward, crowd, pictures_of, usual
from tests.caseload import lived
from tests.contrast import contrast

LONG: dict[str, Any] = {
    "evening": "Angabe eines Abends", "weekly_mean": "Durchschnitt der Woche", "missed": "Abend ohne Antwort",
    "flare": "Verschlimmerung", "step_key": "Stufe, als Zahl", "nothing": "Bisher keine Angaben",
}  # fmt: skip


def cases():
    usual_one, (first, second) = pictures_of(usual())[0], pictures_of(awkward())
    return {
        "usual": usual_one,
        "awkward names": first,
        "two of them": second,
        "one": pictures_of(usual()[:1])[0],
        "eight": pictures_of(crowd(60))[0],
        "long words": replace(usual_one, words=replace(usual_one.words, **LONG), title="Donaudampfschifffahrt " * 9),
    }


CASES = cases()
every_case = pytest.mark.parametrize("facts", CASES.values(), ids=CASES.keys())


def texts_of(figure):
    found = [*figure.texts, *(text for legend in figure.legends for text in legend.get_texts())]
    for axes in figure.axes:
        found += [*axes.texts, *axes.get_xticklabels(), *axes.get_yticklabels()]
    return [text for text in found if text.get_text()]


def boxes_of(figure):
    with unknown_letters():
        figure.canvas.draw()
        return [(text.get_text(), text.get_window_extent()) for text in texts_of(figure)]


def assert_apart(figure):
    boxes = boxes_of(figure)
    width, height = figure.canvas.get_width_height()
    for word, box in boxes:
        assert box.x0 >= 0, word
        assert box.x1 <= width, word
        assert box.y0 >= 0, word
        assert box.y1 <= height, word
    for (word, box), (other, other_box) in combinations(boxes, 2):
        assert not box.overlaps(other_box), f"{word!r} touches {other!r}"


@every_case
def test_no_word_touches_another_or_leaves_the_picture(facts):
    assert_apart(panels.compose_panels(facts))


@pytest.mark.parametrize("days", [1, 6, 30, 100, 240, 400, 740])
def test_no_word_touches_another_in_a_strip_of_any_length(days):
    assert_apart(compose_strip(line_facts(lived(days, 3, bad_days=3).line()), line_words(TEXT)))


def test_no_word_touches_another_in_a_strip_of_long_words():
    assert_apart(compose_strip(line_facts(lived(100, 3, bad_days=3).line()), replace(line_words(TEXT), **LONG)))


@pytest.mark.parametrize("facts", [CASES["usual"], CASES["one"]], ids=["usual", "one"])
def test_the_picture_fits_a_phone_and_is_the_same_each_time(facts):
    picture = panels.draw_panels(facts)

    with Image.open(io.BytesIO(picture)) as image:
        assert image.format == "PNG"
        assert image.width == 1080
        assert image.height <= 2 * image.width
        assert not image.info.keys() - {"dpi"}
    assert panels.draw_panels(facts) == picture


def test_no_text_is_smaller_than_a_millimetre_and_a_half_on_a_six_inch_phone():
    # 1080 pixels are 68 mm wide on a six-inch phone held upright (common practice, no source)
    for text in texts_of(panels.compose_panels(CASES["usual"])):
        assert text.get_fontsize() / 72 * DPI * 68 / 1080 > 1.5, text.get_text()


def test_each_panel_shows_its_ratings_steps_flare_and_missed_evenings():
    flared = next(panel for panel in CASES["usual"].panels if panel.line.flares)
    facts = replace(CASES["usual"], panels=(flared,))
    line = facts.panels[0].line

    axes = panels.compose_panels(facts).axes[0]

    dots, missed, flares = axes.collections
    rated = [(date2num(dt.date.fromisoformat(day.date)), day.pain) for day in line.days if day.pain is not None]
    assert np.asarray(dots.get_offsets()).tolist() == [list(one) for one in rated]
    assert len(missed.get_segments()) == sum(day.asked and day.pain is None for day in line.days)
    assert [x for x, _ in np.asarray(flares.get_offsets())] == [
        date2num(dt.date.fromisoformat(day)) for day in line.flares
    ]
    means = [float(y) for drawn in axes.lines for y in drawn.get_ydata()]
    assert means == pytest.approx([mean for _, mean in line.means])
    numbers = [text.get_text() for text in axes.texts]
    assert numbers == [str(band.step) for band in line.bands]


def test_a_mark_of_a_flare_stands_above_the_ratings_around_it():
    for facts in (CASES["usual"], CASES["awkward names"]):
        for axes in panels.compose_panels(facts).axes:
            dots, _, flares = axes.collections
            for x, y in np.asarray(flares.get_offsets()):
                assert all(pain < y - 0.5 for day, pain in np.asarray(dots.get_offsets()) if abs(day - x) <= 2)


def test_a_week_without_a_mean_breaks_the_line():
    line = line_facts(lived(100, 3).line())
    gone = {date for date, _ in line.means[5:8]}
    broken = replace(line, means=tuple(mean for mean in line.means if mean[0] not in gone))

    whole, parted = (len(compose_strip(one, line_words(TEXT)).axes[0].lines) for one in (line, broken))

    assert parted == whole + 1


def test_a_caseload_takes_as_many_pictures_as_it_needs_with_the_numbers_of_the_message():
    pictures = pictures_of(crowd(300))

    assert [len(picture.panels) for picture in pictures[:-1]] == [PANELS] * (len(pictures) - 1)
    numbers = [panel.number for picture in pictures for panel in picture.panels]
    assert numbers == [f"{n}." for n in range(1, len(numbers) + 1)]
    assert pictures[1].title.endswith(f"(2 of {len(pictures)})")
    assert pictures_of(usual()[13:15]) == ()


def test_everything_is_told_apart_by_shape_and_by_contrast():
    handles = panels.compose_panels(CASES["usual"]).legends[0].legend_handles

    shapes = [handle.get_marker() if hasattr(handle, "get_marker") else "box" for handle in handles]
    assert len(set(shapes)) == len(shapes) == 5
    for ground in ("#ffffff", PAPER, SHADE):  # WCAG 2.2, 1.4.3 and 1.4.11, as for the patient's picture
        assert contrast(LINE, ground) >= 4.5
        assert contrast(DOT, ground) >= 3
    assert min(contrast(INK, ground) for ground in (LIGHT, DARK)) >= 4.5
    assert contrast(QUIET, PAPER) >= 4.5


def test_a_strip_for_paper_has_few_colours_and_few_kilobytes():
    image = strip(line_facts(lived(740, 3).line()), line_words(TEXT))

    out = io.BytesIO()
    image.save(out, "PNG")
    assert image.mode == "P"
    assert image.size == (round(STRIP_SIZE[0] * DPI), round(STRIP_SIZE[1] * DPI))
    assert len(out.getvalue()) < 30_000
