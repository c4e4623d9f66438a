import datetime as dt
import io
from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from matplotlib.colors import to_hex
from matplotlib.dates import date2num
from PIL import Image

from bot.drawing import canvas, charts
from bot.drawing.canvas import MOST_LABELS, date_ticks
from bot.drawn.course import Day, ProgressFacts, weekly_means
from tests.bot.progress_cases import (
    ALL_MISSED,
    EMPTY,
    ENGLISH,
    EVERY_CASE,
    EXTREMES,
    MONTHS,
    a_course,
    a_day,
    weighing,
)
from tests.contrast import contrast

every_case = pytest.mark.parametrize("facts", EVERY_CASE.values(), ids=EVERY_CASE.keys())


def visible_texts(figure):
    found = [*figure.texts]
    for axes in figure.axes:
        found += [*axes.texts, *axes.get_xticklabels(), *axes.get_yticklabels()]
    found += [text for legend in figure.legends for text in legend.get_texts()]
    return [text for text in found if text.get_text()]


@every_case
def test_no_word_touches_another_or_leaves_the_picture(facts):
    figure = charts.compose(facts)
    figure.canvas.draw()
    boxes = [(text.get_text(), text.get_window_extent()) for text in visible_texts(figure)]

    for word, box in boxes:
        assert box.x0 >= 0, word
        assert box.x1 <= charts.WIDTH, word
        assert box.y0 >= 0, word
        assert box.y1 <= figure.get_figheight() * canvas.DPI, word
    for (word, box), (other, other_box) in combinations(boxes, 2):
        assert not box.overlaps(other_box), f"{word!r} touches {other!r}"


@every_case
def test_the_picture_is_a_png_of_the_promised_size_and_the_same_each_time(facts):
    picture = charts.draw(facts)

    with Image.open(io.BytesIO(picture)) as image:
        more = 30 * (facts.first is not None) + 150 * bool(facts.loads)
        assert (image.format, image.size) == ("PNG", (900, 700 + more))
        assert not image.info.keys() - {"dpi"}  # nothing about the person hides beside the pixels
    assert charts.draw(facts) == picture


def test_every_rating_is_one_dot_at_its_date_and_every_missed_evening_one_tick():
    days = (a_day(0, 0), a_day(1, None), a_day(2, 10), a_day(3, None, asked=False), a_day(5, 4))

    axes = charts.compose(ProgressFacts(days, (), (), ENGLISH)).axes[0]

    dots, ticks = axes.collections
    first = date2num(dt.date(2026, 3, 9))
    assert np.asarray(dots.get_offsets()).tolist() == [[first, 0], [first + 2, 10], [first + 5, 4]]
    assert [segment[0][0] for segment in ticks.get_segments()] == [first + 1]
    assert axes.get_ylim() == (-0.3, 10.3)


def test_each_flare_has_an_arrow_that_ends_just_above_its_rating():
    figure = charts.compose(EXTREMES)

    heads = [note.xy for note in figure.axes[0].texts if getattr(note, "arrow_patch", None)]

    first = date2num(dt.date(2026, 3, 9))
    assert heads == [(first + 11, 10.3), (first + 30, 10.3)]


def test_the_own_weight_is_a_line_over_the_same_days_broken_where_there_is_none():
    figure = charts.compose(weighing(a_course(182)))

    pain, kilos = figure.axes
    days, grams = kilos.lines[0].get_data()
    first = date2num(dt.date(2026, 3, 9))
    assert np.asarray(days).tolist() == [first + day - 0.5 for day in (20, 27, 60, 75, 150, 182)]
    assert np.array_equal(grams, [0.5, 1.0, np.nan, 1.25, 2.25, 2.25], equal_nan=True)
    assert kilos.get_xlim() == pain.get_xlim()
    assert [text.get_text() for text in kilos.texts] == ["2.25"]


def test_the_band_is_where_a_mean_cannot_be_told_from_the_first_week():
    found = []
    for first in (5.2, 9.4, 1.0):
        axes = charts.compose(weighing(a_course(61), first=first)).axes[0]
        (band,) = [each for each in axes.patches if to_hex(each.get_facecolor()) == canvas.CHANCE]
        found.append((band.get_y(), band.get_y() + band.get_height()))
    assert found == pytest.approx(np.array([(3.8, 6.6), (8.0, 10.0), (0.0, 2.4)]))


def test_an_empty_diary_says_so_and_has_no_key():
    for facts in (EMPTY, ALL_MISSED):
        figure = charts.compose(facts)
        assert ENGLISH.nothing in [text.get_text() for text in figure.axes[0].texts]
        assert not figure.legends


def test_the_key_names_only_what_is_there_and_by_shape_not_by_colour_alone():
    figure = charts.compose(a_course(90))
    handles = figure.legends[0].legend_handles

    assert [text.get_text() for text in figure.legends[0].get_texts()] == ["one evening", "weekly mean", "no answer"]
    assert len({handle.get_marker() for handle in handles}) == 3
    assert len(charts.compose(a_course(1)).legends[0].get_texts()) == 1


def test_contrasts_pass_the_web_accessibility_guideline():
    # WCAG 2.2: 1.4.3 asks 4.5 to 1 of text, 1.4.11 asks 3 to 1 of the parts of a graphic.
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.005)  # well-known pair, from memory

    for ground in (canvas.PAPER, canvas.LIGHT, canvas.DARK):
        assert contrast(canvas.INK, ground) >= 4.5
    assert contrast(canvas.QUIET, canvas.PAPER) >= 4.5
    for ground in (canvas.PAPER, canvas.SHADE, canvas.CHANCE):
        assert contrast(canvas.LINE, ground) >= 4.5
        assert contrast(canvas.DOT, ground) >= 3


def test_weekly_means_agree_with_a_reference_library():
    facts = a_course(100)
    grid = np.full(105, np.nan)  # weeks are counted back from the last day
    grid[-len(facts.days) :] = [np.nan if day.pain is None else day.pain for day in facts.days]
    weeks = grid.reshape(15, 7)
    expected = [float(np.nanmean(week)) for week in weeks if np.isfinite(week).sum() >= 3]

    assert [mean for _, mean in weekly_means(facts.days)] == pytest.approx(expected)


def test_a_week_with_two_ratings_has_no_mean_and_the_first_one_may_be_short():
    few = [a_day(0, 3), a_day(6, 5)]
    unfinished = [*few, *(a_day(7 + n, 4) for n in range(3))]

    assert weekly_means(few) == ()
    assert weekly_means(unfinished) == ((dt.date(2026, 3, 15), 17 / 4),)


@given(st.dates(dt.date(2020, 1, 1), dt.date(2040, 1, 1)), st.integers(0, 1000))
def test_dates_under_the_picture_are_few_in_order_and_within_it(first, span):
    last = first + dt.timedelta(days=span)

    ticks = date_ticks(first, last, "{day} {month}", MONTHS)

    dates = [date for date, _ in ticks]
    assert 1 <= len(dates) <= MOST_LABELS
    assert dates == sorted(set(dates))
    assert first <= dates[0]
    assert dates[-1] <= last
    assert span < 90 or str(dates[0].year) in ticks[0][1]


def test_days_may_come_without_the_unasked_ones():
    sparse = (Day("2026-03-09", 5, True), Day("2026-05-30", 2, True))

    axes = charts.compose(ProgressFacts(sparse, (), (), ENGLISH)).axes[0]

    assert axes.get_xlim()[1] - axes.get_xlim()[0] == pytest.approx(82 + 1.4)


def test_an_injection_is_a_line_down_its_evening_with_its_word_and_not_there_otherwise():
    plain = a_course(40)
    marked = replace(plain, injections=(a_day(20, 0).date,))
    words = [text.get_text() for text in charts.compose(marked).axes[0].texts]
    assert ENGLISH.injection in words
    assert ENGLISH.injection not in [text.get_text() for text in charts.compose(plain).axes[0].texts]
    assert len(charts.compose(marked).axes[0].lines) == len(charts.compose(plain).axes[0].lines) + 1
